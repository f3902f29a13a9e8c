//! `discard`: throws grain away, past grain too, with a reason.

use crate::env::Kitchen;
use serde_json::json;

#[test]
fn all_that_is_left_is_thrown_away_where_no_mass_is_given() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 4kg --for bread"));
    kitchen.at("2026-11-28T10:00:00Z");
    let rest = kitchen.json(&format!("discard {lot} --reason \"past its date\""));
    assert_eq!(rest["wet_g"], json!(0.0));
    let usage = kitchen.json("usage");
    let line = &usage["usage"][1];
    assert_eq!(line["kind"], "discard");
    assert_eq!(line["wet_g"], json!(6000.0));
    assert_eq!(line["note"], "past its date");
    assert_eq!(line["bake"], json!(null));
}

#[test]
fn a_part_can_be_thrown_away() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("discard {lot} --wet 1.5kg --reason \"dropped\""));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(8500.0));
}

#[test]
fn a_reason_and_something_to_throw_away_are_needed() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.refused(2, &format!("discard {lot}"));
    kitchen.refused(2, &format!("discard {lot} --reason \"\""));
    kitchen.refused(1, &format!("discard {lot} --wet 11kg --reason dropped"));
    kitchen.ok(&format!("discard {lot} --reason dropped"));
    kitchen.refused(1, &format!("discard {lot} --reason again"));
}
