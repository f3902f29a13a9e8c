//! Rows that `readings --from` and `--to` leave out: warm ones count as time that nobody measured, and cold ones
//! cost nothing.

use crate::env::{Kitchen, has, one_line};
use crate::logger::{MONDAY, logged, two_fridges};
use serde_json::json;

/// What of the file of `warm_evening` lies before the warm time.
const BEFORE_IT: &str = "readings fridge --csv tt.csv --to \"2026-11-09 16:15\"";

/// What of it lies after it.
const AFTER_IT: &str = "readings fridge --csv tt.csv --from \"2026-11-09 20:00\"";

/// Five minutes apart for a day, and from 16:20 to 19:35 a fridge that stands open at 20 °C.
fn warm_evening(kitchen: &mut Kitchen) {
    kitchen.file(
        "tt.csv",
        logged(MONDAY, 5, 288, |row| {
            if (100..140).contains(&row) { 20.0 } else { 3.5 }
        }),
    );
    kitchen.at("2026-11-10T08:00:00Z");
}

#[test]
fn a_warm_time_that_is_cut_out_of_a_file_is_on_record_and_not_measured() {
    let (mut kitchen, lot) = two_fridges("10kg");
    warm_evening(&mut kitchen);
    has(
        &kitchen.told(BEFORE_IT),
        "go up to 20 °C: no lot is judged by them, and the time between the readings around them, if there are any on both sides, counts as not measured",
    );
    kitchen.ok(AFTER_IT);
    kitchen.at("2026-11-10T08:05:00Z");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "unknown", "{found}");
    has(
        found["binding"]["limit"].as_str().unwrap(),
        "warm rows of a logger's file of its place were left out",
    );
    kitchen.refused(1, &format!("use {lot} --wet 1kg --for bread"));
    let log = one_line(&kitchen.ok("log"));
    assert_eq!(
        log.matches("; 40 warm rows left out, up to 20 °C").count(),
        2,
        "{log}"
    );
    has(
        &one_line(&kitchen.ok(&format!("trace {lot}"))),
        "40 warm rows left out, up to 20 °C",
    );
    let summary = kitchen.json("readings fridge --summary");
    assert_eq!(
        summary["left_out"],
        json!([
            {"at": "2026-11-09T16:20:00+00:00", "rows": 40, "warmest_c": 20.0},
            {"at": "2026-11-09T19:35:00+00:00", "rows": 40, "warmest_c": 20.0},
        ])
    );
    // From 16:10 to 20:00.
    assert_eq!(summary["unknown_minutes"], 230, "{summary}");
    assert_eq!(
        summary["gaps"][0]["lots"][0]["verdict"], "unknown",
        "{summary}"
    );
    let summary = one_line(&kitchen.ok("readings fridge --summary"));
    has(
        &summary,
        "Left out 40 warm rows at Mon 9 Nov 16:20, up to 20 °C",
    );
    has(
        &summary,
        "No reading for 3 h 50 min: unknown, and never cold",
    );
    kitchen.ok("check");
}

#[test]
fn the_whole_file_tells_what_was_cut_out_of_it() {
    for strikes in [false, true] {
        let (mut kitchen, lot) = two_fridges("10kg");
        warm_evening(&mut kitchen);
        kitchen.ok(BEFORE_IT);
        kitchen.ok(AFTER_IT);
        if strikes {
            let last = kitchen.last_entry("readings");
            kitchen.ok(&format!(
                "strike {} {last} --reason \"the logger was in the fridge\"",
                last - 1
            ));
        }
        kitchen.ok("readings fridge --csv tt.csv");
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "past", "{found}");
        assert_eq!(found["keep_until"], "2026-11-09T20:14:59+00:00", "{found}");
        let summary = kitchen.json("readings fridge --summary");
        assert_eq!(summary["unknown_minutes"], 0, "{summary}");
    }
}

/// A logger that lay on a desk before it came into the fridge, and after it was taken away.
#[test]
fn a_logger_that_was_elsewhere_at_the_ends_costs_nothing() {
    let (mut kitchen, lot) = two_fridges("10kg");
    kitchen.file(
        "ends.csv",
        logged(MONDAY, 5, 120, |row| {
            if (12..108).contains(&row) { 3.5 } else { 21.0 }
        }),
    );
    kitchen.at("2026-11-09T18:00:00Z");
    kitchen
        .ok("readings fridge --csv ends.csv --from \"2026-11-09 09:00\" --to \"2026-11-09 17:00\"");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "good", "{found}");
    let summary = kitchen.json("readings fridge --summary");
    assert_eq!(summary["unknown_minutes"], 0, "{summary}");
    let left_out = summary["left_out"].as_array().unwrap();
    let rows: Vec<i64> = left_out
        .iter()
        .map(|left| left["rows"].as_i64().unwrap())
        .collect();
    assert_eq!(rows, [12, 12], "{summary}");
    // Cold rows that are left out are nobody's concern.
    let (mut kitchen, lot) = two_fridges("10kg");
    kitchen.file("cold.csv", logged(MONDAY, 5, 120, |_| 3.5));
    kitchen.at("2026-11-09T18:00:00Z");
    kitchen.ok("readings fridge --csv cold.csv --to \"2026-11-09 12:00\"");
    kitchen.ok("readings fridge --csv cold.csv --from \"2026-11-09 15:00\"");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    let summary = kitchen.json("readings fridge --summary");
    assert_eq!(summary["left_out"], json!([]));
}

#[test]
fn two_thermometer_readings_speak_for_the_time_that_was_cut_out() {
    let (mut kitchen, lot) = two_fridges("10kg");
    kitchen.at("2026-11-09T16:05:00Z");
    kitchen.ok(&format!("probe {lot} 3.5C"));
    kitchen.at("2026-11-09T20:05:00Z");
    kitchen.ok(&format!("probe {lot} 3.5C"));
    warm_evening(&mut kitchen);
    kitchen.ok(BEFORE_IT);
    kitchen.ok(AFTER_IT);
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

/// What the readings around it show counts in any case: leaving rows out makes no past grain unknown.
#[test]
fn leaving_warm_rows_out_makes_no_grain_better() {
    let (mut kitchen, lot) = two_fridges("10kg");
    kitchen.file(
        "long.csv",
        logged(MONDAY, 5, 288, |row| {
            if (100..220).contains(&row) { 20.0 } else { 3.5 }
        }),
    );
    kitchen.at("2026-11-10T08:00:00Z");
    kitchen.ok("readings fridge --csv long.csv --to \"2026-11-09 17:00\"");
    kitchen.ok("readings fridge --csv long.csv --from \"2026-11-09 20:00\"");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

#[test]
fn rows_that_are_left_out_may_lie_after_now() {
    let mut kitchen = Kitchen::new();
    kitchen.file(
        "day.csv",
        "time,temp C\n2026-11-20 10:00,4\n2026-11-20 11:00,4\n2026-11-20 12:30,4\n2026-11-20 15:15,\n",
    );
    kitchen.at("2026-11-20T12:00:00Z");
    has(
        &kitchen.refused(1, "readings fridge --csv day.csv"),
        "lies after now",
    );
    has(
        &kitchen.refused(
            1,
            "readings fridge --csv day.csv --from \"2026-11-20 10:30\"",
        ),
        "lies after now",
    );
    let read = kitchen.json("readings fridge --csv day.csv --to \"2026-11-20 11:30\"");
    assert_eq!(
        (&read["added"], &read["rows_outside"]),
        (&json!(2), &json!(1))
    );
}

/// What was left out beside rows that the book holds already.
#[test]
fn warm_rows_left_out_beside_known_rows_are_on_record() {
    let all = |is_warm: fn(usize) -> bool| {
        logged(MONDAY, 5, 288, |row| if is_warm(row) { 20.0 } else { 3.5 })
    };
    let known = |from, readings| logged(from, 5, readings, |_| 3.5);
    for (known, all, options) in [
        (
            known(MONDAY, 100),
            all(|row| (100..140).contains(&row)),
            "--to \"2026-11-09 16:15\"",
        ),
        (
            known("2026-11-09T19:40:00Z", 148),
            all(|row| (100..140).contains(&row)),
            "--from \"2026-11-09 19:40\"",
        ),
        (
            known("2026-11-09T17:00:00Z", 12),
            all(|row| (96..132).contains(&row) && !(108..120).contains(&row)),
            "--from \"2026-11-09 17:00\" --to \"2026-11-09 17:56\"",
        ),
    ] {
        let (mut kitchen, lot) = two_fridges("10kg");
        kitchen.file("known.csv", known);
        kitchen.file("all.csv", all);
        kitchen.file("other.csv", logged(MONDAY, 5, 288, |_| 3.6));
        kitchen.at("2026-11-10T08:00:00Z");
        kitchen.ok("readings fridge --csv known.csv");
        let cut = format!("readings fridge --csv all.csv {options}");
        let read = kitchen.json(&cut);
        assert_eq!(read["added"], 0, "{options}: {read}");
        kitchen.ok("readings fridge --csv other.csv");
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "unknown", "{options}: {found}");
        let entries = kitchen.entries();
        kitchen.ok(&cut);
        assert_eq!(kitchen.entries(), entries, "{options}: nothing new");
        kitchen.ok("check");
    }
}
