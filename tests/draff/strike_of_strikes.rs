//! Strikes that are struck and corrections of corrections: what one act wrote stands and falls together, and refusals
//! name the entry that counts.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

#[test]
fn a_remedy_names_an_entry_that_counts() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let corrected = |wrong: i64, wet: &str| {
        kitchen.ok(&format!("correct {wrong} --wet {wet} --reason misread"));
        kitchen.last_entry("use")
    };
    kitchen.ok(&format!("use {lot} 1kg --for bread"));
    let first = kitchen.last_entry("use");
    let counts = corrected(corrected(first, "2kg"), "3kg");
    for act in [
        format!("correct {first} --wet 1kg --reason x"),
        format!("correct {first} --mash-out 06:00 --reason x"),
        format!("strike {first} --reason x"),
    ] {
        let said = kitchen.refused(1, &act);
        has(&said, &format!("entry {counts} stands in its place"));
        has(&said, &format!("take entry {counts} instead"));
    }
    // What a strike of a strike brought back was corrected since.
    kitchen.ok(&format!("use {lot} 1kg --for rolls"));
    let rolls = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {rolls} --reason slip"));
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason \"was right\""));
    let again = kitchen.last_entry("strike");
    let counting = corrected(rolls, "500g");
    let said = kitchen.refused(1, &format!("strike {again} --reason x"));
    has(&said, &format!("take entry {counting} instead"));
    // Too much is taken by the entry that is corrected: another one may be wrong, or it takes less.
    let said = kitchen.refused(1, &format!("correct {counts} --wet 11kg --reason x"));
    has(&said, &format!("draff log {lot} shows what came"));
    has(&said, "if another entry is wrong");
}

#[test]
fn a_struck_strike_says_what_counts_no_more() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} 1kg --for bread"));
    let wrong = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {wrong} --wet 2kg --reason misread"));
    let right = kitchen.last_entry("use");
    let strike_the_correction = || {
        kitchen.ok(&format!("strike {right} --reason \"not misread\""));
        kitchen.last_entry("strike")
    };
    let strike = strike_the_correction();
    let said = one_line(&kitchen.ok(&format!("strike {strike} --reason \"misread after all\"")));
    has(&said, &format!("Counts again: use of 2 kg, {lot}"));
    has(&said, &format!("Counts no more: use of 1 kg, {lot}"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 8000.0);
    let strike = strike_the_correction();
    let said = kitchen.json(&format!("strike {strike} --reason \"misread after all\""));
    assert_eq!(said["back"], serde_json::json!([right]));
    assert_eq!(said["out"], serde_json::json!([wrong]));
    // Both at once: the correction comes back and is struck, so what it had corrected counts as it did.
    let strike = strike_the_correction();
    let said = kitchen.json(&format!("strike {strike} {right} --reason slip"));
    assert_eq!(said["back"], serde_json::json!([]));
    assert_eq!(said["out"], serde_json::json!([]));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 9000.0);
    // One entry is corrected once: two corrections of it would both count.
    kitchen.ok(&format!("correct {wrong} --wet 3kg --reason misread"));
    let other = kitchen.last_entry("use");
    let newest = kitchen.last_entry("strike");
    let said = kitchen.refused(1, &format!("strike {newest} --reason \"was right\""));
    has(&said, &format!("take entry {other} instead"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7000.0);
    has(&kitchen.ok("check"), "whole");
}

/// Two corrections within one second are two acts: striking one leaves the other. What one act corrected goes back together.
#[test]
fn only_what_one_act_wrote_stands_and_falls_together() {
    let hot = || {
        let mut kitchen = Kitchen::new();
        kitchen.at("2026-11-20T10:00:00Z");
        let lot = kitchen.pickup("--brewed today --mash-out 08:00 --wet 5kg --temp 60C");
        kitchen.at("2026-11-20T10:30:00Z");
        (kitchen, lot)
    };
    let verdict = |kitchen: &Kitchen, lot: &str| kitchen.on_shelf(lot)["verdict"].clone();
    let (kitchen, lot) = hot();
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!("correct {pickup} --wet 6kg --reason scale"));
    let weighed = kitchen.last_entry("pickup");
    let read = kitchen.last_entry("reading");
    kitchen.ok(&format!("correct {read} --temp 55C --reason misread"));
    assert_eq!(verdict(&kitchen, &lot), "past");
    let struck = kitchen.json(&format!("strike {weighed} --reason \"it was right\""));
    assert_eq!(struck["with_them"], json!([]), "{struck}");
    assert_eq!(verdict(&kitchen, &lot), "past");
    // Taking one strike back takes no other back that came just before it.
    let (kitchen, _) = hot();
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!("correct {pickup} --wet 6kg --reason scale"));
    let weighed = kitchen.last_entry("pickup");
    let read = kitchen.last_entry("reading");
    kitchen.ok(&format!("correct {read} --temp 61C --reason misread"));
    let misread = kitchen.last_entry("reading");
    kitchen.ok(&format!("strike {misread} --reason \"it was right\""));
    kitchen.ok(&format!("strike {weighed} --reason \"it was right\""));
    let strike = kitchen.last_entry("strike");
    let back = kitchen.json(&format!("strike {strike} --reason \"it was wrong\""));
    assert_eq!(back["back"], json!([weighed]), "{back}");
    // One act that moved the pickup moved its reading, and both go back and come back.
    let (kitchen, _) = hot();
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --at \"2026-11-20 09:50\" --reason clock"
    ));
    let (moved, read) = (kitchen.last_entry("pickup"), kitchen.last_entry("reading"));
    let struck = kitchen.json(&format!("strike {moved} --reason \"it was right\""));
    assert_eq!(struck["with_them"], json!([read]), "{struck}");
    let strike = kitchen.last_entry("strike");
    let back = kitchen.json(&format!("strike {strike} --reason \"it was wrong\""));
    assert_eq!(back["back"], json!([read, moved]), "{back}");
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}

/// A join comes back whole or not at all: by the last of its strikes.
#[test]
fn half_a_join_does_not_come_back() {
    let mut kitchen = Kitchen::new();
    let lots = ["3kg", "4kg"].map(|wet| kitchen.lot(wet));
    kitchen.at("2026-11-20T12:00:00Z");
    let joined = kitchen.json(&format!("join {} {}", lots[0], lots[1]));
    let joined = joined["lot"].as_str().unwrap().to_owned();
    let entry = kitchen.last_entry("join");
    kitchen.ok(&format!("strike {entry} --reason \"not joined\""));
    let last = kitchen.last_entry("strike");
    let before = kitchen.entries();
    let said = kitchen.refused(1, &format!("strike {} --reason \"was joined\"", last - 1));
    has(&one_line(&said), &format!("entry {last}"));
    assert_eq!(kitchen.entries(), before);
    kitchen.ok(&format!("strike {last} --reason \"was joined\""));
    assert_eq!(kitchen.on_shelf(&joined)["wet_g"], json!(7000.0));
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}

#[test]
fn a_strike_that_hinders_another_one_is_named_also_of_a_lot_that_came_by_a_press() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T10:30:00Z");
    kitchen.ok(&format!(
        "treat {lot} --step press --wet-in 2kg --wet-out 1.2kg"
    ));
    let treat = kitchen.last_entry("treat");
    let pressed = kitchen.json("shelf")["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|found| found["lot"].as_str().unwrap().to_owned())
        .find(|code| *code != lot)
        .unwrap();
    kitchen.ok(&format!("discard {pressed} --wet 100g --reason spilt"));
    let discard = kitchen.last_entry("discard");
    kitchen.ok(&format!("strike {discard} --reason slip"));
    let of_discard = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {treat} --reason slip"));
    let of_treat = kitchen.last_entry("strike");
    let back = format!("strike {of_discard} --reason \"it was so\"");
    let refused = kitchen.refused(1, &back);
    assert!(!refused.contains("pickup is struck"), "{refused}");
    has(&refused, &format!("strike {of_treat} first"));
    kitchen.ok(&format!("strike {of_treat} --reason \"it was so\""));
    kitchen.ok(&back);
}

/// The entries that an answer of `strike` names as counting again all count, and nothing else of it does.
#[test]
fn only_what_counts_after_the_act_counts_again() {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("join {corrow} {alder}"));
    let other = kitchen.last_entry("join");
    let first = other - 1;
    kitchen.ok(&format!("correct {first} --wet 5kg --reason digit"));
    let right = kitchen.last_entry("join") - 1;
    let struck = kitchen.json(&format!("strike {right} {first} --reason \"not joined\""));
    assert_eq!(struck["back"], json!([]), "{struck}");
    let mut with_them: Vec<i64> = serde_json::from_value(struck["with_them"].clone()).unwrap();
    with_them.sort_unstable();
    assert_eq!(with_them, [other, right + 1]);
    assert_eq!(kitchen.on_shelf(&corrow)["wet_g"], json!(6000.0));
    // The correction alone counts again, and is struck again: what it corrected is struck still.
    let of_right = kitchen.last_entry("strike") - 2;
    kitchen.ok(&format!("strike {of_right} --reason \"was joined\""));
    let ran = kitchen.run(&format!("strike {right} --reason \"not joined\""));
    assert_eq!(ran.code, 0, "{}", ran.err);
    for said in [&ran.out, &ran.err] {
        assert!(!one_line(said).contains("ounts again"), "{said}");
    }
    assert_eq!(kitchen.on_shelf(&corrow)["wet_g"], json!(6000.0));
    // The same of a use.
    kitchen.ok(&format!("use {corrow} --wet 1kg --for rolls"));
    let wrong = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {wrong} --wet 2kg --reason digit"));
    let right = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {right} {wrong} --reason \"not used\""));
    let of_right = kitchen.last_entry("strike") - 1;
    kitchen.ok(&format!("strike {of_right} --reason \"was used\""));
    let struck = kitchen.json(&format!("strike {right} --reason \"not used\""));
    assert_eq!(struck["back"], json!([]), "{struck}");
    assert_eq!(kitchen.json("usage")["usage"], json!([]));
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}

#[test]
fn all_strikes_of_one_act_may_be_named() {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    let joined = kitchen.json(&format!("join {corrow} {alder}"))["lot"].clone();
    let other = kitchen.last_entry("join");
    kitchen.ok(&format!(
        "strike {} {other} --reason \"not joined\"",
        other - 1
    ));
    let last = kitchen.last_entry("strike");
    let struck = kitchen.json(&format!(
        "strike {} {last} --reason \"was joined\"",
        last - 1
    ));
    assert_eq!(struck["with_them"], json!([last - 1]), "{struck}");
    assert_eq!(struck["back"], json!([other - 1, other]), "{struck}");
    let joined = joined.as_str().unwrap();
    assert_eq!(kitchen.on_shelf(joined)["wet_g"], json!(12000.0));
    assert!(kitchen.ok("check").starts_with("The book is whole"));
}
