//! What is said of plans beside `plan`: by whose plan grain spoils, and what a sheet takes of what is promised.

use crate::env::{Kitchen, LOAF, has, one_line};

/// A block of 10 kg in the freezer, and a bake of Monday that takes a quarter of it; gives the lot's code.
fn block() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot_from("Alder Lane", "--wet 10kg --place freezer");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 12");
    (kitchen, lot)
}

#[test]
fn the_rest_of_a_block_spoils_by_the_plan_that_thaws_it() {
    let (kitchen, _) = block();
    let told = one_line(&kitchen.ok("bake advise --days 14"));
    has(
        &told,
        "By the best plan (not accepted; draff plan shows it), until Thu 3 Dec, end of day:",
    );
    has(
        &told,
        "spoils after Fri 27 Nov, end of day: that plan takes all of it out of the freezer by Sun 22 Nov 17:00, for B-1S",
    );
    kitchen.ok("plan --accept");
    let told = one_line(&kitchen.ok("bake advise --days 14"));
    has(&told, "By the best plan, accepted or not");
}

#[test]
fn a_bake_says_that_its_sheet_takes_the_promised_grain_only_while_it_is_there() {
    let (kitchen, lot) = block();
    kitchen.ok("plan --accept");
    has(
        &kitchen.ok("bake show B-1S"),
        "none named: the sheet takes what is promised\n",
    );
    kitchen.ok(&format!("use {lot} 8kg --for buns"));
    let shown = one_line(&kitchen.ok("bake show B-1S"));
    has(
        &shown,
        "none named: not all that is promised is there; the sheet says what it takes",
    );
}
