//! What a report of many bakes and several breweries says: tables that stay tables, and each brewery by itself.

use crate::env::{Kitchen, LOAF, has, one_line};

const LONG: &str = "seeded hearth loaf with rye malt";

#[test]
fn bakes_stay_a_table_where_reasons_are_long() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF.replace("small loaf", LONG));
    kitchen.ok("formula add loaf.toml");
    for hour in 12..18 {
        kitchen.ok(&format!(
            "bake add \"{LONG}\" --at \"2026-11-21 {hour}:00\" mix --pieces 4"
        ));
    }
    let added = kitchen.json("bake list");
    for bake in added["bakes"].as_array().unwrap() {
        let code = bake["bake"].as_str().unwrap();
        kitchen.ok(&format!(
            "bake drop {code} --reason \"not enough grain in date\""
        ));
    }
    kitchen.at("2026-11-22T12:00:00Z");
    let words = kitchen.ok("report");
    let head = words.lines().find(|line| line.starts_with("  Bake "));
    let head = head.unwrap_or_else(|| panic!("no table of bakes in:\n{words}"));
    assert!(
        head.contains("Formula") && head.contains("Supply"),
        "{head}"
    );
    assert_eq!(words.matches("not baked\n").count(), 6, "{words}");
    // What is left out there is in files.
    let report = kitchen.json("report");
    assert_eq!(report["bakes"][0]["reason"], "not enough grain in date");
}

/// A steady brewery is not hidden behind one that is not.
#[test]
fn moisture_without_a_test_is_told_of_each_source() {
    let kitchen = Kitchen::new();
    let alder = kitchen.lot_from("Alder Lane", "--wet 4kg");
    kitchen.ok(&format!("moisture {alder} --lab 77% --lab-sd 0.5%"));
    let words = one_line(&kitchen.ok("report"));
    assert!(!words.contains("Without a test"), "{words}");
    let tarn = kitchen.lot_from("Tarn Fell", "--wet 4kg");
    kitchen.ok(&format!("moisture {tarn} --lab 81% --lab-sd 0.5%"));
    let words = one_line(&kitchen.ok("report"));
    has(&words, "Without a test it would be known to ± ");
    has(&words, " points for Alder Lane, ± ");
    has(&words, " points for Tarn Fell.");
}

/// A logger may have run before there was a book.
#[test]
fn time_without_a_reading_is_never_less_than_none() {
    let mut kitchen = Kitchen::bare();
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok("new-book --name Kitchen --zone UTC");
    kitchen.at("2026-11-20T13:00:00Z");
    let rows: String = (6..=12)
        .map(|hour| format!("2026-11-20 {hour:02}:00,3.0\n"))
        .collect();
    kitchen.file("air.csv", format!("time,temp C\n{rows}"));
    kitchen.ok("readings fridge --csv air.csv --zone UTC");
    // Measured from 06:00 to 12:00.
    for (asked, minutes) in [
        ("report", 60),
        ("report --from \"2026-11-20 05:00\"", 60),
        ("report --from \"2026-11-20 09:00\"", 60),
    ] {
        let report = kitchen.json(asked);
        let places = report["places"].as_array().unwrap();
        let fridge = places.iter().find(|one| one["place"] == "fridge").unwrap();
        assert_eq!(fridge["without_reading_minutes"], minutes, "{asked}");
    }
}
