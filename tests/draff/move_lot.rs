//! `move`: all of a lot, or a part that becomes a lot of its own with the same history.

use crate::env::{Kitchen, SLIP, has};
use serde_json::json;

#[test]
fn a_whole_lot_moves_and_keeps_its_code() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let moved = kitchen.json(&format!("move {lot} --to freezer"));
    assert_eq!(moved["lot"], lot.as_str());
    assert_eq!(kitchen.on_shelf(&lot)["place"], "freezer");
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 1);
}

#[test]
fn a_part_gets_its_own_code_and_keeps_date_and_history() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-22T10:00:00Z");
    let part = kitchen.json(&format!("move {lot} --wet 4kg --to fridge"));
    let code = part["lot"].as_str().unwrap();
    assert_ne!(code, lot);
    let (whole, part) = (kitchen.on_shelf(&lot), kitchen.on_shelf(code));
    assert_eq!(whole["wet_g"], json!(6000.0));
    assert_eq!(part["wet_g"], json!(4000.0));
    for key in [
        "source",
        "brewed_on",
        "form",
        "keep_until",
        "day",
        "warm_minutes",
        "verdict",
        "binding",
    ] {
        assert_eq!(whole[key], part[key], "{key}");
    }
}

#[test]
fn a_part_keeps_the_warm_time_of_its_whole() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 05:00 --cooled 06:00 --collected 07:00 --wet 10kg");
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok(&format!("move {lot} --to counter --at 08:00"));
    kitchen.ok(&format!("move {lot} --to fridge --at 09:00"));
    let code = kitchen.json(&format!("move {lot} --wet 1kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(kitchen.on_shelf(&lot)["warm_minutes"], json!(60));
    assert_eq!(kitchen.on_shelf(&code)["warm_minutes"], json!(60));
}

#[test]
fn what_is_found_later_about_the_time_before_holds_for_the_part_too() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 05:00 --cooled 06:00 --collected 07:00 --wet 10kg");
    let code = kitchen.json(&format!("move {lot} --wet 1kg --to fridge --at 09:00"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!(
        "probe {lot} --spoiled \"gas in the lid\" --at 08:00"
    ));
    assert_eq!(kitchen.on_shelf(&code)["verdict"], "past");
    let other = kitchen.lot("10kg");
    let part = kitchen.json(&format!("move {other} --wet 1kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!("probe {other} --spoiled mould"));
    assert_eq!(kitchen.on_shelf(&other)["verdict"], "past");
    assert_eq!(
        kitchen.on_shelf(&part)["verdict"],
        "good",
        "the part had left before"
    );
}

#[test]
fn a_part_inherits_the_moisture_tests() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g,35.4g"));
    let code = kitchen.json(&format!("move {lot} --wet 4kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let (whole, part) = (
        kitchen.json(&format!("moisture {lot}")),
        kitchen.json(&format!("moisture {code}")),
    );
    for key in ["samples", "wet_basis", "standard_uncertainty", "from"] {
        assert_eq!(whole[key], part[key], "{key}");
    }
}

#[test]
fn moving_all_that_is_left_makes_no_new_lot() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let moved = kitchen.json(&format!("move {lot} --wet 10kg --to freezer"));
    assert_eq!(moved["lot"], lot.as_str());
}

#[test]
fn places_are_known_in_the_order_of_time() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 05:00 --cooled 06:00 --collected 07:00 --wet 10kg");
    kitchen.ok(&format!("move {lot} --to freezer --at 09:00"));
    kitchen.at("2026-11-20T12:00:00Z");
    let said = kitchen.refused(1, &format!("move {lot} --to counter --at 08:00"));
    assert!(
        said.contains("was moved at that time or later already"),
        "{said}"
    );
    let said = kitchen.refused(1, &format!("move {lot} --to freezer"));
    assert!(said.contains("is in `freezer` already"), "{said}");
    let said = kitchen.refused(1, &format!("move {lot} --wet 11kg --to fridge"));
    assert!(said.contains("more than that"), "{said}");
}

#[test]
fn a_part_of_a_part_works_the_same() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let child = kitchen.json(&format!("move {lot} --wet 4kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let grandchild = kitchen.json(&format!("move {child} --wet 1kg --to fridge"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(kitchen.on_shelf(&child)["wet_g"], json!(3000.0));
    assert_eq!(kitchen.on_shelf(&grandchild)["wet_g"], json!(1000.0));
    assert!(kitchen.ok("check").contains("whole"));
}

/// A correction stands where its first entry stood, in the trace and for the place of the lot.
#[test]
fn a_correction_keeps_its_place_in_the_minute() {
    let (kitchen, cor, _) = Kitchen::with_two_tubs();
    kitchen.ok(&format!("probe {cor} 4C"));
    let read = kitchen.last_entry("reading");
    kitchen.ok(&format!("use {cor} --wet 1kg --for buns"));
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("move {cor} --to freezer"));
    let moved = kitchen.last_entry("move");
    kitchen.ok(&format!("correct 5 --wet 7kg {SLIP}"));
    let pickup = kitchen.last_entry("pickup");
    let trace = kitchen.json(&format!("trace {cor}"));
    assert_eq!(trace["entries"], json!([6, pickup, read, used, moved]));
    let found = kitchen.on_shelf(&cor);
    assert_eq!(found["place"], "freezer");
    assert_eq!(found["wet_g"], 6000.0);
    has(&kitchen.ok("check"), "whole");
    // A book that was kept by the order of writing is put right when it is upgraded.
    kitchen
        .sqlite()
        .execute(
            "UPDATE stock SET place_id = (SELECT id FROM place WHERE name = 'fridge')",
            [],
        )
        .unwrap();
    kitchen.chain_anew();
    assert_eq!(kitchen.on_shelf(&cor)["place"], "freezer");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_part_that_was_moved_says_which_mass_has_which_code() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    let ran = kitchen.run(&format!("move {lot} --wet 4kg --to freezer"));
    has(
        &ran.told(),
        "4 kg moved: its new code is ALD-261120-2R, write it on the bag or tub. The other 4 kg keeps the code ALD-261120-1T",
    );
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(4000.0));
}
