//! Plans that are asked for again after what they asked for was done, and what they say of it.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{grams, kitchen, list, text};
use serde_json::Value;

/// Wet grain that a bake is planned to get.
fn drawn(plan: &Value, bake: usize) -> f64 {
    let draws = list(&plan["bakes"][bake], "draws");
    draws.iter().map(|draw| grams(draw, "wet_g")).sum()
}

fn bakes(kitchen: &Kitchen, mixed: &[&str]) {
    for mixed in mixed {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-{mixed}\" mix --pieces 12"
        ));
    }
}

/// Birch Row's tub, brewed on a day of November.
fn birch(kitchen: &Kitchen, day: &str, wet: &str, more: &str) -> String {
    let plan = kitchen.json(&format!(
        "pickup --source \"Birch Row\" --brewed 2026-11-{day} --mash-out 06:00 --cooled 09:00 --wet {wet} {more}"
    ));
    text(&plan, "lot").to_owned()
}

/// A plan fills the freezer to the gram; what comes out of it makes room for the next tub, on the next morning too.
#[test]
fn a_freezer_that_is_full_to_the_gram_has_room_once_something_comes_out() {
    let mut kitchen = kitchen();
    kitchen.ok("place change freezer --capacity 2.4kg");
    birch(
        &kitchen,
        "18",
        "2.4kg",
        "--grist \"pale barley malt 100%\" --place freezer",
    );
    birch(&kitchen, "20", "2.4kg", "--grist \"wheat malt 100%\"");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-25 12:00\" mix --pieces 12 --free-of wheat");
    bakes(&kitchen, &["28 12:00"]);
    let plan = kitchen.json("plan");
    assert!(
        drawn(&plan, 0) > 1500.0 && drawn(&plan, 1) > 1500.0,
        "{plan}"
    );
    let work: Vec<&str> = list(&plan, "actions")
        .iter()
        .map(|action| text(action, "action"))
        .collect();
    assert_eq!(work, ["thaw", "freeze", "thaw"], "{plan}");
    let said = kitchen.ok("plan");
    assert!(!said.contains("Nothing more is frozen"), "{said}");
    // Where nothing comes out in time, nothing goes in, and the plan says why.
    kitchen.ok("bake drop B-1S --reason \"no need\"");
    kitchen.at("2026-11-21T06:00:00Z");
    let said = kitchen.ok("plan");
    has(&said, "give away");
    has(
        &said,
        "Nothing more is frozen: the freezers already hold what they take.",
    );
}

/// Two doughs alike of one frozen tub share it, though the freezer says how much it takes and another dough gets nothing.
#[test]
fn doughs_alike_share_thawed_grain_where_the_freezer_has_a_limit() {
    let kitchen = kitchen();
    kitchen.ok("place change freezer --capacity 4kg");
    birch(
        &kitchen,
        "20",
        "3.2kg",
        "--grist \"wheat malt 100%\" --place freezer",
    );
    bakes(&kitchen, &["23 12:00", "25 12:00"]);
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-29 12:00\" mix --pieces 12 --free-of wheat");
    let plan = kitchen.json("plan");
    let (one, other) = (drawn(&plan, 0), drawn(&plan, 1));
    assert!((one - other).abs() <= 2.0 && one > 1000.0, "{plan}");
}

/// What a careful plan promised is weighed as it said, counted as it counted: as far as the dough takes it by the estimate.
#[test]
fn a_careful_promise_is_weighed_as_the_plan_meant_it() {
    let kitchen = kitchen();
    let wide = LOAF
        .replace("small loaf", "wide loaf")
        .replace("highest = \"10%\"", "highest = \"14%\"");
    kitchen.file("wide.toml", &wide);
    kitchen.ok("formula add wide.toml");
    let lot = birch(&kitchen, "20", "8kg", "");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 1%"));
    kitchen.ok("bake add \"wide loaf\" --at \"2026-11-22 12:00\" mix --pieces 12");
    let plan = kitchen.json("plan --careful --accept");
    let planned = drawn(&plan, 0);
    // 576 g at 77 % are 2504 g; at the wet end, 79 %, some 250 g more.
    assert!((2700.0..2800.0).contains(&planned), "{plan}");
    let weighed = grams(&kitchen.json("sheet B-1S")["draws"][0], "wet_g");
    let told = kitchen.told("sheet B-1S");
    assert!(
        (weighed - planned).abs() < 1.0,
        "{planned} {weighed} {told}"
    );
    assert!(list(&kitchen.json("plan"), "changes").is_empty());
    // Another test: the promise is of the dry grain that the plan counted on, at the wet end of what is known now.
    kitchen.ok(&format!("moisture {lot} --lab 74% --lab-sd 0.5%"));
    let kept = kitchen.json("plan --careful");
    assert!(list(&kept, "changes").is_empty(), "{kept}");
    assert!(
        (grams(&kept["bakes"][0], "dry_g") - 576.0).abs() < 1.0,
        "{kept}"
    );
    assert!(drawn(&kept, 0) < planned - 100.0, "{kept}");
}

/// The default moisture is so unsure that the wet end holds a third less: the sheet takes as much of the lot as the dough takes.
#[test]
fn a_careful_promise_of_more_than_the_dough_takes_is_weighed_as_far_as_it_takes_it() {
    let kitchen = kitchen();
    birch(&kitchen, "20", "8kg", "");
    bakes(&kitchen, &["22 12:00"]);
    let planned = drawn(&kitchen.json("plan --careful --accept"), 0);
    let sheet = kitchen.json("sheet B-1S");
    let weighed = grams(&sheet["draws"][0], "wet_g");
    let told = kitchen.told("sheet B-1S");
    has(&told, "the grain is what the plan of");
    has(&told, "the dough takes no more of it");
    assert!(weighed < planned, "{planned} {sheet}");
    assert!(
        (weighed * 0.22 - 576.0).abs() < 1.5,
        "the most of the dough: {sheet}"
    );
    // A plan by the estimate keeps as much of it, and says why it is less.
    let plan = kitchen.json("plan");
    assert!((drawn(&plan, 0) - weighed).abs() < 4.0, "{plan}");
    assert_eq!(text(&list(&plan, "changes")[0], "because"), "most-of-dough");
    has(&kitchen.ok("plan"), "the dough takes no more");
}

/// Frozen late on its last day: once thawed it is past. Plan, sheet and today agree, and nobody is told to thaw it.
#[test]
fn grain_without_a_day_left_stays_frozen() {
    let mut kitchen = kitchen();
    kitchen.at("2026-11-26T20:00:00Z");
    let lot = birch(&kitchen, "20", "4kg", "");
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.at("2026-11-27T09:00:00Z");
    bakes(&kitchen, &["29 20:30"]);
    let plan = kitchen.json("plan");
    assert_eq!(
        text(&list(&plan, "spare")[0], "fate"),
        "only-frozen",
        "{plan}"
    );
    has(
        &joined(&kitchen.ok("plan")),
        "no day is left once it is thawed",
    );
    let sheet = joined(&kitchen.ok("sheet B-1S"));
    has(
        &sheet,
        &format!("DO NOT THAW {lot}: no day is left of it then"),
    );
    assert!(!sheet.contains("THAW: take"), "{sheet}");
    kitchen.ok(&format!("bake change B-1S --lot {lot}"));
    let today = kitchen.ok("today --days 3");
    assert!(!today.contains("from the freezer into"), "{today}");
    has(&joined(&kitchen.ok("sheet B-1S")), "DO NOT THAW");
}

/// Two days are left of it: thawed on the evening before, and used on the day after.
#[test]
fn grain_with_days_left_is_thawed_as_before() {
    let mut kitchen = kitchen();
    kitchen.at("2026-11-24T20:00:00Z");
    let lot = birch(&kitchen, "20", "4kg", "");
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.at("2026-11-27T09:00:00Z");
    bakes(&kitchen, &["29 12:00"]);
    has(
        &joined(&kitchen.ok("sheet B-1S")),
        &format!("THAW: take {lot} out of the freezer by"),
    );
}

/// The promised grain is still in the freezer in the morning: nobody is asked to thaw it for a dough that it does not reach.
#[test]
fn grain_that_was_not_thawed_in_time_is_told() {
    let mut kitchen = kitchen();
    let lot = birch(
        &kitchen,
        "19",
        "4kg",
        "--grist \"pale barley malt 100%\" --place freezer",
    );
    birch(&kitchen, "20", "3kg", "--grist \"wheat malt 100%\"");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 20:30\" mix --pieces 12 --free-of wheat");
    kitchen.ok("plan --accept");
    has(
        &joined(&kitchen.ok("today --days 3")),
        "from the freezer into",
    );
    kitchen.at("2026-11-22T11:00:00Z");
    let plan = kitchen.json("plan");
    assert_eq!(
        text(&plan["bakes"][0], "short_because"),
        "not-thawed",
        "{plan}"
    );
    assert_eq!(
        text(&list(&plan, "changes")[0], "because"),
        "not-thawed",
        "{plan}"
    );
    has(
        &joined(&kitchen.ok("plan")),
        "not taken out of the freezer in time: if you take it out now, it will be thawed at Mon 23 Nov 00:00, too late for this bake",
    );
    let today = joined(&kitchen.ok("today"));
    assert!(!today.contains("from the freezer into"), "{today}");
    has(
        &today,
        &format!("of {lot} is still in the freezer. If you take it out now, it will be thawed"),
    );
    has(&today, "too late for B-1S. Plan again: draff plan");
    let due = kitchen.json("today");
    assert!(
        list(&due, "due")
            .iter()
            .any(|due| due["task"] == "not-thawed"),
        "{due}"
    );
}

/// A dough whose minimum is what it wants falls below it half the time; the plan says by how much it may be off.
#[test]
fn a_dough_that_wants_its_minimum_is_told_how_far_it_may_be_off() {
    let kitchen = kitchen();
    kitchen.file(
        "exact.toml",
        LOAF.replace("lowest = \"5%\"", "lowest = \"10%\""),
    );
    kitchen.ok("formula add exact.toml");
    birch(&kitchen, "20", "4kg", "");
    bakes(&kitchen, &["22 12:00"]);
    let plan = kitchen.json("plan");
    let chance = 100.0 * grams(&plan["bakes"][0], "chance_below_min");
    assert!((30.0..70.0).contains(&chance), "{plan}");
    let said = joined(&kitchen.ok("plan"));
    has(&said, "g of dry grain under or over its 576 g (95 % range)");
    assert!(!said.contains("risk of less"), "{said}");
}

/// More than a dough wants is told as less is; crumbs that the scale cannot show are told of nowhere.
#[test]
fn more_than_wanted_is_told_and_crumbs_are_not() {
    let kitchen = kitchen();
    kitchen.ok("settings freezer none");
    kitchen.file(
        "wide.toml",
        LOAF.replace("highest = \"10%\"", "highest = \"12%\""),
    );
    kitchen.ok("formula add wide.toml");
    let lot = birch(&kitchen, "20", "2.7kg", "");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    bakes(&kitchen, &["22 12:00"]);
    has(
        &joined(&kitchen.ok("plan")),
        "621 g dry; wanted 576 g, at most 691 g",
    );
    // Of the dough that takes 576 g at most a gram of grain is left over.
    kitchen.ok("bake change B-1S --version 1");
    kitchen.ok(&format!("discard {lot} --wet 193g --reason spilt"));
    let plan = kitchen.json("plan");
    let left: f64 = list(&plan, "spare")
        .iter()
        .map(|left| grams(left, "wet_g"))
        .sum();
    assert!(left > 0.0 && left < 4.0, "{plan}");
    let said = kitchen.ok("plan");
    assert!(!said.contains("give away"), "{said}");
}

/// A hot tub that nobody has shown cold, beside proven grain: firm bakes are made of the proven, though it has to be frozen for
/// the later one; the other tub goes into an optional bake.
#[test]
fn firm_bakes_are_made_of_grain_that_is_shown_cold_where_there_is_enough() {
    let kitchen = kitchen();
    let proven = birch(&kitchen, "20", "5.6kg", "");
    let hot = kitchen.pickup("--brewed 2026-11-20 --mash-out 09:30 --temp 64C --wet 5kg");
    bakes(&kitchen, &["22 12:00", "28 12:00"]);
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-23 12:00\" mix --pieces 12 --optional");
    let plan = kitchen.json("plan");
    let lots = |bake: &str| -> Vec<String> {
        let all = list(&plan, "bakes").iter();
        let mine = all.filter(|one| text(one, "bake") == bake);
        mine.flat_map(|one| list(one, "draws"))
            .map(|draw| text(draw, "lot").to_owned())
            .collect()
    };
    assert_eq!(lots("B-1S"), std::slice::from_ref(&proven), "{plan}");
    assert_eq!(lots("B-2Q"), [proven], "{plan}");
    assert!(lots("B-3O").contains(&hot), "{plan}");
}

/// Without a freezer a tub on the counter would be given away: the plan says by when it may still go back into the fridge.
#[test]
fn grain_on_a_counter_may_go_back_into_the_fridge() {
    let mut kitchen = kitchen();
    kitchen.ok("settings freezer none");
    let lot = birch(&kitchen, "20", "5kg", "");
    kitchen.at("2026-11-20T10:10:00Z");
    kitchen.ok(&format!("move {lot} counter"));
    bakes(&kitchen, &["24 12:00"]);
    kitchen.at("2026-11-20T11:00:00Z");
    let said = joined(&kitchen.ok("plan"));
    has(
        &said,
        &format!(
            "put {lot} into fridge by Fri 20 Nov 12:09 at the latest: it keeps until Thu 26 Nov, end of day then. Plan again after that"
        ),
    );
    kitchen.ok(&format!("move {lot} fridge"));
    let plan = kitchen.json("plan");
    assert!(drawn(&plan, 0) > 1000.0, "{plan}");
    assert!(!kitchen.ok("plan").contains("Plan again after that"));
}

/// What the text of a plan says is in JSON too: a bake whose first grain is late, and what each aim came to.
#[test]
fn a_late_soaker_and_every_aim_are_in_json() {
    let mut kitchen = Kitchen::new();
    let soaked = LOAF.replace("[grain]\n", "[grain]\nstage = \"sponge\"\n");
    kitchen.file("soaked.toml", &soaked);
    kitchen.ok("formula add soaked.toml");
    birch(&kitchen, "20", "2kg", "");
    bakes(&kitchen, &["21 07:00"]);
    let plan = kitchen.json("plan --accept");
    assert_eq!(
        text(&plan["bakes"][0], "grain_at"),
        "2026-11-20T19:00:00+00:00",
        "{plan}"
    );
    assert_eq!(plan["bakes"][0]["grain_is_late"], false, "{plan}");
    kitchen.at("2026-11-21T06:30:00Z");
    let plan = kitchen.json("plan");
    assert_eq!(plan["bakes"][0]["grain_is_late"], true, "{plan}");
    // 440 g of the 576 g that it wants, all promised and given; two thirds of 440 g, or more, where the tub is wet.
    let aims = &plan["aims"];
    let short = (576.0 - 440.0) / 576.0;
    assert!(
        (grams(aims, "all_firm_shortfalls") - short).abs() < 0.01,
        "{aims}"
    );
    assert!(
        (grams(aims, "all_off_target") - short).abs() < 0.01,
        "{aims}"
    );
    assert!(
        grams(aims, "promised_not_given_dry_g").abs() < 1.0,
        "{aims}"
    );
    assert!(grams(aims, "at_risk_dry_g") < 288.0 - 240.0, "{aims}");
    assert!(grams(aims, "not_shown_cold_dry_g").abs() < 1e-9, "{aims}");
    assert!(grams(aims, "rest") >= 0.05, "{aims}");
}

/// What was wrapped, as one line.
fn joined(said: &str) -> String {
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Somebody put 10 kg into a freezer for 5 kg.
#[test]
fn of_freezers_that_hold_more_than_they_take_the_plan_says_so() {
    let kitchen = kitchen();
    birch(
        &kitchen,
        "20",
        "10kg",
        "--grist \"wheat malt 100%\" --place freezer",
    );
    birch(&kitchen, "20", "2kg", "--grist \"wheat malt 100%\"");
    kitchen.ok("place change freezer --capacity 5kg");
    bakes(&kitchen, &["28 12:00"]);
    has(
        &one_line(&kitchen.ok("plan")),
        "Nothing more is frozen: the freezers already hold more than they take.",
    );
}
