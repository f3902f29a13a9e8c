//! Places that are closed: from when on, what may still be written about them, and what may not come back into them.

use crate::env::{Kitchen, has, one_line};

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

#[test]
fn one_lot_lies_in_a_place_and_two_lie_in_it() {
    let kitchen = Kitchen::on_monday();
    let cor = kitchen.tub("Corrow Weir", "--wet 6kg");
    let said = kitchen.refused(1, "place close fridge");
    has(&said, &format!("{cor} lies there"));
    let ald = kitchen.tub("Alder Lane", "--wet 6kg");
    let said = kitchen.refused(1, "place close fridge");
    has(&said, &format!("{cor}, {ald} lie there"));
}
