//! How `report` counts whether plans were kept and bakes got their grain, as it says.

use crate::env::{Kitchen, has, one_line};

#[test]
fn a_report_says_which_plan_counts_and_from_what_on_grain_counts_as_enough() {
    let (mut kitchen, _) = Kitchen::with_accepted_plan(24);
    kitchen.at("2026-11-22T06:30:00Z");
    kitchen.ok("bake done B-1S");
    let said = one_line(&kitchen.ok("report"));
    has(&said, ". 98 % of an amount counts as all of it.");
    has(
        &said,
        "What counts is the last plan before a bake that promised grain to it, not those before that.",
    );
}
