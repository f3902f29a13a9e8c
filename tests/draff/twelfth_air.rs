//! What loggers measured, in whatever order and parts their files are read in, and grain that goes on under another code: no
//! detour makes it better.

use crate::env::{Kitchen, has, one_line};
use serde_json::{Value, json};
use std::fmt::Write;

/// A kitchen with a second fridge that nobody measures, and so much grain that was cold on Sunday 8 November; its code.
fn kitchen_with(wet: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T08:00:00Z");
    kitchen.ok("place add fr2 --kind fridge --temp 3C");
    let lot = kitchen.pickup(&format!(
        "--brewed 2026-11-08 --mash-out \"2026-11-08 09:00\" --cooled \"2026-11-08 14:00\" --wet {wet}"
    ));
    (kitchen, lot)
}

/// A file of so many readings from Monday 9 November, 08:00, each so many minutes after the one before.
fn logged(every: usize, readings: usize, celsius: impl Fn(usize) -> f64) -> String {
    let mut rows = String::from("time,temp C\n");
    for row in 0..readings {
        let minutes = 8 * 60 + every * row;
        let (day, hour, minute) = (9 + minutes / 1440, minutes / 60 % 24, minutes % 60);
        writeln!(
            rows,
            "2026-11-{day:02} {hour:02}:{minute:02},{}",
            celsius(row)
        )
        .unwrap();
    }
    rows
}

/// Of two loggers in one fridge one was in the warm front at noon, when grain left.
#[test]
fn of_two_files_the_warmer_figure_counts_whichever_is_read_first() {
    for (left, its_own) in [
        ("move {} fr2", false),
        ("portion {} --into 1x1kg --to fr2", true),
        (
            "treat {} --step blend --wet-in 1kg --wet-out 1kg --place fr2",
            true,
        ),
        ("join {} OTHER --to fr2", true),
    ] {
        let read = |files: [&str; 2]| -> Value {
            let (mut kitchen, lot) = kitchen_with("10kg");
            kitchen.file("back.csv", logged(60, 5, |_| 3.5));
            kitchen.file(
                "front.csv",
                logged(60, 5, |row| if row == 4 { 25.0 } else { 3.5 }),
            );
            let other = kitchen.pickup(
                "--brewed 2026-11-08 --mash-out \"2026-11-08 10:00\" --cooled \"2026-11-08 14:00\" --wet 1kg",
            );
            kitchen.at("2026-11-09T12:00:00Z");
            kitchen.ok(&left.replace("{}", &lot).replace("OTHER", &other));
            kitchen.at("2026-11-09T12:05:00Z");
            for file in files {
                kitchen.ok(&format!("readings fridge --csv {file}"));
            }
            kitchen.at("2026-11-09T16:05:00Z");
            let lots = kitchen.json("shelf")["lots"].clone();
            let there: Vec<&Value> = lots
                .as_array()
                .unwrap()
                .iter()
                .filter(|found| found["place"] == "fr2")
                .collect();
            assert_eq!(there.len(), 1, "{left}: {lots}");
            assert_eq!(there[0]["verdict"], "past", "{left} {files:?}: {lots}");
            assert_eq!(there[0]["lot"] != lot, its_own, "{left}: {lots}");
            let code = there[0]["lot"].as_str().unwrap().to_owned();
            kitchen.refused(1, &format!("use {code} --wet 1kg --for bread"));
            let summary = one_line(&kitchen.ok("readings fridge --summary"));
            has(&summary, &format!("{code}: past since Mon 9 Nov 14:59"));
            lots
        };
        assert_eq!(
            read(["back.csv", "front.csv"]),
            read(["front.csv", "back.csv"]),
            "{left}"
        );
    }
}

/// So it is in the middle of an interval, and where grain comes: whatever the book holds is put together alike. Both
/// files are read while no grain is past: the finer one makes it good for longer.
#[test]
fn the_order_of_files_does_not_count_wherever_grain_comes_or_leaves() {
    for at in ["10:00", "12:00", "12:10"] {
        let read = |files: [&str; 2]| -> Value {
            let (mut kitchen, lot) = kitchen_with("10kg");
            kitchen.file(
                "hourly.csv",
                logged(60, 6, |row| if row >= 4 { 25.0 } else { 3.5 }),
            );
            kitchen.file("often.csv", logged(15, 21, |_| 3.5));
            kitchen.at("2026-11-09T09:30:00Z");
            kitchen.ok(&format!("portion {lot} --into 1x2kg"));
            kitchen.at(&format!("2026-11-09T{at}:00Z"));
            kitchen.ok(&format!("portion {lot} --into 1x1kg --to fr2"));
            kitchen.at("2026-11-09T13:05:00Z");
            for file in files {
                kitchen.ok(&format!("readings fridge --csv {file}"));
            }
            kitchen.at("2026-11-09T17:05:00Z");
            kitchen.json("shelf")["lots"].clone()
        };
        assert_eq!(
            read(["hourly.csv", "often.csv"]),
            read(["often.csv", "hourly.csv"]),
            "{at}"
        );
    }
}

/// The codes of the lots that an act made.
fn made(answer: &Value) -> Vec<String> {
    let lots = answer["lots"].as_array().unwrap();
    let code = |lot: &Value| lot["lot"].as_str().unwrap().to_owned();
    lots.iter().map(code).collect()
}

/// Five minutes apart, and for an hour 6 °C: a layer of 5 mm is warm for two hours, one of 2 cm is not.
fn thin_file() -> String {
    logged(
        5,
        60,
        |row| {
            if (30..=42).contains(&row) { 6.0 } else { 4.0 }
        },
    )
}

#[test]
fn joined_and_blended_grain_lies_as_thin_as_what_it_was_made_of() {
    let (mut kitchen, lot) = kitchen_with("6kg");
    kitchen.at("2026-11-09T08:01:00Z");
    let bags = made(&kitchen.json(&format!("portion {lot} --into 4x1kg --thick 5mm")));
    kitchen.at("2026-11-09T08:20:00Z");
    let joined = kitchen.json(&format!("join {} {}", bags[0], bags[1]));
    let joined = joined["lot"].as_str().unwrap().to_owned();
    kitchen.ok(&format!("treat {} --step blend --wet-out 1kg", bags[2]));
    kitchen.ok(&format!("portion {joined} --into 1x500g"));
    // Of grain that lies as its place says, some goes to some that lies thin.
    let plain = made(&kitchen.json(&format!("portion {lot} --into 2x500g")));
    let mixed = made(&kitchen.json(&format!("portion {} --into 1x500g", bags[3])));
    let mixed = kitchen.json(&format!("join {} {}", plain[0], mixed[0]));
    kitchen.file("thin.csv", thin_file());
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok("readings fridge --csv thin.csv");
    for found in kitchen.json("shelf")["lots"].as_array().unwrap() {
        if found["lot"] == lot.as_str() || found["lot"] == plain[1].as_str() {
            assert_eq!(found["verdict"], "good", "{found}");
            assert_eq!(found["layer_cm"], 2.0, "{found}");
            continue;
        }
        assert_eq!(found["verdict"], "past", "{found}");
        assert_eq!(found["keep_until"], "2026-11-09T12:24:59+00:00", "{found}");
        assert_eq!(found["layer_cm"], 0.5, "{found}");
    }
    assert_eq!(kitchen.on_shelf(&joined)["verdict"], "past");
    assert_eq!(
        kitchen.on_shelf(mixed["lot"].as_str().unwrap())["verdict"],
        "past"
    );
}

#[test]
fn a_depth_that_somebody_states_of_joined_grain_counts() {
    let (mut kitchen, lot) = kitchen_with("2kg");
    kitchen.at("2026-11-09T08:01:00Z");
    let bags = made(&kitchen.json(&format!("portion {lot} --into 2x1kg --thick 5mm")));
    kitchen.at("2026-11-09T08:20:00Z");
    let joined = kitchen.json(&format!("join {} {}", bags[0], bags[1]));
    let joined = joined["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-09T08:30:00Z");
    let again = made(&kitchen.json(&format!("portion {joined} --into 1x2kg --thick 2cm")));
    kitchen.file("thin.csv", thin_file());
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok("readings fridge --csv thin.csv");
    let found = kitchen.on_shelf(&again[0]);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["warm_minutes"], 110, "{found}");
    assert_eq!(found["layer_cm"], 2.0, "{found}");
}

/// Nobody stated how thick the product lies: then it must not warm slower than any other grain there.
#[test]
fn a_thick_layer_does_not_go_on_through_a_treatment() {
    let (mut kitchen, lot) = kitchen_with("2kg");
    kitchen.at("2026-11-09T08:01:00Z");
    let thick = made(&kitchen.json(&format!("portion {lot} --into 1x1kg --thick 6cm")));
    kitchen.at("2026-11-09T08:20:00Z");
    kitchen.ok(&format!("treat {} --step blend --wet-out 1kg", thick[0]));
    kitchen.file("thin.csv", thin_file());
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok("readings fridge --csv thin.csv");
    for found in kitchen.json("shelf")["lots"].as_array().unwrap() {
        assert_eq!(found["layer_cm"], 2.0, "{found}");
        assert!(found["warm_minutes"].as_i64() >= Some(110), "{found}");
    }
}

/// Five minutes apart for a day, and from 16:20 to 19:35 a fridge that stands open at 20 °C.
fn warm_evening(kitchen: &mut Kitchen) {
    kitchen.file(
        "tt.csv",
        logged(
            5,
            288,
            |row| {
                if (100..140).contains(&row) { 20.0 } else { 3.5 }
            },
        ),
    );
    kitchen.at("2026-11-10T08:00:00Z");
}

const BEFORE_IT: &str = "readings fridge --csv tt.csv --to \"2026-11-09 16:15\"";
const AFTER_IT: &str = "readings fridge --csv tt.csv --from \"2026-11-09 20:00\"";

#[test]
fn a_warm_time_that_is_cut_out_of_a_file_is_on_record_and_not_measured() {
    let (mut kitchen, lot) = kitchen_with("10kg");
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
        let (mut kitchen, lot) = kitchen_with("10kg");
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
    let (mut kitchen, lot) = kitchen_with("10kg");
    kitchen.file(
        "ends.csv",
        logged(
            5,
            120,
            |row| {
                if (12..108).contains(&row) { 3.5 } else { 21.0 }
            },
        ),
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
    let (mut kitchen, lot) = kitchen_with("10kg");
    kitchen.file("cold.csv", logged(5, 120, |_| 3.5));
    kitchen.at("2026-11-09T18:00:00Z");
    kitchen.ok("readings fridge --csv cold.csv --to \"2026-11-09 12:00\"");
    kitchen.ok("readings fridge --csv cold.csv --from \"2026-11-09 15:00\"");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    let summary = kitchen.json("readings fridge --summary");
    assert_eq!(summary["left_out"], json!([]));
}

#[test]
fn two_thermometer_readings_speak_for_the_time_that_was_cut_out() {
    let (mut kitchen, lot) = kitchen_with("10kg");
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
    let (mut kitchen, lot) = kitchen_with("10kg");
    kitchen.file(
        "long.csv",
        logged(
            5,
            288,
            |row| {
                if (100..220).contains(&row) { 20.0 } else { 3.5 }
            },
        ),
    );
    kitchen.at("2026-11-10T08:00:00Z");
    kitchen.ok("readings fridge --csv long.csv --to \"2026-11-09 17:00\"");
    kitchen.ok("readings fridge --csv long.csv --from \"2026-11-09 20:00\"");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

/// Nobody has read a file in since 07:55, and parts, blends and joins of the grain lie where it lay.
#[test]
fn grain_under_another_code_in_its_place_says_since_when_nobody_measured_it() {
    let (mut kitchen, lot) = kitchen_with("10kg");
    kitchen.file("f2.csv", logged(5, 288, |_| 3.5));
    kitchen.at("2026-11-10T08:00:00Z");
    kitchen.ok("readings fridge --csv f2.csv");
    kitchen.at("2026-11-10T08:30:00Z");
    let parts = made(&kitchen.json(&format!("portion {lot} --into 4x1kg --thick 5mm")));
    kitchen.ok(&format!("join {} {}", parts[0], parts[1]));
    kitchen.ok(&format!("treat {} --step blend --wet-out 1kg", parts[2]));
    let elsewhere = made(&kitchen.json(&format!("portion {lot} --into 1x1kg --to fr2")));
    let since = |kitchen: &Kitchen| -> Vec<(bool, Value)> {
        let shelf = kitchen.json("shelf");
        let lots = shelf["lots"].as_array().unwrap().iter();
        lots.map(|found| {
            let is_elsewhere = found["lot"] == elsewhere[0].as_str();
            (is_elsewhere, found["not_measured_since"].clone())
        })
        .collect()
    };
    kitchen.at("2026-11-10T11:30:00Z");
    for (_, since) in since(&kitchen) {
        assert_eq!(since, json!(null), "what was read last still holds");
    }
    kitchen.at("2026-11-10T12:30:00Z");
    let found = since(&kitchen);
    assert_eq!(found.len(), 5, "{found:?}");
    for (is_elsewhere, since) in found {
        let last = if is_elsewhere {
            json!(null)
        } else {
            json!("2026-11-10T07:55:00+00:00")
        };
        assert_eq!(since, last);
    }
}

/// The last readings are warm: then the parent and its part are both not measured since.
#[test]
fn a_part_of_grain_that_was_warm_last_is_not_measured_since_either() {
    let (mut kitchen, lot) = kitchen_with("10kg");
    kitchen.file(
        "f2.csv",
        logged(5, 288, |row| if row >= 270 { 9.0 } else { 3.5 }),
    );
    kitchen.at("2026-11-10T08:00:00Z");
    kitchen.ok("readings fridge --csv f2.csv");
    kitchen.at("2026-11-10T08:30:00Z");
    let part = made(&kitchen.json(&format!("portion {lot} --into 1x1kg")));
    kitchen.at("2026-11-10T12:30:00Z");
    for code in [&lot, &part[0]] {
        let found = kitchen.on_shelf(code);
        assert_eq!(found["verdict"], "unknown", "{found}");
        assert_eq!(
            found["not_measured_since"], "2026-11-10T07:55:00+00:00",
            "{found}"
        );
    }
}
