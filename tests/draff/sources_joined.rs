//! Sources of an older book that are called alike: joined by an entry when the book is upgraded.

use crate::env::{Kitchen, SLIP, commands_in, has, one_line};
use serde_json::{Value, json};

/// How many entries the book of version 6 holds.
const ENTRIES: i64 = 88;
/// An untested lot of the source in it that has fewer lots.
const UNTESTED: &str = "THR-261119-1P";

/// A book of version 6, in which a second source is called as `Corrow Weir` but for a no-break space.
fn older() -> Kitchen {
    let mut kitchen = Kitchen::bare();
    kitchen.at("2026-11-20 18:20");
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/schemas/version-6.draff");
    kitchen.file("book.draff", std::fs::read(path).unwrap());
    let renamed = kitchen.sqlite().execute(
        "UPDATE source SET name = 'Corrow' || char(160) || 'Weir' WHERE name = 'Threnby Lock'",
        [],
    );
    assert_eq!(renamed.unwrap(), 1);
    kitchen
}

/// What the sources of all lots on hand are called.
fn sources(kitchen: &Kitchen) -> Vec<Value> {
    let shelf = kitchen.json("shelf");
    let lots = shelf["lots"].as_array().unwrap();
    let mut names: Vec<Value> = lots.iter().map(|lot| lot["source"].clone()).collect();
    names.sort_by_key(Value::to_string);
    names.dedup();
    names
}

#[test]
fn the_upgrade_joins_them_by_an_entry_of_nobody() {
    let kitchen = older();
    has(&kitchen.ok("check"), "The book is whole: 89 entries");
    assert!(kitchen.folder().join("book.draff.version-6").exists());
    let log = kitchen.json("log");
    let entries = log["entries"].as_array().unwrap();
    let of_source: Vec<&Value> = entries
        .iter()
        .filter(|entry| entry["kind"] == "source")
        .collect();
    assert_eq!(of_source.len(), 1, "{of_source:?}");
    let joined = of_source[0];
    assert_eq!(joined["entry"], ENTRIES + 1);
    assert_eq!(joined["by"], Value::Null);
    assert_eq!(joined["at"], "2026-11-20T18:20:00+00:00");
    assert_eq!(
        joined["words"],
        "called alike: joined when the book was upgraded"
    );
    has(
        &one_line(&kitchen.ok("log")),
        "`Corrow Weir` is one with `Corrow Weir`; called alike",
    );
    let told = kitchen.told("shelf");
    assert!(!told.contains("after now"), "{told}");
}

#[test]
fn they_are_one_in_recall_and_moisture_and_codes_stay() {
    let kitchen = older();
    assert_eq!(sources(&kitchen), [json!("Corrow Weir")]);
    for name in ["corrow weir", "Corrow\u{a0}Weir"] {
        let traced = kitchen.json(&format!("trace --source \"{name}\""));
        assert_eq!(traced["lots"].as_array().unwrap().len(), 14);
        assert_eq!(traced["near_sources"], json!([]));
    }
    // Tests of one say what to expect of the other.
    assert_eq!(kitchen.on_shelf(UNTESTED)["source"], "Corrow Weir");
    let expected = kitchen.json(&format!("moisture {UNTESTED} --why"));
    assert_eq!(expected["from"], "earlier lots");
    assert_ne!(expected["why"]["source_lots"], 0);
}

#[test]
fn three_that_are_alike_become_one() {
    let kitchen = older();
    kitchen.past_the_triggers(|book| {
        book.execute_batch(
            "INSERT INTO source (id, name, letters) VALUES (3, char(65315) || 'ORROW  weir', 'COS');
             UPDATE lot SET source_id = 3 WHERE id = 12;",
        )
        .unwrap();
    });
    has(&kitchen.ok("check"), "The book is whole: 90 entries");
    assert_eq!(sources(&kitchen), [json!("Corrow Weir")]);
    let traced = kitchen.json("trace --source \"Corrow Weir\"");
    assert_eq!(traced["lots"].as_array().unwrap().len(), 14);
    assert!(!kitchen.told("check").contains("is called almost like"));
}

#[test]
fn a_strike_tells_them_apart_and_no_later_upgrade_joins_them_again() {
    let kitchen = older();
    let joined = kitchen.last_entry("source");
    kitchen.chain_anew();
    assert_eq!(kitchen.entries(), ENTRIES + 1, "joined once");
    kitchen.ok(&format!("strike {joined} {SLIP}"));
    assert_eq!(sources(&kitchen).len(), 2);
    kitchen.chain_anew();
    assert_eq!(kitchen.entries(), ENTRIES + 2, "joined once");
    assert_eq!(sources(&kitchen).len(), 2);
    let expected = kitchen.json(&format!("moisture {UNTESTED}"));
    assert_eq!(expected["from"], "lots of other sources");
}

#[test]
fn check_names_those_that_are_not_joined_with_the_command() {
    let kitchen = older();
    kitchen.ok(&format!("strike {} {SLIP}", kitchen.last_entry("source")));
    let ran = kitchen.run("check");
    assert_eq!(ran.code, 0, "{}", ran.err);
    has(&ran.out, "The book is whole");
    has(&ran.told(), "is called almost like `Corrow Weir`");
    kitchen.ok(&commands_in(&ran.told())[0]);
    assert_eq!(sources(&kitchen).len(), 1);
    assert_eq!(kitchen.told("check"), "");
}

/// Two sources of these names, the first with one lot, the second with so many.
fn with_lots(second: usize) -> (Kitchen, String) {
    let kitchen = Kitchen::on_monday();
    let lot = kitchen.tub("Corrow Weir", "--wet 6kg");
    for _ in 0..second {
        kitchen.tub("Alder Lane", "--wet 6kg");
    }
    for (name, was) in [("BACHSTRASSE", "Corrow Weir"), ("Bachstraße", "Alder Lane")] {
        let book = kitchen.sqlite();
        book.execute("UPDATE source SET name = ?1 WHERE name = ?2", [name, was])
            .unwrap();
    }
    kitchen.chain_anew();
    (kitchen, lot)
}

#[test]
fn the_name_of_most_lots_stays_or_the_first() {
    for (second, kept) in [(1, "BACHSTRASSE"), (2, "Bachstraße")] {
        let (kitchen, lot) = with_lots(second);
        assert_eq!(sources(&kitchen), [json!(kept)]);
        assert_eq!(kitchen.on_shelf(&lot)["source"], kept, "its code stays");
        has(&kitchen.ok("check"), "whole");
    }
}
