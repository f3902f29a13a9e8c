//! What is to be typed of grain that was taken out of the freezer names the fridge of the house in which it thaws.

use crate::env::{Kitchen, has, one_line};
use crate::plan_places::with_places;
use crate::thawing::frozen_for_a_bake;

/// A bake of Saturday, 14:00, of a lot in the freezer, in a house with these places; nobody wrote down that it was taken out.
fn of_frozen(places: &[&str]) -> (Kitchen, String) {
    let kitchen = with_places(places);
    let lot = frozen_for_a_bake(&kitchen);
    (kitchen, lot)
}

/// What the sheet says when it is too late to thaw, and what is told once the bake is done.
#[track_caller]
fn both_type(places: &[&str], to: &str) {
    let (mut kitchen, lot) = of_frozen(places);
    kitchen.at("2026-11-21T06:00:00Z");
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    has(
        &sheet,
        &format!("type draff move {lot} --to {to} --at WHEN"),
    );
    kitchen.at("2026-11-21T14:30:00Z");
    let told = kitchen.told("bake done B-1S");
    has(
        &told,
        &format!("say when: `draff move {lot} --to {to} --at WHEN`"),
    );
}

#[test]
fn the_fridge_that_is_cold_enough_is_named() {
    both_type(
        &[
            "change fridge --temp 9C",
            "add \"walk in\" --kind fridge --temp 3C",
        ],
        "'walk in'",
    );
}

#[test]
fn without_a_fridge_that_is_cold_enough_none_is_named() {
    both_type(&["change fridge --temp 9C"], "PLACE");
}
