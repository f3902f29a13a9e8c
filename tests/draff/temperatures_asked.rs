//! The temperatures that the water of a dough needs: only what is missing is asked for.

use crate::env::{Kitchen, LOAF, has, one_line};

/// A kitchen that stated its tap and room, with a bake of Friday noon of grain from two fridges that are not equally cold.
fn two_fridges() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    for words in [
        "formula add loaf.toml",
        "place add walk-in --kind fridge --temp 3C",
        "settings tap 10C",
        "settings room 21C",
    ] {
        kitchen.ok(words);
    }
    let first = kitchen.lot("1kg");
    let second = kitchen.lot_from("Corrow Weir", "--wet 6kg --place walk-in");
    for lot in [&first, &second] {
        kitchen.ok(&format!("moisture {lot} --lab 77%"));
    }
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 12 --lot {first} --lot {second}"
    ));
    kitchen
}

#[test]
fn a_sheet_asks_for_the_grain_alone_where_the_settings_know_the_rest() {
    let kitchen = two_fridges();
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    has(
        &sheet,
        "not calculated yet: measure the grain, then type: draff sheet B-1S --grain-temp 4C [ ]",
    );
    assert!(!kitchen.json("sheet B-1S --grain-temp 4C")["water_temperature"].is_null());
}

#[test]
fn a_done_bake_and_its_correction_ask_for_the_grain_alone() {
    let mut kitchen = two_fridges();
    kitchen.at("2026-11-20T14:00:00Z");
    let asks = |told: &str, entry: i64| {
        has(told, "that needs the temperature of the grain too.");
        let line = format!("correct {entry} --grain-temp 4C --reason TEXT");
        has(told, &format!("To add it: `draff {line}`"));
        line
    };
    let told = kitchen.told("bake done B-1S --dough-temp 26C");
    asks(&told, kitchen.last_entry("baked"));
    let told = kitchen.told(&format!(
        "correct {} --dough-temp 27C --reason slip",
        kitchen.last_entry("baked")
    ));
    let line = asks(&told, kitchen.last_entry("baked"));
    has(&kitchen.told(&line), "mixing warmed the dough by");
}
