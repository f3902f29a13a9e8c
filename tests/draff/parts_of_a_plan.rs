//! What a plan shows of one bake adds up, and is what `bake add` told.

use crate::env::{Kitchen, has, one_line};

const ADD: &str = "bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 99";

/// The bakes of a plan, on one line.
fn bakes(kitchen: &Kitchen) -> String {
    let plan = one_line(&kitchen.ok("plan"));
    plan.split_once(" TO DO ").unwrap().0.to_owned()
}

/// 99 pieces want 4752.505 g of dry grain, and 21 602 g of grain of 78 % hold 4752.44 g: arithmetic.
#[test]
fn a_bake_that_whole_grams_bring_to_what_it_wants_is_told_that() {
    let (kitchen, lot) = Kitchen::with_loaf("25kg");
    has(&one_line(&kitchen.ok(ADD)), "wanted 4753 g of dry grain");
    let bakes = bakes(&kitchen);
    has(&bakes, "B-1S Sun 22 Nov 06:00 4753 g small loaf");
    has(&bakes, &format!("21.602 kg of {lot}, 4753 g dry"));
}

#[test]
fn the_dry_grain_of_its_lots_adds_up_to_that_of_a_bake() {
    let (kitchen, _) = Kitchen::with_loaf("10003g");
    kitchen.lot("12kg");
    kitchen.ok(ADD);
    let bakes = bakes(&kitchen);
    has(&bakes, "06:00 4753 g small loaf");
    let before_dry = bakes.split(" g dry").map(|part| part.rsplit(' ').next());
    let parts: Vec<i64> = before_dry.filter_map(|grams| grams?.parse().ok()).collect();
    assert_eq!(parts.len(), 2, "{bakes}");
    assert_eq!(parts.iter().sum::<i64>(), 4753, "{bakes}");
}
