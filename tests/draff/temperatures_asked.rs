//! The temperatures that the water of a dough needs: only what is missing is asked for.

use crate::env::{Kitchen, LOAF, has, one_line};

/// A kitchen that stated its tap and room.
fn told_of_tap_and_room() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    for words in [
        "formula add loaf.toml",
        "settings tap 10C",
        "settings room 21C",
    ] {
        kitchen.ok(words);
    }
    kitchen
}

/// Without a lot nobody knows where the grain lies.
#[test]
fn a_sheet_asks_for_the_grain_alone_where_the_settings_know_the_rest() {
    let kitchen = told_of_tap_and_room();
    kitchen.ok("bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 12");
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    has(
        &sheet,
        "not calculated yet: measure the grain, then type: draff sheet B-1S --grain-temp 4C",
    );
    assert!(!kitchen.json("sheet B-1S --grain-temp 4C")["water_temperature"].is_null());
}

/// How warm the grain was when it went in is not kept.
#[test]
fn the_correction_of_a_done_bake_asks_for_the_grain_alone() {
    let mut kitchen = told_of_tap_and_room();
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 12 --lot {lot}"
    ));
    kitchen.at("2026-11-20T14:00:00Z");
    kitchen.ok("bake done B-1S");
    let told = kitchen.told(&format!(
        "correct {} --dough-temp 27C --reason slip",
        kitchen.last_entry("baked")
    ));
    has(&told, "that needs the temperature of the grain too.");
    let line = format!(
        "correct {} --grain-temp 4C --reason TEXT",
        kitchen.last_entry("baked")
    );
    has(&told, &format!("To add it: `draff {line}`"));
    has(&kitchen.told(&line), "mixing warmed the dough by");
}
