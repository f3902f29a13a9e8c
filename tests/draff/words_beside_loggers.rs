//! A word that grain was cold, beside a logger that read something else; and a place that is stated warmer.

use crate::env::{Kitchen, has, one_line};
use crate::logger::logged;

/// A kitchen on Friday 20 November whose fridge measures the grain or the air, with 10 kg that came in at 10:30 with 66 °C.
fn hot_tub(probe_in: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.ok(&format!(
        "place change fridge --probe-in {probe_in} --at 2026-11-01"
    ));
    kitchen.at("2026-11-20T10:30:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --wet 10kg --temp 66C");
    (kitchen, lot)
}

#[test]
fn a_logger_in_the_grain_sets_a_word_aside_in_either_order() {
    for is_word_first in [true, false] {
        let (mut kitchen, lot) = hot_tub("grain");
        kitchen.file("f.csv", logged("2026-11-20T10:40:00Z", 20, 17, |_| 66.0));
        let word = format!("probe {lot} --cooled 15:30");
        kitchen.at("2026-11-20T16:05:00Z");
        if is_word_first {
            kitchen.ok(&word);
            kitchen.ok("readings fridge --csv f.csv");
        } else {
            kitchen.ok("readings fridge --csv f.csv");
            // Taken or refused, it helps nothing.
            kitchen.run(&word);
        }
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "past", "{found}");
        assert_eq!(found["keep_until"], "2026-11-20T12:30:00+00:00", "{found}");
        let limit = found["binding"]["limit"].as_str().unwrap();
        has(limit, "the logger in the grain still showed 66 °C");
    }
}

#[test]
fn a_logger_in_the_grain_shows_the_second_stage_to_have_failed() {
    for is_word_first in [true, false] {
        let (mut kitchen, lot) = hot_tub("grain");
        kitchen.file("f.csv", logged("2026-11-20T11:00:00Z", 20, 21, |_| 9.0));
        kitchen.at("2026-11-20T11:20:00Z");
        kitchen.ok(&format!("probe {lot} 20C"));
        let word = format!("probe {lot} --cooled 14:00");
        if is_word_first {
            kitchen.at("2026-11-20T14:05:00Z");
            kitchen.ok(&word);
        }
        kitchen.at("2026-11-20T17:45:00Z");
        kitchen.ok("readings fridge --csv f.csv");
        if !is_word_first {
            kitchen.run(&word);
        }
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "past", "{found}");
        // Read at the deadline itself.
        assert_eq!(found["keep_until"], "2026-11-20T15:19:59+00:00", "{found}");
    }
}

/// A kitchen on Friday 20 November with 5 kg that came into the fridge at 10:00 with 65 °C. The logger of the fridge measures
/// the grain by a statement from before that or after.
fn tub_and_statement(stated_at: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    let is_first = stated_at < "10:00";
    let state = |kitchen: &mut Kitchen| {
        kitchen.at(&format!("2026-11-20T{stated_at}:00Z"));
        kitchen.ok("place change fridge --probe-in grain");
    };
    if is_first {
        state(&mut kitchen);
    }
    kitchen.at("2026-11-20T10:00:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --wet 5kg --temp 65C");
    if !is_first {
        state(&mut kitchen);
    }
    (kitchen, lot)
}

#[test]
fn a_logger_speaks_against_a_word_from_when_its_probe_stands_in_the_grain() {
    for stated_at in ["09:55", "10:05"] {
        let (mut kitchen, lot) = tub_and_statement(stated_at);
        let cools = [60.0, 53.0, 45.0, 40.0, 35.0, 30.0, 25.0];
        kitchen.file(
            "f.csv",
            logged("2026-11-20T10:10:00Z", 20, 7, |row| cools[row]),
        );
        kitchen.at("2026-11-20T12:12:00Z");
        kitchen.ok(&format!("probe {lot} --cooled 11:20"));
        kitchen.ok("readings fridge --csv f.csv");
        kitchen.at("2026-11-20T12:14:00Z");
        kitchen.ok(&format!("probe {lot} 4C"));
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "past", "{stated_at}: {found}");
        let limit = found["binding"]["limit"].as_str().unwrap();
        has(limit, "the logger in the grain still showed 25 °C");
    }
}

#[test]
fn a_place_dated_back_to_a_hot_hold_makes_no_unknown_grain_good() {
    let ends_cold = [60.0, 45.0, 40.0, 25.0, 12.0];
    let stays_hot = [65.0; 5];
    for (reads, verdict) in [(ends_cold, "unknown"), (stays_hot, "past")] {
        let (mut kitchen, lot) = tub_and_statement("09:00");
        kitchen.at("2026-11-20T11:31:00Z");
        kitchen.ok(&format!("probe {lot} --cooled 11:20"));
        kitchen.file(
            "f.csv",
            logged("2026-11-20T10:05:00Z", 29, 5, |row| reads[row]),
        );
        kitchen.at("2026-11-20T12:11:00Z");
        kitchen.ok("readings fridge --csv f.csv");
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], verdict, "{found}");
        kitchen.at("2026-11-20T12:13:00Z");
        kitchen.run("place change fridge --kind hot-hold --temp 65C --at 10:05");
        let found = kitchen.on_shelf(&lot);
        let is_usable = found["verdict"] != "unknown" && found["verdict"] != "past";
        assert!(!is_usable, "{reads:?}: {found}");
    }
}

/// The logger shows no cooling by itself; a word for the moment at which it reads cold stands.
#[test]
fn a_word_stands_that_a_logger_in_the_grain_agrees_with() {
    for (said, verdict) in [("14:20", "good"), ("14:10", "unknown")] {
        let (mut kitchen, lot) = hot_tub("grain");
        let cools = [
            18.0, 16.5, 15.0, 13.5, 12.0, 10.5, 9.0, 8.0, 6.5, 5.4, 4.6, 4.6,
        ];
        kitchen.file(
            "f.csv",
            logged("2026-11-20T11:00:00Z", 20, 12, |row| cools[row]),
        );
        kitchen.at("2026-11-20T11:20:00Z");
        kitchen.ok(&format!("probe {lot} 20C"));
        kitchen.at("2026-11-20T16:00:00Z");
        kitchen.ok("readings fridge --csv f.csv");
        kitchen.ok(&format!("probe {lot} --cooled {said}"));
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], verdict, "{said}: {found}");
    }
}

#[test]
fn a_word_beside_warm_air_stands_and_is_doubted() {
    for is_word_first in [true, false] {
        let (mut kitchen, lot) = hot_tub("air");
        kitchen.file("f.csv", logged("2026-11-20T13:00:00Z", 20, 7, |_| 30.0));
        let word = format!("probe {lot} --cooled 14:00");
        kitchen.at("2026-11-20T15:10:00Z");
        let answers = if is_word_first {
            [
                kitchen.told(&word),
                kitchen.told("readings fridge --csv f.csv"),
            ]
        } else {
            [
                kitchen.told("readings fridge --csv f.csv"),
                kitchen.told(&word),
            ]
        };
        let doubted = |answer: &str| one_line(answer).contains("does not fit");
        assert!(!doubted(&answers[0]), "{}", answers[0]);
        let last = one_line(&answers[1]);
        has(&last, "showed 30 °C or more around then");
        has(&last, &format!("draff probe {lot} TEMPERATURE"));
    }
    // Air that was cold once around that moment speaks for it.
    let (mut kitchen, lot) = hot_tub("air");
    let turns = |row: usize| if row == 3 { 4.0 } else { 30.0 };
    kitchen.file("f.csv", logged("2026-11-20T13:00:00Z", 20, 7, turns));
    kitchen.at("2026-11-20T15:10:00Z");
    kitchen.ok(&format!("probe {lot} --cooled 14:00"));
    let said = one_line(&kitchen.ok("readings fridge --csv f.csv"));
    assert!(!said.contains("does not fit"), "{said}");
}

/// Grain that counts as warm by a last reading goes back into the cold too late; in a warmer place it would stay warm.
#[test]
fn a_place_that_is_stated_warmer_gives_no_later_end() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:30:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 08:30 --wet 10kg");
    kitchen.at("2026-11-20T11:30:00Z");
    kitchen.ok(&format!("probe {lot} --cooled 10:50"));
    kitchen.file("one.csv", logged("2026-11-20T10:31:00Z", 30, 1, |_| 3.0));
    kitchen.at("2026-11-20T11:31:00Z");
    kitchen.ok("readings fridge --csv one.csv");
    let turns = |row: usize| if row.is_multiple_of(2) { 3.0 } else { 9.0 };
    kitchen.file("two.csv", logged("2026-11-20T07:41:00Z", 30, 4, turns));
    kitchen.at("2026-11-20T12:01:00Z");
    kitchen.ok("readings fridge --csv two.csv");
    kitchen.at("2026-11-20T13:01:00Z");
    let before = kitchen.on_shelf(&lot);
    assert_eq!(before["verdict"], "use-first", "{before}");
    kitchen.ok("place change fridge --temp 9C");
    let after = kitchen.on_shelf(&lot);
    assert_eq!(after["verdict"], "use-first", "{after}");
    let until = |found: &serde_json::Value| found["keep_until"].as_str().unwrap().to_owned();
    assert!(until(&after) <= until(&before), "{before} became {after}");
}
