//! A tub that stood on the counter for an hour is written down in the evening, by one act: each way by itself, the first would
//! make it past and the second be a late entry of past grain.

use crate::env::{Kitchen, commands_in, has, one_line};

/// A cold tub on Monday at 20:00.
fn evening() -> (Kitchen, String) {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    kitchen.at("2026-11-09T20:00:00Z");
    (kitchen, lot)
}

#[test]
fn a_tub_that_was_out_for_an_hour_is_back_where_it_was_and_an_hour_warmer() {
    let (kitchen, lot) = evening();
    kitchen.ok(&format!("move {lot} counter --at 13:00 --until 14:00"));
    let tub = kitchen.on_shelf(&lot);
    assert_eq!(tub["place"], "fridge", "{tub}");
    assert_eq!(tub["verdict"], "good", "{tub}");
    let log = kitchen.json(&format!("log {lot}"));
    let entries = log["entries"].as_array().unwrap();
    let moves = entries.iter().filter(|entry| entry["kind"] == "move");
    let places: Vec<&str> = moves.filter_map(|entry| entry["place"].as_str()).collect();
    assert_eq!(places, ["counter", "fridge"], "{log}");
    // Each is struck as any move, the later one first.
    let (back, out) = (kitchen.entries(), kitchen.entries() - 1);
    kitchen.ok(&format!("strike {back} {out} --reason \"other tub\""));
    assert_eq!(kitchen.on_shelf(&lot)["place"], "fridge");
    has(&kitchen.ok("check"), "whole");
}

/// What comes of both is judged together: too long is past, and nothing past becomes usable by it.
#[test]
fn a_tub_that_was_out_too_long_is_past_and_no_past_tub_is_put_into_the_cold_for_a_while() {
    let (kitchen, lot) = evening();
    let told = kitchen.told(&format!("move {lot} counter --at 13:00 --until 19:00"));
    assert!(!told.contains("only for a while"), "{told}");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let (kitchen, lot) = evening();
    kitchen.ok(&format!("move {lot} counter --at 13:00"));
    for into in ["fridge", "freezer"] {
        let late = format!("move {lot} {into} --at 14:00 --until 19:00");
        has(
            &one_line(&kitchen.refused(1, &late)),
            "would make it usable again",
        );
    }
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

#[test]
fn the_first_of_two_late_moves_and_the_refusal_of_the_second_say_what_to_type() {
    let (kitchen, lot) = evening();
    let told = kitchen.told(&format!("move {lot} counter --at 13:00"));
    has(&told, &format!("lot `{lot}` is past by this move"));
    let commands = commands_in(&told);
    let number = kitchen.entries();
    let strike = format!("strike {number} --reason TEXT");
    let again = format!("move {lot} counter --at 2026-11-09T13:00:00+00:00 --until ");
    assert_eq!(commands, [strike.clone(), format!("{again}WHEN")]);
    let said = kitchen.refused(1, &format!("move {lot} fridge --at 14:00"));
    let again = format!("{again}2026-11-09T14:00:00+00:00");
    has(&said, &format!("draff {strike}, then draff {again}"));
    kitchen.ok(&strike);
    kitchen.ok(&again);
    assert_eq!(kitchen.on_shelf(&lot)["place"], "fridge");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    // It lay in no freezer before.
    let (kitchen, lot) = evening();
    kitchen.ok(&format!("move {lot} counter --at 13:00"));
    let said = kitchen.refused(1, &format!("move {lot} freezer --at 14:00"));
    assert!(!said.contains("--until"), "{said}");
}

#[test]
fn a_part_that_was_out_is_a_lot_of_its_own_in_the_same_place() {
    let (kitchen, lot) = evening();
    let part = kitchen.json(&format!(
        "move {lot} counter --wet 1kg --at 13:00 --until 14:00"
    ));
    let part = part["lot"].as_str().unwrap();
    assert_ne!(part, lot);
    assert_eq!(kitchen.on_shelf(part)["place"], "fridge");
}

#[test]
fn it_is_back_after_it_left_and_by_now() {
    let (kitchen, lot) = evening();
    let out = format!("move {lot} counter --at 13:00 --until");
    has(
        &kitchen.refused(2, &format!("{out} 13:00")),
        "after it left",
    );
    kitchen.refused(1, &format!("{out} \"2026-11-09 21:00\""));
    kitchen.refused(2, &format!("move {lot} counter --until 14:00"));
}
