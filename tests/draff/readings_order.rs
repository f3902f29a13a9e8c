//! Two loggers' files of one place: the order in which they are read in does not count.

use crate::env::{has, one_line};
use crate::logger::{MONDAY, logged, two_fridges};
use serde_json::Value;

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
            let (mut kitchen, lot) = two_fridges("10kg");
            kitchen.file("back.csv", logged(MONDAY, 60, 5, |_| 3.5));
            kitchen.file(
                "front.csv",
                logged(MONDAY, 60, 5, |row| if row == 4 { 25.0 } else { 3.5 }),
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
            let (mut kitchen, lot) = two_fridges("10kg");
            kitchen.file(
                "hourly.csv",
                logged(MONDAY, 60, 6, |row| if row >= 4 { 25.0 } else { 3.5 }),
            );
            kitchen.file("often.csv", logged(MONDAY, 15, 21, |_| 3.5));
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
