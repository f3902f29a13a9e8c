//! What an inspector found in late entries about places, in corrections of what people ate, and in the advice of refusals.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

/// Grain lay in the cellar from 11:00 to 12:00.
fn with_a_cellar() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place add cellar --kind fridge --temp 4C");
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("move {lot} --to cellar"));
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("move {lot} --to fridge"));
    kitchen.at("2026-11-20T15:00:00Z");
    (kitchen, lot)
}

#[test]
fn a_place_is_closed_late_from_the_time_at_which_it_was_empty() {
    let (kitchen, lot) = with_a_cellar();
    for early in ["10:30", "11:30"] {
        let said = kitchen.refused(1, &format!("place close cellar --at {early}"));
        has(
            &said,
            &format!("{lot} lay there until Fri 20 Nov 2026 12:00"),
        );
        has(
            &said,
            "draff place close cellar --at 2026-11-20T12:00:00+00:00",
        );
    }
    kitchen.refused(1, "place close cellar --at 16:00");
    kitchen.ok("place close cellar --at 2026-11-20T12:00:00+00:00");
    let place = kitchen.json("place")["places"][4].clone();
    assert_eq!(place["place"], "cellar");
    assert_eq!(place["closed"], true);
    assert_eq!(place["since"], "2026-11-20T12:00:00+00:00");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

/// The time of the entry decides whether the place was open, and none leaves grain in a place that is closed by now.
#[test]
fn a_late_entry_is_judged_by_whether_its_place_was_open_then() {
    let (mut kitchen, lot) = with_a_cellar();
    kitchen.ok("place close cellar --at 12:00");
    let pickup = |at: &str| {
        format!(
            "pickup --source \"Alder Lane\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 2kg --collected {at} --place cellar"
        )
    };
    let part = |at: &str| format!("move {lot} --wet 1kg --to cellar --at {at}");
    for act in [pickup("11:00"), part("11:30")] {
        let said = kitchen.refused(1, &act);
        has(&said, "is closed since Fri 20 Nov 2026 12:00");
        has(&said, "would lie there still");
        has(&said, "draff place change cellar opens it again");
    }
    let closed_then = [
        pickup("13:00"),
        part("13:00"),
        format!("portion {lot} --into 1x1kg --to cellar --at 13:00"),
    ];
    for act in &closed_then {
        has(&kitchen.refused(1, act), "is closed");
    }
    kitchen.at("2026-11-20T16:00:00Z");
    kitchen.ok("place change cellar --temp 4C");
    for act in &closed_then {
        let said = kitchen.refused(1, act);
        has(&said, "was closed");
        has(&said, "Fri 20 Nov 2026 16:00");
    }
    let late = kitchen.json(&pickup("11:00"));
    let late = late["lot"].as_str().unwrap();
    kitchen.ok(&format!("move {late} --to fridge --at 11:50"));
    kitchen.ok("place close cellar");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_correction_may_name_a_place_that_was_closed_since() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place add cellar --kind fridge --temp 4C");
    let lot = kitchen.lot("5kg");
    let pickup = kitchen.last_entry("pickup");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("move {lot} --to freezer"));
    let moved = kitchen.last_entry("move");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok("place close cellar");
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!(
        "correct {pickup} --place cellar --reason \"it was the cellar\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["place"], "freezer");
    // Nothing moved it on from there.
    let said = kitchen.refused(1, &format!("correct {moved} --place cellar --reason slip"));
    has(&said, "is closed since Fri 20 Nov 2026 12:00");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_closing_reads_as_one() {
    let kitchen = Kitchen::new();
    kitchen.lot("5kg");
    kitchen.ok("place close counter");
    let closing = kitchen.last_entry("place");
    has(
        &one_line(&kitchen.ok("log")),
        "counter; closed from then on",
    );
    let log = kitchen.json("log");
    let closed = |entry: i64| {
        let mut entries = log["entries"].as_array().unwrap().iter();
        entries.find(|one| one["entry"] == entry).unwrap()["closed"].clone()
    };
    assert_eq!(closed(closing), true);
    assert_eq!(closed(1), false, "what the fridge is");
    assert!(closed(kitchen.last_entry("pickup")).is_null());
    let said = kitchen.ok(&format!("strike {closing} --reason \"open still\""));
    has(&said, "Struck: closing, counter, Fri 20 Nov 10:00");
}

/// The grain was eaten: the book says when and of which tub, and says aloud that it should not have been.
#[test]
fn what_people_ate_is_put_right_as_it_was() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for bread"));
    let bread = kitchen.last_entry("use");
    kitchen.at("2026-11-20T15:00:00Z");
    let good = kitchen.lot("4kg");
    kitchen.ok(&format!("use {good} 1kg --for rolls"));
    let rolls = kitchen.last_entry("use");
    kitchen.ok(&format!("give {good} --wet 500g --to café"));
    let given = kitchen.last_entry("give");
    kitchen.ok(&format!("probe {lot} --spoiled sour --at 11:00"));
    for (right, what) in [
        (format!("{bread} --at 11:30"), "1 kg of lot"),
        (format!("{rolls} --lot {lot}"), "1 kg of lot"),
        (format!("{given} --lot {lot}"), "500 g of lot"),
    ] {
        let told = kitchen.told(&format!("correct {right} --reason \"as it was\""));
        has(&told, what);
        has(&told, "when it was past");
    }
    let trace = kitchen.json(&format!("trace {lot}"));
    for bake in trace["bakes"].as_array().unwrap() {
        assert_eq!(bake["unusable_lots"][0], lot, "{trace}");
    }
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    // What is written anew is refused as ever.
    let said = kitchen.refused(1, &format!("use {lot} 1kg --for bread --at 11:30"));
    has(&said, "may not be used as food");
    has(&kitchen.ok("check"), "whole");
}

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

/// What a strike or a correction gives back must not lie in a place that was closed, and a count that knew of it is told.
#[test]
fn grain_does_not_come_back_into_a_closed_place() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place add cellar --kind fridge --temp 3C");
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 6kg --place cellar");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("use {lot} --wet 6kg --for buns"));
    let used = kitchen.last_entry("use");
    kitchen.at("2026-11-20T12:10:00Z");
    kitchen.ok("place close cellar");
    for act in [
        format!("strike {used} --reason \"of another tub\""),
        format!("correct {used} --wet 5kg --reason scale"),
    ] {
        let said = kitchen.refused(1, &act);
        has(&one_line(&said), "cellar");
    }
    // A strike after a count says what the count knew.
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("use {lot} --wet 2kg --for rolls"));
    let used = kitchen.last_entry("use");
    kitchen.at("2026-11-20T12:30:00Z");
    kitchen.ok(&format!("count {lot} --wet 3kg"));
    let told = kitchen.told(&format!("strike {used} --reason \"of another tub\""));
    has(&told, "counted 3 kg");
}
