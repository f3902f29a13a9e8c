//! `log`: every entry, struck ones included.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

#[test]
fn entries_stand_in_the_order_in_which_they_were_written() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("--by Ines use {lot} --wet 1kg --for \"pan loaf\""));
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason dropped"));
    let log = kitchen.json("log");
    let entries = log["entries"].as_array().unwrap();
    let kinds: Vec<&str> = entries
        .iter()
        .map(|entry| entry["kind"].as_str().unwrap())
        .collect();
    assert_eq!(
        kinds,
        [
            "place", "place", "place", "place", "pickup", "cooled", "use", "discard"
        ]
    );
    let numbers: Vec<i64> = entries
        .iter()
        .map(|entry| entry["entry"].as_i64().unwrap())
        .collect();
    assert_eq!(numbers, (1..=8).collect::<Vec<_>>());
    let out = kitchen.ok("log");
    assert!(out.contains("Ines") && out.contains("pan loaf"), "{out}");
}

#[test]
fn a_lot_has_its_own_entries_and_that_of_its_parting() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.pickup("--brewed 2026-11-19 --wet 1kg");
    let part = kitchen.json(&format!("move {lot} --wet 4kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.ok(&format!("discard {part} --wet 1kg --reason dropped"));
    let kinds = |lot: &str| -> Vec<String> {
        kitchen.json(&format!("log {lot}"))["entries"]
            .as_array()
            .unwrap()
            .iter()
            .map(|entry| entry["kind"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(kinds(&lot), ["pickup", "cooled", "part"]);
    assert_eq!(kinds(&part), ["part", "discard"]);
    let parting = &kitchen.json(&format!("log {part}"))["entries"][0];
    assert_eq!(parting["lot"], lot.as_str());
    assert_eq!(parting["new_lot"], part.as_str());
    assert_eq!(parting["wet_g"], json!(4000.0));
    assert_eq!(parting["place"], "freezer");
}

#[test]
fn the_last_so_many_are_shown_on_demand() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    for _ in 0..3 {
        kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    }
    let log = kitchen.json("log --last 2");
    let entries = log["entries"].as_array().unwrap();
    assert_eq!(entries.len(), 2);
    assert_eq!(entries[1]["entry"], json!(kitchen.entries()));
}

#[test]
fn one_kind_of_entry_is_asked_for_alone_or_with_a_lot() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for \"pan loaf\""));
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason dropped"));
    kitchen.ok(&format!("use {lot} --wet 2kg --for rye"));
    let entries = |line: &str| -> Vec<i64> {
        let log = kitchen.json(line);
        let entries = log["entries"].as_array().unwrap().iter();
        entries
            .map(|entry| entry["entry"].as_i64().unwrap())
            .collect()
    };
    assert_eq!(entries("log --kind use"), [7, 9]);
    assert_eq!(entries(&format!("log {lot} --kind discard")), [8]);
    assert_eq!(entries("log --kind use --last 1"), [9]);
    assert_eq!(entries("log --kind join"), [] as [i64; 0]);
}

#[test]
fn the_log_says_that_what_was_found_on_a_struck_lot_does_not_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    let says = "does not count: what its lot came by is STRUCK by entry";
    assert!(!one_line(&kitchen.ok("log")).contains(says));
    kitchen.at("2026-11-20T10:05:00Z");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {pickup} --reason slip"));
    let strike = kitchen.last_entry("strike");
    for log in ["log".to_owned(), format!("log {lot}")] {
        let log = one_line(&kitchen.ok(&log));
        has(&log, &format!("{says} {strike}"));
        assert_eq!(log.matches(says).count(), 1, "{log}");
    }
    kitchen.ok(&format!("strike {strike} --reason \"it did come\""));
    assert!(!one_line(&kitchen.ok("log")).contains(says));
}
