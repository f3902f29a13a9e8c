//! Grain that is frozen by what is said of its place, and not by a move, stays what the plan promised.

use crate::env::Kitchen;
use crate::plan::{grams, list, text};
use serde_json::json;

/// Friday morning with one bake of Monday week that is to be made of frozen grain: its bag lies in a box in the
/// fridge, and then the box goes into the freezer as it is. Gives the lot, the bag and its weight too.
fn boxed() -> (Kitchen, String, String, f64) {
    let (mut kitchen, lot) = Kitchen::with_loaf("3kg");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-30 06:00\" mix --pieces 12");
    let plan = kitchen.json("plan --accept");
    let draw = &plan["bakes"][0]["draws"][0];
    assert_eq!(text(draw, "state"), "thawed");
    let wet = grams(draw, "wet_g");
    kitchen.ok("place add box --kind fridge --temp 3C");
    let bag = kitchen.json(&format!("move {lot} --wet {wet}g --to box"));
    let bag = text(&bag, "lot").to_owned();
    kitchen.at("2026-11-20T10:05:00Z");
    kitchen.ok("place change box --kind freezer --temp -18C");
    (kitchen, lot, bag, wet)
}

#[test]
fn a_bag_that_is_frozen_with_its_box_stays_promised() {
    let (kitchen, lot, bag, wet) = boxed();
    let shown = kitchen.json("bake show B-1S");
    let promised = &shown["promised"][0];
    assert_eq!(promised["lot"], json!(bag), "{shown}");
    assert_eq!(promised["planned_lot"], json!(lot), "{shown}");
    assert_eq!(promised["lacking_g"], json!(0.0), "{shown}");
    assert_eq!(kitchen.on_shelf(&bag)["promised_g"], json!(wet));
}

#[test]
fn a_bag_that_is_thawed_with_its_box_was_frozen_in_time() {
    let (mut kitchen, _, bag, wet) = boxed();
    kitchen.at("2026-11-29T08:00:00Z");
    kitchen.ok("place change box --kind fridge --temp 3C");
    let today = kitchen.json("today --days 4");
    let due = list(&today, "due");
    assert!(!due.iter().any(|due| due["task"] == "too-late"), "{today}");
    assert_eq!(kitchen.on_shelf(&bag)["promised_g"], json!(wet));
}
