//! What a careless baker and an inspector found when they looked a third time: what a late entry, a correction or a strike
//! does to grain on hand and to grain that is gone.

use crate::env::{Kitchen, has};
use serde_json::json;

const LOAF: &str = include_str!("formula/loaf.toml");

fn cooled(kitchen: &Kitchen, wet: &str) -> String {
    kitchen.pickup(&format!(
        "--brewed 2026-11-20 --mash-out 06:00 --cooled 09:00 --wet {wet}"
    ))
}

/// A move that nobody wrote down makes grain past that somebody was given meanwhile.
#[test]
fn a_late_move_names_who_got_the_grain() {
    let mut kitchen = Kitchen::new();
    let lot = cooled(&kitchen, "8kg");
    kitchen.at("2026-11-21T12:30:00Z");
    kitchen.ok(&format!("give {lot} --wet 1kg --to Nan"));
    kitchen.at("2026-11-21T13:00:00Z");
    let told = kitchen.told(&format!(
        "move {lot} --to counter --at \"2026-11-20 20:00\""
    ));
    has(&told, "1 kg");
    has(&told, "Nan");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

#[test]
fn a_place_that_was_warmer_names_lots_and_who_got_the_grain() {
    let mut kitchen = Kitchen::new();
    let lot = cooled(&kitchen, "8kg");
    kitchen.at("2026-11-21T12:30:00Z");
    kitchen.ok(&format!("give {lot} --wet 1kg --to Nan"));
    kitchen.at("2026-11-21T13:00:00Z");
    let told = kitchen.told("place change fridge --temp 12C --at \"2026-11-20 20:00\"");
    has(&told, "Nan");
    has(&told, &format!("do not use `{lot}`, which is past"));
}

/// Eight bags are made of a tub: a correction of the tub's mash-out is one of all of them.
#[test]
fn a_correction_names_what_on_hand_may_not_be_used_any_more() {
    let mut kitchen = Kitchen::new();
    let lot = cooled(&kitchen, "8kg");
    let pickup = kitchen.last_entry("pickup");
    let cold = kitchen.last_entry("cooled");
    kitchen.at("2026-11-20T10:10:00Z");
    let bags = kitchen.json(&format!("portion {lot} --into 8x1kg"));
    let bags: Vec<&str> = bags["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|bag| bag["lot"].as_str().unwrap())
        .collect();
    kitchen.at("2026-11-20T10:20:00Z");
    let struck = kitchen.told(&format!("strike {cold} --reason \"another tub\""));
    for bag in &bags {
        has(&struck, &format!("do not use `{bag}`, which is unknown"));
    }
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason \"it was this one\""));
    let corrected = kitchen.told(&format!("correct {pickup} --mash-out 02:00 --reason sheet"));
    has(
        &corrected,
        &format!("do not use `{}`, which is unknown", bags[7]),
    );
}

/// Past grain is not written into a freezer by two steps where one is refused.
#[test]
fn a_late_entry_is_not_corrected_into_one_that_would_have_been_refused() {
    let mut kitchen = Kitchen::new();
    let lot = cooled(&kitchen, "9kg");
    kitchen.at("2026-11-28T09:00:00Z");
    let late = "--at \"2026-11-22 10:00\"";
    kitchen.refused(1, &format!("move {lot} --to freezer {late}"));
    kitchen.ok(&format!("move {lot} --to counter {late}"));
    let entry = kitchen.last_entry("move");
    let said = kitchen.refused(1, &format!("correct {entry} --place freezer --reason x"));
    has(&said, "would make it usable again");
}

/// A count that found less speaks of grain whose entry was missing; the entry that comes then takes it off once more.
#[test]
fn a_late_use_before_a_count_says_that_the_count_knew() {
    let mut kitchen = Kitchen::new();
    let lot = cooled(&kitchen, "8.5kg");
    kitchen.at("2026-11-22T08:05:00Z");
    kitchen.ok(&format!("count {lot} --wet 5.5kg"));
    let count = kitchen.last_entry("count");
    let told = kitchen.told(&format!(
        "use {lot} --wet 3kg --for loaves --at \"2026-11-21 09:00\""
    ));
    has(&told, &format!("draff strike {count} --reason"));
    kitchen.ok(&format!("strike {count} --reason \"entry was missing\""));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(5500.0));
    kitchen.ok(&format!("count {lot} --wet 5.4kg"));
    let count = kitchen.last_entry("count");
    kitchen.ok(&format!("correct {count} --note scale --reason n"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(5400.0));
}

/// The grain of a bake that was struck and written down anew is not booked twice by striking one of the strikes.
#[test]
fn grain_of_a_struck_bake_comes_back_with_the_bake_or_not_at_all() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = cooled(&kitchen, "9kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-20 11:00\" mix --pieces 4");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=700g"));
    let baked = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {baked} --reason x"));
    let whole = kitchen.last_entry("strike");
    kitchen.ok(&format!("bake done B-1S --used {lot}=700g"));
    let said = kitchen.refused(1, &format!("strike {} --reason x", whole - 1));
    has(&said, &format!("entry {whole}"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(8300.0));
}

/// A correction of the brew day moves the word that it was cold with it; struck and struck again all of it is back.
#[test]
fn a_struck_strike_of_a_correction_brings_all_of_it_back() {
    let mut kitchen = Kitchen::new();
    let lot = cooled(&kitchen, "9kg");
    let pickup = kitchen.last_entry("pickup");
    kitchen.at("2026-11-21T12:00:00Z");
    kitchen.ok(&format!("correct {pickup} --brewed 2026-11-18 --reason a"));
    let corrected = kitchen.last_entry("pickup");
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-18");
    kitchen.ok(&format!("strike {corrected} --reason b"));
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-20");
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason c"));
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-18");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_corrected_reason_makes_no_feed_of_mouldy_grain() {
    let kitchen = Kitchen::new();
    let lot = cooled(&kitchen, "9kg");
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --as feed --reason \"too much\""
    ));
    let entry = kitchen.last_entry("discard");
    let said = kitchen.refused(
        1,
        &format!("correct {entry} --note \"it was mouldy\" --reason x"),
    );
    has(&said, "feed");
    kitchen.refused(
        1,
        &format!("discard {lot} --wet 1kg --as feed --reason \"gone sour\""),
    );
}
