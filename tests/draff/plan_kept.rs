//! What an accepted plan promised is kept where grain was handled just as the plan said: bags, leftovers, steps of the
//! scale, one lot in several parts, and too little of it.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::Value;

/// A kitchen with a loaf of so much water and grain, 8 pieces of 800 g; all else is flour.
fn kitchen(hydration: &str, grain: &str, flour: &str) -> Kitchen {
    let kitchen = Kitchen::new();
    let loaf = format!(
        "name = \"loaf\"\nhydration = \"{hydration}\"\npieces = 8\npiece = \"800g\"\n[grain]\n{grain}\n\
         [[flour]]\nname = \"flour\"\nshare = \"{flour}\"\n\
         [[ingredient]]\nname = \"salt\"\nkind = \"salt\"\nshare = \"2%\"\n\
         [[step]]\ndo = \"mix\"\ntakes = \"10min\"\n"
    );
    kitchen.file("loaf.toml", loaf);
    kitchen.ok("formula add loaf.toml");
    kitchen
}

/// 5 to 10 % grain, 10 % wanted: 4 pieces take 186 g of dry grain.
fn usual() -> Kitchen {
    kitchen(
        "70%",
        "lowest = \"5%\"\nwanted = \"10%\"\nhighest = \"10%\"",
        "90%",
    )
}

/// Grain of Friday 20 November that came that afternoon and is 78 % water by a test.
fn fetched(kitchen: &mut Kitchen, rest: &str) -> String {
    kitchen.at("2026-11-20 15:00");
    let lot = kitchen.pickup(&format!(
        "--brewed 2026-11-20 --mash-out 09:00 --cooled 12:00 --grist \"pale barley malt 100%\" {rest}"
    ));
    kitchen.at("2026-11-20 16:00");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g,34.0g"));
    lot
}

fn bake(kitchen: &Kitchen, mix: &str, rest: &str) {
    kitchen.ok(&format!("bake add loaf --at \"{mix}\" mix {rest}"));
}

/// The lots that hold what is promised to a bake, with how much of each.
fn promised(kitchen: &Kitchen, bake: &str) -> Vec<(String, f64)> {
    let shown = kitchen.json(&format!("bake show {bake}"));
    list(&shown, "promised")
        .iter()
        .map(|one| (text(one, "lot").to_owned(), grams(one, "wet_g")))
        .collect()
}

/// What is frozen for a bake by `today`, in grams.
fn frozen_for(kitchen: &Kitchen, bake: &str) -> Vec<f64> {
    let today = kitchen.json("today --days 3");
    let freezes = |one: &&Value| one["task"] == "freeze" && one["bake"] == bake;
    let due = list(&today, "due").iter();
    due.filter(freezes).map(|one| grams(one, "wet_g")).collect()
}

/// Dries so much of a lot, to 8 % water, and shows that it is dry; gives the new lot.
fn dried(kitchen: &Kitchen, lot: &str, wet: f64) -> String {
    let out = (wet * 0.22 / 0.92 * 10.0).round() / 10.0;
    let made = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in {wet}g --wet-out {out}g --minutes 180 --temp 60C"
    ));
    let product = text(&made, "lot").to_owned();
    kitchen.ok(&format!("probe {product} --aw 0.5"));
    product
}

/// What a plan does of one kind of work.
fn actions<'a>(plan: &'a Value, work: &str) -> Vec<&'a Value> {
    let all = list(plan, "actions").iter();
    all.filter(|one| one["action"] == work).collect()
}

/// Freezes so much of a lot, and the rest of it: two blocks.
fn frozen_in_two(kitchen: &Kitchen, lot: &str, wet: &str) {
    kitchen.ok(&format!("move {lot} --wet {wet} --to freezer"));
    kitchen.ok(&format!("move {lot} --to freezer"));
}

/// Two bakes of two frozen portions. A gram of what was thawed for the first is left over: it is past by the time of the
/// second, whose grain lies good in the freezer.
#[test]
fn a_gram_left_over_is_not_promised_to_the_next_bake() {
    let mut kitchen = usual();
    kitchen.at("2026-11-18 15:00");
    let lot = kitchen.pickup(
        "--brewed 2026-11-14 --mash-out 09:00 --cooled 12:00 --wet 1692g --grist \"pale barley malt 100%\"",
    );
    kitchen.at("2026-11-18 15:30");
    frozen_in_two(&kitchen, &lot, "846g");
    kitchen.at("2026-11-18 16:00");
    for day in [21, 27] {
        bake(&kitchen, &format!("2026-11-{day} 08:00"), "--pieces 4");
    }
    kitchen.ok("plan --accept");
    let (bag, of_first) = promised(&kitchen, "B-1S").remove(0);
    assert_eq!(of_first, 846.0);
    let second = promised(&kitchen, "B-2Q");
    assert_eq!(second[0].1, 846.0);
    assert_ne!(second[0].0, bag);
    kitchen.at("2026-11-20 19:00");
    kitchen.ok(&format!("move {bag} --to fridge"));
    kitchen.at("2026-11-21 08:00");
    kitchen.ok(&format!("bake done B-1S --used {bag}=845g"));
    assert_eq!(promised(&kitchen, "B-2Q"), second);
    kitchen.at("2026-11-26 10:00");
    let today = one_line(&kitchen.ok("today"));
    has(
        &today,
        &format!("take 846 g of {} from the freezer", second[0].0),
    );
    assert!(!today.contains("in one block"), "all of it: {today}");
    kitchen.at("2026-11-26 19:00");
    kitchen.ok(&format!("move {} --to fridge", second[0].0));
    kitchen.at("2026-11-27 08:00");
    has(&kitchen.told("bake done B-2Q"), "promised to B-2Q");
}

/// In one block: all of it has to come out, whatever the dough takes of it, and a bake a week later finds it past.
#[test]
fn a_block_comes_out_whole_for_the_bake_that_has_it() {
    let mut kitchen = usual();
    kitchen.at("2026-11-18 15:00");
    let lot = kitchen.pickup(
        "--brewed 2026-11-14 --mash-out 09:00 --cooled 12:00 --wet 1692g --grist \"pale barley malt 100%\"",
    );
    kitchen.at("2026-11-18 15:30");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.at("2026-11-18 16:00");
    for day in [21, 27] {
        bake(&kitchen, &format!("2026-11-{day} 08:00"), "--pieces 4");
    }
    kitchen.ok("plan --accept");
    let given = ["B-1S", "B-2Q"].map(|bake| promised(&kitchen, bake));
    let [(block, wet)] = given.concat().try_into().unwrap();
    assert_eq!(block, lot);
    let out = if given[0].is_empty() { 26 } else { 20 };
    kitchen.at(&format!("2026-11-{out} 10:00"));
    let today = one_line(&kitchen.ok("today"));
    has(
        &today,
        &format!(
            "frozen in one block, all 1.692 kg of {lot} comes out: {wet} g goes into the dough, the rest is thawed with it"
        ),
    );
    has(&today, &format!(": draff move {lot} --to fridge"));
}

/// A careful plan thaws more than the dough takes. What is left of the first bake keeps for days, not for a week.
#[test]
fn what_was_thawed_for_an_earlier_bake_is_not_promised_to_one_a_week_later() {
    let mut kitchen = usual();
    kitchen.at("2026-11-19 15:00");
    let lot = kitchen.pickup(
        "--brewed 2026-11-17 --mash-out 09:00 --cooled 12:00 --wet 6kg --grist \"pale barley malt 100%\"",
    );
    kitchen.at("2026-11-19 15:30");
    frozen_in_two(&kitchen, &lot, "3kg");
    kitchen.at("2026-11-21 13:00");
    bake(&kitchen, "2026-11-24 08:00", "--pieces 8");
    bake(&kitchen, "2026-12-02 08:00", "--pieces 8");
    kitchen.ok("plan --accept --careful");
    let [(bag, _)] = promised(&kitchen, "B-1S").try_into().unwrap();
    let second = promised(&kitchen, "B-2Q");
    assert!(second.len() == 1 && second[0].0 != bag, "{second:?}");
    kitchen.at("2026-11-23 19:00");
    kitchen.ok(&format!("move {bag} --to fridge"));
    kitchen.at("2026-11-24 08:00");
    kitchen.ok("bake done B-1S");
    let left = grams(&kitchen.on_shelf(&bag), "wet_g");
    assert!(left > 500.0, "the dough took less: {left}");
    assert_eq!(promised(&kitchen, "B-2Q"), second);
    kitchen.at("2026-12-01 19:00");
    kitchen.ok(&format!("move {} --to fridge", second[0].0));
    kitchen.at("2026-12-02 08:00");
    has(&kitchen.told("bake done B-2Q"), "promised to B-2Q");
}

/// A plan replaces the one before it: one of fewer days goes on to the last bake that holds promised grain, and no further.
#[test]
fn a_plan_of_fewer_days_keeps_what_later_bakes_were_promised() {
    for days in ["--days 3", "--days 3 --reopen"] {
        let mut kitchen = usual();
        let lot = fetched(&mut kitchen, "--wet 8kg");
        for day in [22, 29] {
            bake(&kitchen, &format!("2026-11-{day} 08:00"), "--pieces 8");
        }
        kitchen.ok("plan --accept");
        bake(&kitchen, "2026-11-30 08:00", "--pieces 8");
        let before = promised(&kitchen, "B-2Q");
        assert_eq!(before[0].0, lot);
        assert_eq!(frozen_for(&kitchen, "B-2Q"), [before[0].1]);
        let said = one_line(&kitchen.ok(&format!("plan {days} --accept")));
        has(
            &said,
            "The plan goes on to Sun 29 Nov, beyond the days asked for, because grain is promised to B-2Q.",
        );
        has(&said, "1 bake is mixed after these days");
        assert_eq!(promised(&kitchen, "B-2Q"), before);
        assert_eq!(frozen_for(&kitchen, "B-2Q"), [before[0].1]);
        let plan = kitchen.json(&format!("plan {days}"));
        let given: f64 = list(&plan, "bakes")
            .iter()
            .flat_map(|bake| list(bake, "draws"))
            .map(|draw| grams(draw, "wet_g"))
            .sum();
        let spare = list(&plan, "spare").iter();
        let spare: f64 = spare.map(|left| grams(left, "wet_g")).sum();
        assert_eq!(
            (given + spare).round(),
            8000.0,
            "promised is not spare: {plan}"
        );
    }
}

/// Three bakes of other sizes, and what no bake takes: each is promised the bag that was packed for it.
#[test]
fn each_bake_is_promised_the_bag_of_its_size() {
    let mut kitchen = usual();
    let lot = fetched(&mut kitchen, "--wet 8kg");
    kitchen.at("2026-11-21 13:00");
    for (day, pieces) in [(28, 12), (29, 4), (30, 8)] {
        let pieces = format!("--pieces {pieces}");
        bake(&kitchen, &format!("2026-11-{day} 08:00"), &pieces);
    }
    let plan = kitchen.json("plan --accept");
    let freeze = actions(&plan, "freeze");
    assert_eq!(freeze.len(), 1, "{plan}");
    let bags = list(freeze[0], "bags");
    assert_eq!(bags.len(), 4, "{plan}");
    let into: Vec<String> = bags
        .iter()
        .map(|bag| format!("--into 1x{}g", grams(bag, "wet_g")))
        .collect();
    kitchen.at("2026-11-21 21:00");
    kitchen.ok(&format!("portion {lot} {} --to freezer", into.join(" ")));
    for bag in bags.iter().filter(|bag| !bag["bake"].is_null()) {
        let (bake, wet) = (text(bag, "bake"), grams(bag, "wet_g"));
        let found = promised(&kitchen, bake);
        assert_eq!(found.len(), 1, "{bake}: {found:?}");
        assert_eq!(found[0].1, wet, "{bake}");
        assert_eq!(grams(&kitchen.on_shelf(&found[0].0), "wet_g"), wet);
    }
    kitchen.at("2026-11-27 10:00");
    let today = kitchen.ok("today");
    assert!(!today.contains("in one block"), "{today}");
}

/// Thawed and dried grain up to the water that the dough takes: a gram of rounding is taken back, not refused.
#[test]
fn grain_up_to_the_water_limit_goes_into_the_dough() {
    let mut kitchen = kitchen("42%", "lowest = \"12%\"\nwanted = \"12%\"", "88%");
    kitchen.ok("settings dryer 6kg");
    let lot = fetched(&mut kitchen, "--wet 4kg");
    kitchen.at("2026-11-21 13:00");
    bake(&kitchen, "2026-12-02 08:00", "--pieces 8");
    let plan = kitchen.json("plan --accept");
    let dry = actions(&plan, "dry");
    assert_eq!(dry.len(), 1, "{plan}");
    kitchen.at("2026-11-21 20:00");
    dried(&kitchen, &lot, grams(dry[0], "wet_g"));
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.at("2026-12-01 19:00");
    let wet = promised(&kitchen, "B-1S")
        .into_iter()
        .find(|(code, _)| *code == lot)
        .unwrap()
        .1;
    kitchen.ok(&format!("move {lot} --wet {wet}g --to fridge"));
    kitchen.at("2026-12-02 08:00");
    let sheet = kitchen.json("sheet B-1S");
    assert_eq!(list(&sheet, "draws").len(), 2, "{sheet}");
    let drawn: f64 = list(&sheet, "draws")
        .iter()
        .map(|one| grams(one, "wet_g"))
        .sum();
    assert!(drawn > 0.99 * wet, "no more than rounding: {sheet}");
    let add = grams(&sheet["hold_back"], "add_water_g");
    assert!((0.0..5.0).contains(&add), "{sheet}");
    assert!(!kitchen.ok("sheet B-1S").contains("SHORT"));
    has(&kitchen.told("bake done B-1S"), "promised to B-1S");
}

/// On a scale of 10 g the plan may go a step beyond what the dough takes.
#[test]
fn a_step_of_a_coarse_scale_does_not_break_a_promise() {
    let mut kitchen = kitchen("70%", "wanted = \"10%\"", "90%");
    kitchen.ok("settings scale 10g");
    kitchen.at("2026-11-20 15:00");
    let lot = kitchen.pickup(
        "--brewed 2026-11-20 --mash-out 09:00 --cooled 12:00 --wet 8kg --form pressed --grist \"pale barley malt 100%\"",
    );
    kitchen.at("2026-11-21 13:00");
    bake(&kitchen, "2026-11-22 08:00", "--pieces 9");
    let plan = kitchen.json("plan --accept");
    let planned = &plan["bakes"][0]["draws"][0];
    let wet = grams(planned, "wet_g");
    kitchen.at("2026-11-22 08:00");
    let told = kitchen.told("bake done B-1S");
    has(&told, "promised to B-1S");
    assert!(!told.contains(" less"), "rounding is not told: {told}");
    let taken = 8000.0 - grams(&kitchen.on_shelf(&lot), "wet_g");
    assert!((taken - wet).abs() <= 10.0, "{taken} of {wet}");
    // More than rounding is too much as before.
    kitchen.at("2026-11-22 12:00");
    bake(&kitchen, "2026-11-23 08:00", "--pieces 9");
    kitchen.ok("plan --accept");
    has(
        &kitchen.told("bake change B-2Q --pieces 8"),
        "and the bake takes 372 g at most",
    );
}

/// A dryer that takes a kilogram: one lot is dried on two days and becomes two.
#[test]
fn one_lot_dried_on_two_days_counts_as_one() {
    let mut kitchen = usual();
    kitchen.ok("settings dryer 1kg");
    kitchen.ok("settings freezer none");
    let lot = fetched(&mut kitchen, "--wet 2kg");
    kitchen.at("2026-11-21 13:00");
    bake(&kitchen, "2026-12-02 08:00", "--pieces 8 --most-lots 1");
    let plan = kitchen.json("plan --accept");
    let days = actions(&plan, "dry");
    assert_eq!(days.len(), 2, "{plan}");
    for day in days {
        kitchen.at(&format!("{} 23:30", &text(day, "by")[..10]));
        dried(&kitchen, &lot, grams(day, "wet_g"));
    }
    kitchen.at("2026-12-02 08:00");
    assert_eq!(promised(&kitchen, "B-1S").len(), 2);
    has(
        &one_line(&kitchen.ok("sheet B-1S")),
        "PUT TOGETHER: parts of one lot count as one lot",
    );
    has(&kitchen.told("bake done B-1S"), "promised to B-1S");
}

/// 500 g at 78 % hold 110 g of dry grain, of 372 g that are wanted and 186 g that are the minimum.
#[test]
fn the_weights_of_a_short_bake_are_for_the_grain_that_is_there() {
    for is_promised in [true, false] {
        let mut kitchen = usual();
        fetched(&mut kitchen, "--wet 500g");
        kitchen.at("2026-11-21 13:00");
        bake(&kitchen, "2026-11-22 08:00", "--pieces 8");
        if is_promised {
            kitchen.ok("plan --accept");
        }
        kitchen.at("2026-11-22 08:00");
        let sheet = kitchen.json("sheet B-1S");
        let sum = &sheet["hold_back"];
        assert!((grams(sum, "wet_g") - 500.0).abs() < 1.0, "{sheet}");
        assert!((grams(sum, "dry_g") - 110.0).abs() < 1.0, "{sheet}");
        // 6400 g of dough are 1.72 of its flour; 70 % of that is water, of which the grain brings 390 g.
        let flour = 6400.0 / 1.72;
        let brought = grams(sum, "carried_water_g");
        assert!(
            (grams(sum, "add_water_g") - (0.7 * flour - brought)).abs() < 2.0,
            "{sheet}"
        );
        assert!((grams(sum, "total_flour_g") - flour).abs() < 1.0, "{sheet}");
        let told = kitchen.told("sheet B-1S");
        has(
            &told,
            "of dry grain: the weights are for what they hold, with more flour",
        );
        has(&kitchen.ok("sheet B-1S"), "SHORT: the lots hold ");
        if is_promised {
            let done = kitchen.json("bake done B-1S");
            let result = &done["result"];
            assert_eq!(grams(&result["draws"][0], "wet_g"), 500.0, "{done}");
            let poured = grams(sum, "pour_first_g");
            assert!(
                (grams(result, "said_pour_g") - poured).abs() < 1.0,
                "{done}"
            );
        }
    }
}

#[test]
fn one_lot_that_is_too_small_holds_less() {
    let mut kitchen = usual();
    for _ in 0..2 {
        fetched(&mut kitchen, "--wet 600g");
    }
    kitchen.at("2026-11-21 13:00");
    bake(&kitchen, "2026-11-22 08:00", "--pieces 8 --most-lots 1");
    has(
        &one_line(&kitchen.ok("plan")),
        "the one lot it may be made of holds less",
    );
}
