//! Lots that were parted: what happened to each, and how several of one grain are told.

use crate::env::{Kitchen, has, made};

#[test]
fn the_trace_of_a_part_lists_nothing_that_happened_to_the_rest_later() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} 1kg --for buns"));
    let before = kitchen.last_entry("use");
    kitchen.at("2026-11-20T11:00:00Z");
    let part = made(&kitchen.json(&format!("portion {lot} --into 1x2kg"))).remove(0);
    let parted = kitchen.last_entry("part");
    // At the minute of the parting: what is found holds for both, what is taken is of the rest.
    kitchen.ok(&format!("probe {lot} 4C"));
    let found = kitchen.last_entry("reading");
    kitchen.ok(&format!("use {lot} 1kg --for rolls"));
    let then = kitchen.last_entry("use");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for crackers"));
    let later = kitchen.last_entry("use");
    kitchen.ok(&format!("move {lot} --to freezer"));
    let moved = kitchen.last_entry("move");
    let happened = |lot: &str| -> Vec<i64> {
        let trace = kitchen.json(&format!("trace {lot}"));
        let entries = trace["entries"].as_array().unwrap().iter();
        entries.map(|entry| entry.as_i64().unwrap()).collect()
    };
    let to_part = happened(&part);
    for entry in [kitchen.last_entry("pickup"), before, parted, found] {
        assert!(to_part.contains(&entry), "no {entry} in {to_part:?}");
    }
    for entry in [then, later, moved] {
        assert!(!to_part.contains(&entry), "{entry} in {to_part:?}");
        assert!(happened(&lot).contains(&entry), "{entry}");
    }
}

#[test]
fn quiet_portions_leave_out_the_dry_grain_and_the_reason() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let said = kitchen.ok(&format!("portion {lot} --into 2x2kg --quiet"));
    has(&said, "Portions");
    has(&said, "Verdict");
    for reason in ["Dry grain", "Because"] {
        assert!(!said.contains(reason), "{said}");
    }
}

#[test]
fn one_lot_of_the_same_grain_is_told_as_one_and_two_as_two() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let told = |lot: &str| kitchen.told(&format!("probe {lot} --spoiled mould"));
    kitchen.ok(&format!("portion {lot} --into 1x2kg"));
    has(&told(&lot), "too: it is of the same grain as");
    kitchen.ok(&format!(
        "strike {} --reason slip",
        kitchen.last_entry("spoiled")
    ));
    kitchen.ok(&format!("portion {lot} --into 1x2kg"));
    has(&told(&lot), "too: they are of the same grain as");
}
