//! A file that begins long after the last one ended: grain that left in between, soon after a reading, is judged as before it.

use crate::env::{Kitchen, has};
use crate::logger::{MONDAY, logged, two_fridges};
use serde_json::Value;

/// The fridge until Tuesday 07:45, every 15 minutes, with so much in the last hour.
fn until_tuesday(celsius: f64) -> String {
    logged(MONDAY, 15, 96, |row| if row >= 92 { celsius } else { 3.5 })
}

/// Reads in the next file, which begins on Saturday at 08:00; gives what is told beside the answer.
fn saturday(kitchen: &mut Kitchen) -> String {
    kitchen.at("2026-11-14T09:05:00Z");
    kitchen.file("next.csv", logged("2026-11-14T08:00:00Z", 15, 5, |_| 3.5));
    kitchen.told("readings fridge --csv next.csv")
}

/// A kitchen on Tuesday at 08:00 with the file of that moment read in, and a lot in the fridge that it measures.
fn fetched(probe: &str, celsius: f64) -> (Kitchen, String) {
    let (mut kitchen, lot) = two_fridges("10kg");
    kitchen.ok(&format!(
        "place change fridge --probe-in {probe} --at 2026-11-01"
    ));
    kitchen.at("2026-11-10T08:00:00Z");
    kitchen.file("f.csv", until_tuesday(celsius));
    kitchen.ok("readings fridge --csv f.csv");
    (kitchen, lot)
}

fn judged(found: &Value) -> [Value; 3] {
    ["verdict", "keep_until", "warm_minutes"].map(|key| found[key].clone())
}

#[test]
fn a_cold_file_after_a_gap_marks_no_grain_that_was_used_soon_after_a_cold_reading() {
    for probe in ["air", "buffered", "grain"] {
        let (mut kitchen, lot) = fetched(probe, 3.5);
        for at in ["08:00", "08:15", "11:45"] {
            kitchen.at(&format!("2026-11-10T{at}:00Z"));
            kitchen.ok(&format!("use {lot} 1kg --for buns"));
        }
        let told = saturday(&mut kitchen);
        assert!(!told.contains("went out"), "{probe}: {told}");
        let report = kitchen.json("report");
        let ages = &report["ages"][0];
        assert_eq!(ages["before_date_share"], 1.0, "{probe}: {ages}");
        assert_eq!(ages["past_or_unknown_wet_g"], 0.0, "{probe}: {ages}");
        // What stayed is unknown all the same.
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "unknown", "{probe}: {found}");
        has(
            found["binding"]["limit"].as_str().unwrap(),
            "more than 4 h between two readings of its place",
        );
        assert!(found["not_measured_since"].is_null(), "{probe}: {found}");
        let summary = kitchen.json("readings fridge --summary");
        assert_eq!(
            summary["gaps"][0]["from_at"], "2026-11-10T07:45:00+00:00",
            "{probe}: {summary}"
        );
    }
}

#[test]
fn what_was_used_later_than_a_reading_may_speak_for_is_marked() {
    let (mut kitchen, lot) = fetched("air", 3.5);
    for at in ["11:45", "11:46"] {
        kitchen.at(&format!("2026-11-10T{at}:00Z"));
        kitchen.ok(&format!("use {lot} 1kg --for buns"));
    }
    let told = saturday(&mut kitchen);
    assert_eq!(told.matches("went out at").count(), 1, "{told}");
    has(&told, "went out at Tue 10 Nov 2026 11:46");
}

/// Grain that was moved, frozen or parted off after it, cold or warm by the last reading, is as the book had it by then.
#[test]
fn a_file_after_a_gap_changes_nothing_of_grain_that_had_left() {
    for probe in ["air", "buffered", "grain"] {
        for celsius in [3.5, 5.5, 12.0] {
            for to in ["fr2", "freezer", "counter"] {
                let (mut kitchen, lot) = fetched(probe, celsius);
                kitchen.at("2026-11-10T08:15:00Z");
                kitchen.ok(&format!("move {lot} --to {to}"));
                kitchen.at("2026-11-14T09:05:00Z");
                let before = kitchen.on_shelf(&lot);
                saturday(&mut kitchen);
                let found = kitchen.on_shelf(&lot);
                assert_eq!(
                    judged(&found),
                    judged(&before),
                    "{probe} {celsius} {to}: {found}"
                );
            }
        }
    }
}

#[test]
fn a_gap_in_which_warm_rows_were_left_out_is_unknown_from_its_first_reading_on() {
    let (mut kitchen, lot) = two_fridges("10kg");
    kitchen.at("2026-11-10T09:00:00Z");
    kitchen.file(
        "f.csv",
        logged(MONDAY, 15, 101, |row| if row >= 97 { 20.0 } else { 3.5 }),
    );
    kitchen.ok("readings fridge --csv f.csv --to \"2026-11-10 08:00\"");
    kitchen.ok(&format!("use {lot} 1kg --for buns --at 08:05"));
    let told = saturday(&mut kitchen);
    has(&told, "went out at Tue 10 Nov 2026 08:05");
    has(&told, "when it was unknown");
}
