//! `discard`: throws grain away, past grain too, with a reason and an end, which can be corrected.

use crate::env::{Kitchen, has};
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

#[test]
fn how_grain_ended_is_corrected() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --reason surplus --as compost"
    ));
    let entry = kitchen.last_entry("discard");
    let told = kitchen.ok(&format!(
        "correct {entry} --as feed --reason \"it went to the hens\""
    ));
    has(&told, "Feed law applies");
    has(&kitchen.ok(&format!("trace {lot}")), "as feed");
    let entry = kitchen.last_entry("discard");
    let refused = kitchen.refused(
        1,
        &format!("correct {entry} --note \"mould on top\" --reason seen"),
    );
    has(&refused, "no feed");
    let use_of = kitchen.ok(&format!("use {lot} --wet 1kg --for buns"));
    has(&use_of, &lot);
    let entry = kitchen.last_entry("use");
    let refused = kitchen.refused(1, &format!("correct {entry} --as feed --reason wrong"));
    has(&refused, "--as");
}

#[test]
fn what_is_thrown_away_is_said_and_quiet_leaves_out_reasons() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let said = kitchen.told(&format!(
        "discard {lot} --wet 1kg --as feed --reason \"more than we bake\""
    ));
    has(
        &said,
        "discarded 1 kg as feed: more than we bake, Fri 20 Nov 10:00",
    );
    let entry = kitchen.last_entry("discard");
    let said = kitchen.told(&format!("discard {lot} --reason spilt --wet 500g -q"));
    assert!(!said.contains("discarded"), "{said}");
    for act in [
        format!("correct {entry} --wet 900g --reason misread"),
        format!("count {lot} --wet 8.6kg"),
    ] {
        let loud = kitchen.run(&act);
        assert_eq!(loud.code, 0, "{}", loud.err);
        has(&loud.out, "Because");
        has(&loud.out, "Dry grain");
        let entry = kitchen.entries();
        kitchen.ok(&format!("strike {entry} --reason again"));
        let quiet = kitchen.ok(&format!("-q {act}"));
        has(&quiet, "Verdict");
        assert!(
            !quiet.contains("Because") && !quiet.contains("Dry grain"),
            "{quiet}"
        );
    }
}
