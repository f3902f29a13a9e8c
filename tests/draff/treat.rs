//! `treat`: what comes out, its moisture and its clock, and what is refused.

use crate::env::{Kitchen, SLIP, has};
use serde_json::json;

/// A tested lot: 76.6 %.
fn tested(kitchen: &Kitchen) -> String {
    let lot = kitchen.lot("20kg");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g,35.4g"));
    lot
}

fn treated(kitchen: &Kitchen, words: &str) -> String {
    kitchen.json(words)["lot"].as_str().unwrap().to_owned()
}

fn moisture(kitchen: &Kitchen, lot: &str) -> f64 {
    kitchen.json(&format!("moisture {lot}"))["wet_basis"]
        .as_f64()
        .unwrap()
}

#[test]
fn pressed_grain_is_a_lot_of_its_own_with_the_moisture_of_its_weights() {
    let kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    let pressed = treated(
        &kitchen,
        &format!("treat {lot} --step press --wet-in 10kg --wet-out 6.4kg"),
    );
    let on_shelf = kitchen.on_shelf(&pressed);
    assert_eq!(on_shelf["form"], "pressed");
    assert_eq!(on_shelf["wet_g"], json!(6400.0));
    assert_eq!(on_shelf["moisture"]["from"], "treatment");
    assert_eq!(on_shelf["keep_until"], kitchen.on_shelf(&lot)["keep_until"]);
    let before = moisture(&kitchen, &lot);
    let after = moisture(&kitchen, &pressed);
    assert!((10.0 * (1.0 - before) - 6.4 * (1.0 - after)).abs() < 1e-9);
    // A test made later of what went in makes the product's figure truer, one of the product takes its place.
    kitchen.ok(&format!("moisture {lot} --lab 80% --lab-sd 0.1%"));
    assert!(moisture(&kitchen, &pressed) > after);
    kitchen.ok(&format!("moisture {pressed} --weighing 12.0g,112.0g,47.0g"));
    assert_eq!(kitchen.on_shelf(&pressed)["moisture"]["from"], "test");
    // It says nothing of what went in.
    assert!((moisture(&kitchen, &lot) - 0.80).abs() < 0.01);
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn stated_losses_are_not_in_the_product() {
    let kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    let words = format!("treat {lot} --step press --wet-in 5kg --wet-out 3kg");
    let clean = moisture(&kitchen, &treated(&kitchen, &words));
    let lossy = moisture(
        &kitchen,
        &treated(
            &kitchen,
            &format!("{words} --dry-loss 100g --left-behind 200g"),
        ),
    );
    let dry = 5000.0 * (1.0 - moisture(&kitchen, &lot));
    assert!((3000.0 * (1.0 - clean) - dry).abs() < 1e-6);
    assert!((3200.0 * (1.0 - lossy) - (dry - 100.0)).abs() < 1e-6);
    let usage = kitchen.json("usage");
    let line = &usage["usage"][1];
    assert_eq!(line["kind"], "treatment-loss");
    assert_eq!(line["wet_g"], json!(2000.0));
    let lost = 100.0 + 200.0 * (1.0 - lossy);
    assert!((line["dry_g"].as_f64().unwrap() - lost).abs() < 1e-6);
}

#[test]
fn water_that_is_added_is_a_loss_below_nothing() {
    let kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    let blended = treated(
        &kitchen,
        &format!("treat {lot} --step blend --wet-in 2kg --wet-out 2.5kg --water-added 500g"),
    );
    assert_eq!(kitchen.on_shelf(&blended)["form"], "blended");
    let usage = kitchen.json("usage");
    assert_eq!(usage["usage"][0]["wet_g"], json!(-500.0));
    assert_eq!(usage["usage"][0]["dry_g"], json!(0.0));
    assert_eq!(usage["usage"][0]["moisture_wet_basis"], json!(null));
    assert!(kitchen.ok("check").contains("whole"));
}

/// Dried within the time the rules leave, tested at once, then soaked: day 1 again.
#[test]
fn dried_grain_is_unknown_until_it_is_shown_dry_and_soaked_grain_is_on_day_one() {
    let mut kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    kitchen.at("2026-11-20T13:00:00Z");
    let dried = treated(
        &kitchen,
        &format!(
            "treat {lot} --step dry --wet-in 4kg --wet-out 1.02kg --minutes 100 --temp 65C --place dry-store"
        ),
    );
    let shelf = kitchen.on_shelf(&dried);
    assert_eq!(
        (&shelf["form"], &shelf["verdict"]),
        (&json!("dried"), &json!("unknown"))
    );
    let refused = kitchen.refused(1, &format!("use {dried} --wet 100g --for bread"));
    assert!(refused.contains("water activity"), "{refused}");
    kitchen.ok(&format!("probe {dried} --aw 0.45"));
    let shelf = kitchen.on_shelf(&dried);
    assert_eq!(
        (&shelf["verdict"], &shelf["warm_minutes"]),
        (&json!("good"), &json!(100))
    );
    kitchen.at("2026-12-20T09:00:00Z");
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "good");
    let milled = treated(
        &kitchen,
        &format!("treat {dried} --step mill --wet-in 500g --wet-out 495g --left-behind 5g"),
    );
    let shelf = kitchen.on_shelf(&milled);
    assert_eq!(
        (&shelf["form"], &shelf["verdict"]),
        (&json!("milled"), &json!("good"))
    );
    let soaked = treated(
        &kitchen,
        &format!(
            "treat {dried} --step soak --wet-in 200g --wet-out 700g --water-added 500g --place fridge"
        ),
    );
    let shelf = kitchen.on_shelf(&soaked);
    assert_eq!(shelf["form"], "whole");
    assert_eq!(shelf["keep_until"], "2026-12-20T13:00:00+00:00");
    kitchen.at("2026-12-20T12:00:00Z");
    kitchen.ok(&format!("probe {soaked} 4C"));
    assert_eq!(
        kitchen.on_shelf(&soaked)["keep_until"],
        "2026-12-26T23:59:59+00:00"
    );
    // What is drained or soaked says nothing of what the brewery brings.
    let fresh = kitchen.pickup("--brewed today --wet 1kg");
    let before = kitchen.json(&format!("moisture {fresh}"));
    kitchen.ok(&format!("moisture {soaked} --weighing 12.0g,112.0g,38.0g"));
    assert_eq!(kitchen.json(&format!("moisture {fresh}")), before);
}

#[test]
fn drying_for_too_long_is_past_and_no_entry_helps() {
    let mut kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    kitchen.at("2026-11-20T20:00:00Z");
    let dried = treated(
        &kitchen,
        &format!("treat {lot} --step dry --wet-in 4kg --wet-out 1.02kg --minutes 300 --temp 65C"),
    );
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "past");
    // Past while it dried: past before it was over.
    kitchen.ok(&format!("probe {dried} --aw 0.3"));
    kitchen.ok(&format!("moisture {dried} --weighing 12.0g,112.0g,106.0g"));
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "past");
}

/// The rest of the lot lies in the cold while a part is in the dryer: what is measured there is no word for it.
#[test]
fn what_is_measured_of_the_rest_is_no_word_for_what_is_in_the_dryer() {
    let mut kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    kitchen.at("2026-11-20T15:00:00Z");
    for time in ["11:00", "12:00", "13:00", "14:00"] {
        kitchen.ok(&format!("probe {lot} 3C --at {time}"));
    }
    let dried = treated(
        &kitchen,
        &format!("treat {lot} --step dry --wet-in 4kg --wet-out 1.02kg --minutes 270 --temp 65C"),
    );
    assert_eq!(kitchen.on_shelf(&dried)["verdict"], "past");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

#[test]
fn what_cannot_be_is_refused() {
    let kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    let refused = |code, words: &str| kitchen.refused(code, &format!("treat {lot} {words}"));
    for (code, words, said) in [
        (
            1,
            "--step press --wet-in 1kg --wet-out 1.1kg",
            "1100 g came out",
        ),
        (
            1,
            "--step dry --wet-in 10kg --wet-out 2.6kg --minutes 90 --temp 65C",
            "is before that",
        ),
        (
            1,
            "--step press --wet-in 10kg --wet-out 1kg",
            "less than no water",
        ),
        (
            1,
            "--step press --wet-in 30kg --wet-out 20kg",
            "has 20 kg left",
        ),
        (1, "--step mill --wet-out 1kg", "too wet to mill"),
        (
            1,
            "--step soak --wet-out 1kg --water-added 1kg",
            "is wet already",
        ),
        (
            1,
            "--step press --wet-in 1kg --wet-out 900g --water-added 100g",
            "no water is added",
        ),
        (
            2,
            "--step dry --wet-in 1kg --wet-out 300g",
            "counts as warm",
        ),
        (
            2,
            "--step press --wet-out 1kg --minutes 5",
            "together or not at all",
        ),
        (2, "--step press", "--wet-out is missing"),
        (2, "--wet-out 1kg", "--step is missing"),
        (
            2,
            "--step squeeze --wet-out 1kg",
            "allowed are press, blend",
        ),
        (2, "--step press --wet-out 6,4kg", "6,4kg"),
        (2, "--step press --wet-out 1kg --minutes 0 --temp 20C", "0"),
        (1, "--step press --wet-out 9kg --place attic", "attic"),
        (2, "--plan dry", "--to"),
        (2, "--plan blend --to 8%", "no plan"),
        (2, "--plan dry --to 100%", "100"),
        (1, "--plan dry --to 80%", "is not drier"),
        (2, "--plan dry --to 8% --temp -5C", "freezes"),
    ] {
        let found = refused(code, words);
        assert!(found.contains(said), "{words}: {found}");
    }
    assert!(
        kitchen
            .refused(2, "treat --plan dry --to 8%")
            .contains("name a lot")
    );
}

#[test]
fn frozen_grain_takes_its_time_to_thaw() {
    let mut kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.at("2026-11-24T10:00:00Z");
    let words =
        format!("treat {lot} --step thaw-drain --wet-in 2kg --wet-out 1.8kg --place fridge");
    assert!(kitchen.refused(1, &words).contains("thaw"));
    let drained = treated(&kitchen, &format!("{words} --minutes 1200 --temp 4C"));
    let shelf = kitchen.on_shelf(&drained);
    // The day of the mash and that it went in, the day it came out, today.
    assert_eq!(
        (&shelf["day"], &shelf["form"]),
        (&json!(3), &json!("whole"))
    );
}

#[test]
fn a_struck_treatment_gives_the_grain_back() {
    let kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    let pressed = treated(
        &kitchen,
        &format!("treat {lot} --step press --wet-in 10kg --wet-out 6.4kg"),
    );
    let entry = kitchen.last_entry("treat");
    kitchen.ok(&format!("use {pressed} --wet 1kg --for bread"));
    let refused = kitchen.refused(1, &format!("strike {entry} --reason wrong"));
    assert!(refused.contains("on it"), "{refused}");
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {used} --reason wrong"));
    kitchen.ok(&format!("strike {entry} --reason wrong"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(20_000.0));
    assert!(
        kitchen
            .refused(1, &format!("moisture {pressed}"))
            .contains("struck")
    );
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_plan_says_what_drying_takes() {
    let kitchen = Kitchen::new();
    let plan = kitchen.json("treat --plan dry --to 8% --wet-in 10kg --moisture 78% --temp 100C");
    let number = |key: &str| plan[key].as_f64().unwrap();
    // 10 kg at 78 % to 8 %: 2.3913 kg stay, 7.6087 kg go, 17.17 MJ at 2257 kJ/kg (arithmetic on steam tables).
    assert!((number("product_g") - 2391.304).abs() < 0.001);
    assert!((number("water_g") - 7608.696).abs() < 0.001);
    let least = plan["heat"]["least_mj"].as_f64().unwrap();
    assert!((least - 17.17).abs() < 0.01, "{least}");
    assert_eq!(plan["warm_minutes_left"], json!(null));
    let lot = tested(&kitchen);
    let words = kitchen.ok(&format!("treat {lot} --plan dry --to 8% --minutes 300"));
    for said in [
        "at the least",
        "laboratory dryer",
        "4 h of 4 h are left",
        "would be past",
    ] {
        assert!(words.contains(said), "{words}");
    }
    let pressed = kitchen.ok(&format!("treat {lot} --plan press --to 65%"));
    assert!(
        pressed.contains("run off") && !pressed.contains("Heat"),
        "{pressed}"
    );
}

/// What comes out of the press is put to what was pressed before: one act, two entries that join stand on it.
#[test]
fn a_product_is_put_to_another_lot_in_one_act() {
    let kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    let first = treated(
        &kitchen,
        &format!("treat {lot} --step press --wet-in 10kg --wet-out 6.4kg"),
    );
    let entries = kitchen.entries();
    let both = treated(
        &kitchen,
        &format!("treat {lot} --step press --wet-in 5kg --wet-out 3.2kg --into {first}"),
    );
    assert_eq!(
        kitchen.entries(),
        entries + 3,
        "a treatment and two that join"
    );
    let on_shelf = kitchen.on_shelf(&both);
    assert_eq!(on_shelf["wet_g"], json!(9600.0));
    assert_eq!(on_shelf["form"], "pressed");
    assert_eq!(on_shelf["moisture"]["from"], "joined lots");
    // 15 kg of 76.6 % pressed to 9.6 kg: dry grain stays.
    let dry = 15.0 * (1.0 - moisture(&kitchen, &lot));
    assert!((9.6 * (1.0 - moisture(&kitchen, &both)) - dry).abs() < 1e-9);
    assert!(kitchen.ok("check").contains("whole"));
    // Whole grain does not go to pressed grain, nor anything to what is past; nothing is written then.
    let other = kitchen.lot("2kg");
    for words in [
        format!("treat {lot} --step press --wet-in 1kg --wet-out 700g --into {other}"),
        format!("treat {lot} --step press --wet-in 1kg --wet-out 700g --into {first}"),
        format!("treat {lot} --step press --wet-in 1kg --wet-out 700g --into {lot}"),
        format!("treat {lot} --step press --wet-in 1kg --wet-out 700g --into NONE"),
    ] {
        kitchen.refused(1, &words);
    }
}

/// 2 kg and 500 g of water came out as 2.4 kg: the water came on top, and what stayed in the machine is lost.
#[test]
fn added_water_is_not_lost() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!(
        "treat {lot} --step blend --wet-in 2kg --wet-out 2.4kg --water-added 500g --left-behind 100g --minutes 10 --temp 18C"
    ));
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    let usage = kitchen.ok("usage");
    assert!(
        usage.contains("water added") && usage.contains("+500 g"),
        "{usage}"
    );
    assert!(
        usage.contains("treatment-loss") && usage.contains(" 100 g"),
        "{usage}"
    );
    // A trace shows both too.
    let trace = kitchen.ok(&format!("trace {lot}"));
    assert!(
        trace.contains("+500 g") && trace.contains("100 g of"),
        "{trace}"
    );

    assert!(usage.contains("In all 1.1 kg wet"), "{usage}");
    assert!(usage.contains("500 g came on top"), "{usage}");
}

/// It is written, for it may be so, and the line that puts it right is told.
#[test]
fn more_water_than_grain_holds_is_doubted() {
    let kitchen = Kitchen::new();
    let lot = tested(&kitchen);
    let blend = format!("treat {lot} --step blend --wet-in 1kg");
    let told = kitchen.told(&format!("{blend} --water-added 50kg --wet-out 51kg"));
    has(
        &told,
        "50 kg of water added to 1 kg of grain: that comes to 99.5 % water",
    );
    let entry = kitchen.last_entry("treat");
    has(
        &told,
        &format!("`draff correct {entry} --water-added MASS --reason TEXT`"),
    );
    // The correction is held to the same.
    let told = kitchen.told(&format!(
        "correct {entry} --water-added 40kg --wet-out 41kg {SLIP}"
    ));
    let entry = kitchen.last_entry("treat");
    has(&told, "40 kg of water added to 1 kg of grain");
    has(&told, &format!("draff correct {entry} --water-added"));
    let told = kitchen.told(&format!(
        "correct {entry} --water-added 50g --wet-out 1.05kg {SLIP}"
    ));
    assert!(!told.contains("water added to"), "{told}");
    // Without water it is the dry grain that was lost: 234 g went in.
    let press = format!("treat {lot} --step press --wet-in 1kg --wet-out 640g");
    let told = kitchen.told(&format!("{press} --dry-loss 220g"));
    has(&told, "220 g of dry grain lost from 1 kg");
    let told = kitchen.told(&format!("{press} --dry-loss 20g"));
    assert!(!told.contains("dry grain lost"), "{told}");
}

/// Warm dry grain that went back into the fridge would be past at once: nobody puts it there.
#[test]
fn grain_that_was_dried_lies_in_the_dry_store_unless_told() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.at("2026-11-20T14:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {lot} --step dry --wet-out 2.1kg --minutes 180 --temp 90C"
    ));
    assert_eq!(dried["verdict"], "unknown", "{dried}");
    let dried = kitchen.on_shelf(dried["lot"].as_str().unwrap());
    assert_eq!(dried["place"], "dry-store", "{dried}");
}

#[test]
fn thawed_grain_is_not_left_in_the_freezer_without_a_word() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("2kg");
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.at("2026-11-22T10:00:00Z");
    let thaw = format!("treat {lot} --step thaw-drain --wet-out 1.9kg --minutes 300 --temp 4C");
    let said = kitchen.refused(1, &thaw);
    assert!(said.contains("where it lies since it thawed"), "{said}");
    assert!(said.contains("--place"), "{said}");
    let thawed = kitchen.json(&format!("{thaw} --place fridge"));
    let thawed = kitchen.on_shelf(thawed["lot"].as_str().unwrap());
    assert_eq!(thawed["place"], "fridge", "{thawed}");
}
