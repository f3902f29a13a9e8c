//! A cold thermometer in grain whose place a logger measures: what it settles, what a file makes of it, and which air
//! the layer of grain never met.

use crate::env::{FRIDAY, Kitchen, has, one_line};
use crate::logger::logged;

/// Grain in a fridge whose air was 9 °C from 11:30 to the last reading at 12:00, at 12:05.
fn warm_at_the_last_reading() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.file(
        "first.csv",
        logged(FRIDAY, 5, 25, |row| if row >= 18 { 9.0 } else { 3.5 }),
    );
    kitchen.at("2026-11-20T12:05:00Z");
    kitchen.ok("readings fridge --csv first.csv");
    (kitchen, lot)
}

/// What the logger measured from 12:05 to 15:00.
fn then_cold(kitchen: &mut Kitchen, readings: usize, now: &str) -> String {
    kitchen.file(
        "next.csv",
        logged("2026-11-20T12:05:00Z", 5, readings, |_| 3.5),
    );
    kitchen.at(now);
    kitchen.told("readings fridge --csv next.csv")
}

#[test]
fn the_answer_that_asks_for_a_probe_says_what_it_settles() {
    let (mut kitchen, lot) = warm_at_the_last_reading();
    let shelf = one_line(&kitchen.ok("shelf"));
    has(
        &shelf,
        "One probe counts until the next file of the place, which counts by itself and may overrule it.",
    );
    kitchen.at("2026-11-20T12:30:00Z");
    let told = kitchen.told(&format!("probe {lot} 4C"));
    has(&told, "counts until you read in the next file of its place");
    has(&told, "take the temperature again by Fri 20 Nov 16:30");
    has(
        &told,
        "The time from Fri 20 Nov 12:00 to Fri 20 Nov 12:30 stays with the file",
    );
    kitchen.at("2026-11-20T12:31:00Z");
    let told = kitchen.told(&format!("probe {lot} 6C"));
    assert!(!told.contains("counts until you read in"), "{told}");
}

/// Nothing settles what is past: it is thrown away.
#[test]
fn a_probe_of_past_grain_asks_for_no_second_one() {
    let (mut kitchen, lot) = warm_at_the_last_reading();
    kitchen.ok(&format!("probe {lot} --spoiled mould"));
    kitchen.at("2026-11-20T12:30:00Z");
    let ran = kitchen.run(&format!("probe {lot} 4C"));
    assert_eq!(ran.code, 0, "{}", ran.err);
    let said = one_line(&ran.out);
    has(
        &said,
        &format!("throw it away: draff discard {lot} --reason past"),
    );
    let told = ran.told();
    assert!(!told.contains("take the temperature again"), "{told}");
}

#[test]
fn a_file_that_makes_probed_grain_past_names_the_probe() {
    let (mut kitchen, lot) = warm_at_the_last_reading();
    kitchen.at("2026-11-20T12:30:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    let told = then_cold(&mut kitchen, 36, "2026-11-20T15:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    has(
        &told,
        &format!(
            "your probe of lot `{lot}` at Fri 20 Nov 12:30 showed 4 °C, and the air of its place overrules it"
        ),
    );
    has(&told, "a layer of 2 cm is up to");
    has(&told, &format!("`draff discard {lot} --reason past`"));
    has(&told, "no more than 4 h apart, before you read the file in");
}

#[test]
fn a_second_probe_settles_the_time_since_the_first() {
    let (mut kitchen, lot) = warm_at_the_last_reading();
    for now in ["2026-11-20T12:30:00Z", "2026-11-20T14:55:00Z"] {
        kitchen.at(now);
        kitchen.ok(&format!("probe {lot} 4C"));
    }
    let told = then_cold(&mut kitchen, 36, "2026-11-20T15:00:00Z");
    assert!(!told.contains("overrules"), "{told}");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

/// Read in before the grain is past, the file says by when a second probe helps, and it does.
#[test]
fn grain_that_is_not_past_yet_is_probed_again() {
    let (mut kitchen, lot) = warm_at_the_last_reading();
    kitchen.at("2026-11-20T12:30:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    let kept = kitchen.on_shelf(&lot)["keep_until"].clone();
    let told = then_cold(&mut kitchen, 12, "2026-11-20T13:00:00Z");
    assert!(kitchen.on_shelf(&lot)["keep_until"] != kept);
    has(
        &told,
        &format!(
            "Take the temperature again by Fri 20 Nov 16:30, and leave the grain where it is: `draff probe {lot} TEMPERATURE`"
        ),
    );
    kitchen.at("2026-11-20T13:05:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    assert_eq!(kitchen.on_shelf(&lot)["keep_until"], kept);
}

/// A fridge was at 20 °C while it was empty. Its logger stopped for more than four hours, and the grain came in cold.
#[test]
fn air_of_long_before_the_grain_came_does_not_warm_it() {
    let judged = |empty: f64| {
        let mut kitchen = Kitchen::new();
        kitchen.file(
            "empty.csv",
            logged("2026-11-20T01:00:00Z", 30, 3, |_| empty),
        );
        kitchen.at("2026-11-20T02:05:00Z");
        kitchen.ok("readings fridge --csv empty.csv");
        kitchen.at("2026-11-20T08:00:00Z");
        let lot = kitchen
            .pickup("--brewed 2026-11-20 --mash-out 03:00 --cooled 05:00 --temp 4C --wet 10kg");
        kitchen.at("2026-11-20T08:12:00Z");
        kitchen.ok(&format!("probe {lot} 4C"));
        kitchen.file("full.csv", logged("2026-11-20T08:10:00Z", 10, 30, |_| 3.0));
        kitchen.at("2026-11-20T13:05:00Z");
        kitchen.ok("readings fridge --csv full.csv");
        kitchen.on_shelf(&lot)
    };
    for empty in [20.0, 3.0] {
        let found = judged(empty);
        assert_eq!(found["verdict"], "good", "{empty}: {found}");
        assert_eq!(found["warm_minutes"], 0, "{empty}: {found}");
    }
}
