//! Words that hold of some answers are not said in others: of a logger's air, of a scale's step, of grain that is past.

use crate::env::{Kitchen, commands_in, has, one_line};
use crate::logger::logged;

#[test]
fn the_layer_in_measured_air_is_told_only_while_the_grain_lies_in_it() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-22T10:00:00Z");
    let defrosts = |row: usize| if row % 24 == 20 { 6.2 } else { 3.5 };
    kitchen.file("f.csv", logged("2026-11-20T10:00:00Z", 5, 577, defrosts));
    kitchen.ok("readings fridge --csv f.csv");
    let said = "the logger measures air: what counts is a layer of 2 cm";
    has(&one_line(&kitchen.ok("shelf")), said);
    kitchen.ok(&format!("move {lot} freezer"));
    for question in ["shelf", "today"] {
        let shown = one_line(&kitchen.ok(question));
        assert!(!shown.contains("the logger measures air: what"), "{shown}");
    }
    assert_eq!(kitchen.on_shelf(&lot)["layer_cm"], 2.0);
}

#[test]
fn yeast_is_rounded_to_a_tenth_of_a_gram_whatever_the_scale_shows() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    for scale in ["1g", "5g"] {
        let words = format!("batch \"small loaf\" --pieces 2 --lot {lot} --scale {scale}");
        let said = one_line(&kitchen.ok(&words));
        let (_, rounding) = said.split_once("Rounding instant yeast").expect("a line");
        let (line, _) = rounding.split_once("0.1 g").unwrap_or((rounding, ""));
        assert!(
            line.ends_with(": small amounts are rounded to "),
            "{scale}: {said}"
        );
    }
}

#[test]
fn a_reading_that_makes_a_lot_past_offers_no_file_that_would_help() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-22T10:00:00Z");
    let told = kitchen.told(&format!("probe {lot} 12C"));
    let entry = kitchen.last_entry("reading");
    let strike = format!("strike {entry} --reason \"not in this lot\"");
    has(
        &told,
        &format!("It stays past. If the thermometer was elsewhere: `draff {strike}`"),
    );
    assert!(!told.contains("logger's file"), "{told}");
    assert!(commands_in(&told).contains(&strike), "{told}");
    kitchen.ok(&strike);
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}
