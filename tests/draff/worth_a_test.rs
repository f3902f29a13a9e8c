//! Whether one more test of a lot is worth the oven: `moisture --why`, `plan` and `today` say the same, with the same grams,
//! of the bake that takes the lot next.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{list, text};
use serde_json::{Value, json};

/// 9 kg of this morning, untested, and 12 small loaves that are mixed tomorrow at 08:00.
fn untested() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_loaf("9kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 12");
    (kitchen, lot)
}

fn why(kitchen: &Kitchen, lot: &str) -> Value {
    kitchen.json(&format!("moisture {lot} --why"))["why"].clone()
}

/// What `today` says of tests.
fn tests(kitchen: &Kitchen) -> Vec<Value> {
    let today = kitchen.json("today");
    let due = list(&today, "due").iter();
    due.filter(|one| one["task"] == "test").cloned().collect()
}

/// Lots that the plan calls worth a test.
fn planned(kitchen: &Kitchen) -> Vec<Value> {
    list(&kitchen.json("plan"), "worth_a_test").clone()
}

#[test]
fn moisture_plan_and_today_say_the_same_of_a_test() {
    let (kitchen, lot) = untested();
    let why_now = why(&kitchen, &lot);
    assert_eq!(why_now["is_worth_a_test"], true, "{why_now}");
    for found in [planned(&kitchen), tests(&kitchen)] {
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(text(&found[0], "lot"), lot);
        assert_eq!(found[0]["bake"], why_now["next_bake"]);
        for grams in ["held_now_g", "held_after_g"] {
            assert_eq!(found[0][grams], why_now[grams], "{grams}");
        }
    }
    // In words the same sentence, with what to type.
    let said = one_line(&kitchen.ok(&format!("moisture {lot} --why")));
    let (_, rest) = said.split_once("Test this lot. One more test").unwrap();
    let (sentence, _) = rest.split_once("made of this lot").unwrap();
    // The plan leaves out what it shows above: formula and lot.
    let grams = sentence.split_once(" from ").unwrap().1;
    let (grams, bake) = grams.split_once(" in ").unwrap();
    let (now, after) = grams.split_once(" to ").unwrap();
    let bake = bake.split_once(',').unwrap().0;
    let plan = one_line(&kitchen.ok("plan"));
    has(
        &plan,
        &format!("{bake} then holds back {after} for moisture instead of {now}"),
    );
    let today = one_line(&kitchen.ok("today"));
    has(&today, sentence);
    has(&today, &format!("draff moisture {lot} PAN WET DRY g"));
    // One sample is enough.
    kitchen.ok(&format!("moisture {lot} 14.2 114.5 37.2 g"));
    assert_eq!(why(&kitchen, &lot)["is_worth_a_test"], false);
    assert_eq!(planned(&kitchen), Vec::<Value>::new());
    assert_eq!(tests(&kitchen), Vec::<Value>::new());
}

/// A test that takes more than a quarter of the held-back water away, and that is a few grams.
#[test]
fn a_test_that_decides_few_grams_is_skipped_everywhere() {
    let (kitchen, lot) = Kitchen::with_bakes("9kg", &[("2026-11-21 08:00", 12)]);
    let said = why(&kitchen, &lot);
    let grams = |key: &str| said[key].as_f64().unwrap();
    assert!(
        grams("held_after_g") < 0.75 * grams("held_now_g"),
        "the case that was told otherwise: {said}"
    );
    assert_eq!(said["is_worth_a_test"], false, "{said}");
    has(
        &kitchen.ok(&format!("moisture {lot} --why")),
        "Skip the test.",
    );
    assert_eq!(planned(&kitchen), Vec::<Value>::new());
    assert_eq!(tests(&kitchen), Vec::<Value>::new());
}

#[test]
fn no_bake_is_named_that_the_lot_may_not_go_into() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        LOAF.replace("[grain]\n", "[grain]\ncolour = \"pale\"\n"),
    );
    kitchen.ok("formula add loaf.toml");
    // Without a grist nobody knows its colour.
    let lot = kitchen.lot("9kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 12");
    let said = why(&kitchen, &lot);
    assert_eq!(
        (&said["next_bake"], &said["is_worth_a_test"]),
        (&json!(null), &json!(null))
    );
    has(
        &one_line(&kitchen.ok(&format!("moisture {lot} --why"))),
        "no bake of the next 14 days takes grain of this lot as it is, so a test helps no dough now",
    );
    assert_eq!(tests(&kitchen), Vec::<Value>::new());
    // Who names a lot means it, whatever its colour.
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-22 08:00\" mix --pieces 4 --lot {lot}"
    ));
    let named = kitchen.json("bake list")["bakes"][1]["bake"].clone();
    assert_eq!(why(&kitchen, &lot)["next_bake"], named);
}

#[test]
fn a_bake_that_names_other_grain_is_not_the_next_one_of_a_lot() {
    let (kitchen, lot) = Kitchen::with_loaf("9kg");
    let other = kitchen.lot_from("Mill Brook", "--wet 9kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 12 --lot {other}"
    ));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 08:00\" mix --pieces 4");
    let bakes = kitchen.json("bake list");
    let code = |place: usize| bakes["bakes"][place]["bake"].clone();
    assert_eq!(why(&kitchen, &other)["next_bake"], code(0));
    assert_eq!(why(&kitchen, &lot)["next_bake"], code(1));
    // What a plan promised goes before what may go in.
    kitchen.ok("plan --accept");
    let plan = kitchen.json("plan");
    for lot in [&lot, &other] {
        let mut bakes = list(&plan, "bakes").iter();
        let draws = |bake: &&Value| list(bake, "draws").iter().any(|draw| draw["lot"] == **lot);
        let first = bakes.find(draws).map(|bake| bake["bake"].clone());
        assert_eq!(
            why(&kitchen, lot)["next_bake"],
            first.unwrap_or(Value::Null),
            "{lot}: {plan}"
        );
    }
}

#[test]
fn today_asks_for_a_test_only_while_a_sample_can_be_dried_in_time() {
    let (mut kitchen, lot) = untested();
    // Four hours before 08:00 nobody is there, so it is due in the evening before.
    assert_eq!(tests(&kitchen)[0]["by"], "2026-11-20T21:00:00+00:00");
    kitchen.at("2026-11-20T22:00:00Z");
    assert_eq!(tests(&kitchen), Vec::<Value>::new());
    assert_eq!(why(&kitchen, &lot)["is_worth_a_test"], true);
}

#[test]
fn today_asks_for_no_test_of_a_lot_whose_bake_is_days_away_or_whose_sample_is_drying() {
    let (mut kitchen, lot) = Kitchen::with_loaf("9kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-24 12:00\" mix --pieces 12");
    assert_eq!(tests(&kitchen), Vec::<Value>::new());
    kitchen.at("2026-11-23T10:00:00Z");
    assert_eq!(tests(&kitchen)[0]["by"], "2026-11-24T08:00:00+00:00");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g"));
    assert_eq!(tests(&kitchen), Vec::<Value>::new());
}

#[test]
fn today_asks_for_no_test_of_a_frozen_lot() {
    let (kitchen, lot) = untested();
    kitchen.ok(&format!("move {lot} freezer"));
    assert_eq!(tests(&kitchen), Vec::<Value>::new());
}
