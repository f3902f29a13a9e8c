//! A warm reading with no other near: nobody knows for how long it was warm, and the sum of all times out of limit agrees
//! with their list.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

/// A fridge of which one reading is known, 25 °C on Sunday 8 November at noon, seen on Monday at 08:00.
fn one_warm_reading() -> Kitchen {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T08:00:00Z");
    kitchen.file("f.csv", "time,temp C\n2026-11-08 12:00,25\n");
    kitchen.ok("readings fridge --csv f.csv");
    kitchen
}

#[test]
fn one_warm_reading_is_never_called_never_warm() {
    let kitchen = one_warm_reading();
    for asked in ["", "--html -"] {
        let said = one_line(&kitchen.ok(&format!("readings fridge --summary {asked}")));
        has(&said, "above 5 °C, not known for how long");
        has(&said, "20 h, at 1 time, and not over at the last reading");
    }
    let found = kitchen.json("readings fridge --summary");
    assert_eq!(found["grain_warm_minutes"], json!(null));
    assert_eq!(found["outside_minutes"], json!(1200));
    assert_eq!(found["excursions"][0]["minutes"], json!(1200));
}

#[test]
fn a_time_that_is_asked_for_ends_what_no_reading_has_ended() {
    let kitchen = one_warm_reading();
    let asked = "readings fridge --summary --from 2026-11-08 --to 2026-11-09";
    has(&one_line(&kitchen.ok(asked)), "Out of it 12 h, at 1 time");
    let found = kitchen.json(asked);
    assert_eq!(found["outside_minutes"], json!(720));
    assert_eq!(found["excursions"][0]["minutes"], json!(720));
}

#[test]
fn a_report_counts_what_no_reading_has_ended_up_to_now() {
    let kitchen = one_warm_reading();
    has(
        &one_line(&kitchen.ok("report")),
        "fridge: 20 h out of limit, 1 time, and not over at the last reading;",
    );
    let places = kitchen.json("report")["places"].clone();
    assert_eq!(places[0]["out_of_limit_minutes"], json!(1200));
}

#[test]
fn one_cold_reading_was_never_warm() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T08:00:00Z");
    kitchen.file("f.csv", "time,temp C\n2026-11-08 12:00,3\n");
    kitchen.ok("readings fridge --csv f.csv");
    let said = one_line(&kitchen.ok("readings fridge --summary"));
    has(&said, "above 5 °C never");
    let found = kitchen.json("readings fridge --summary");
    assert_eq!(found["grain_warm_minutes"], json!(0));
    assert_eq!(found["outside_minutes"], json!(0));
}
