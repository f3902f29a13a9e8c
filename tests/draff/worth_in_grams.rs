//! `bake advise` says how much dry grain a test of a lot decides, by planning again with each moisture that it may show.

use crate::env::{Kitchen, has, one_line};
use serde_json::{Value, json};

/// 20 kg of this morning, untested, and 24 small loaves on Sunday, which want 1152 g of dry grain and take no more.
fn untested() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_loaf("20kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 10:00\" mix --pieces 24");
    (kitchen, lot)
}

fn to_test(kitchen: &Kitchen) -> Value {
    kitchen.json("bake advise")["lots_to_test"].clone()
}

#[test]
fn a_lot_that_nobody_tested_is_named_with_the_grams_that_a_test_decides() {
    let (kitchen, lot) = untested();
    let found = to_test(&kitchen);
    assert_eq!(found.as_array().unwrap().len(), 1, "{found}");
    assert_eq!(found[0]["lot"], lot.as_str());
    // 5.237 kg are drawn at 78 ± 3.6 points, and half of what is frozen to spare is missed. Drier by 5.4, 2.9 and 1.4 points, 285,
    // 154 and 71 g too much go into the dough, of which half would be spare. Wetter, the water of the dough allows 5.516, 5.409
    // and 5.247 kg instead, of which all is missed and half would not be spare: 1.5 times 58, 33 and 2 g. The mean is that sum ÷ 7.
    let grams = found[0]["decides_dry_g"].as_f64().unwrap();
    let expected = (0.5 * (285.0 + 154.0 + 71.0) + 1.5 * (57.6 + 32.8 + 1.7)) / 7.0;
    assert!((grams - expected).abs() < 1.0, "{found} and {expected}");
    let words = kitchen.ok("bake advise");
    assert!(
        words.lines().all(|line| line.chars().count() <= 80),
        "{words}"
    );
    let line = one_line(&words);
    has(
        &line,
        &format!("Weigh a sample of {lot}: it decides {grams:.0} g of dry grain (doughs"),
    );
    has(&line, &format!("draff moisture {lot} PAN WET DRY g"));
    assert!(!one_line(&kitchen.ok("bake advise --quiet")).contains("(doughs"));
    // The same again, and nothing is written.
    let before = kitchen.files();
    assert_eq!(to_test(&kitchen), found);
    assert!(before == kitchen.files(), "nothing is written");
    // Once it is done it is not asked for.
    kitchen.ok(&format!("moisture {lot} 14.2 114.5 37.2 g"));
    assert_eq!(to_test(&kitchen), json!([]));
}

#[test]
fn a_promise_holds_no_test_back() {
    let (kitchen, lot) = untested();
    let before = to_test(&kitchen);
    kitchen.ok("plan --accept");
    let found = to_test(&kitchen);
    assert_eq!(found[0]["lot"], lot.as_str(), "{found}");
    let grams = |found: &Value| found[0]["decides_dry_g"].as_f64().unwrap();
    assert!((grams(&found) - grams(&before)).abs() < 5.0, "{found}");
}

#[test]
fn no_test_is_named_that_decides_nothing_or_comes_too_late() {
    // All of the lot goes into the dough, however moist it is.
    let (kitchen, _) = Kitchen::with_loaf("3kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 10:00\" mix --pieces 24");
    assert_eq!(to_test(&kitchen), json!([]));
    // A sample dries for four hours.
    let (kitchen, _) = Kitchen::with_loaf("20kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-20 13:00\" mix --pieces 24");
    assert_eq!(to_test(&kitchen), json!([]));
    // One is in the oven already.
    let (kitchen, lot) = untested();
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g"));
    assert_eq!(to_test(&kitchen), json!([]));
    // Frozen, it is tested once it is thawed.
    let (kitchen, lot) = untested();
    kitchen.ok(&format!("move {lot} freezer"));
    assert_eq!(to_test(&kitchen), json!([]));
    // It is known to a half point.
    let (kitchen, lot) = untested();
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    assert_eq!(to_test(&kitchen), json!([]));
}
