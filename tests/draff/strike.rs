//! `strike`: a wrong entry stays in the book and no longer counts.

use crate::env::Kitchen;
use serde_json::json;

#[test]
fn a_struck_use_comes_back_to_stock_and_leaves_the_usage() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 10kg --for bread"));
    let entry = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {entry} --reason \"other lot\""));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(10000.0));
    assert_eq!(kitchen.json("usage")["usage"], json!([]));
    let log = kitchen.json(&format!("log {lot}"));
    let entries = log["entries"].as_array().unwrap();
    assert_eq!(entries.len(), 4, "nothing goes from the log");
    assert_eq!(entries[2]["struck_by"], entries[3]["entry"]);
    assert_eq!(entries[3]["strikes"], entries[2]["entry"]);
    assert_eq!(entries[3]["words"], "other lot");
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_struck_pickup_takes_the_lot_off_the_book() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let entry = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {entry} --reason \"never came\""));
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
    let said = kitchen.refused(1, &format!("use {lot} --wet 1kg --for bread"));
    assert!(said.contains("was struck from the book"), "{said}");
    assert_ne!(kitchen.lot("10kg"), lot, "a code is never given twice");
}

#[test]
fn a_struck_parting_gives_the_grain_back_to_the_whole() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("move {lot} --wet 4kg --to freezer"));
    let entry = kitchen.last_entry("part");
    kitchen.ok(&format!("strike {entry} --reason \"not done\""));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(10000.0));
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 1);
}

#[test]
fn a_struck_move_puts_the_lot_back() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("move {lot} --to counter"));
    let entry = kitchen.last_entry("move");
    kitchen.at("2026-11-20T18:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    kitchen.ok(&format!("strike {entry} --reason \"it stayed in\""));
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["place"], "fridge");
    assert_eq!(found["verdict"], "good");
}

#[test]
fn what_others_stand_on_is_not_struck() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let pickup = kitchen.last_entry("pickup");
    let part = kitchen.json(&format!("move {lot} --wet 4kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let parting = kitchen.last_entry("part");
    kitchen.ok(&format!("discard {part} --wet 1kg --reason dropped"));
    let dropped = kitchen.last_entry("discard");
    let said = kitchen.refused(1, &format!("strike {pickup} --reason x"));
    assert!(
        said.contains(&format!("entries {parting} stand on it")),
        "{said}"
    );
    let said = kitchen.refused(1, &format!("strike {parting} --reason x"));
    assert!(
        said.contains(&format!("entries {dropped} stand on it")),
        "{said}"
    );
    for entry in [dropped, parting, pickup] {
        kitchen.ok(&format!("strike {entry} --reason \"newest first\""));
    }
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_strike_is_final_and_done_once() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    let entry = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {entry} --reason wrong"));
    let strike = kitchen.last_entry("strike");
    let said = kitchen.refused(1, &format!("strike {entry} --reason wrong"));
    assert!(
        said.contains(&format!("is struck already, by entry {strike}")),
        "{said}"
    );
    let said = kitchen.refused(1, &format!("strike {strike} --reason wrong"));
    assert!(said.contains("is itself a strike and stays"), "{said}");
    kitchen.refused(1, "strike 999 --reason wrong");
    kitchen.refused(2, "strike 5");
}
