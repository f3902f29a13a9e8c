//! What a food scientist found in the keeping clock: freezers that were measured warm, thermometers beside loggers, the
//! minute of a deadline, and words that were not so.

use crate::env::{Kitchen, has, one_line};
use std::fmt::Write;

/// Half-hourly readings in °C from one half hour of Friday 20 November up to another.
fn logged(from: usize, to: usize, celsius: impl Fn(usize) -> f64) -> String {
    let mut rows = String::from("time,temp C\n");
    for half in from..=to {
        let (day, hour, minute) = (20 + half / 48, half % 48 / 2, half % 2 * 30);
        writeln!(
            rows,
            "2026-11-{day} {hour:02}:{minute:02},{}",
            celsius(half)
        )
        .unwrap();
    }
    rows
}

/// Half hours from Friday 00:00 to 10:00 of the day so many days later.
const fn at_ten(days: usize) -> usize {
    days * 48 + 20
}

/// Five days at −12 °C are five days in a fridge, and the last of them does not freeze it again.
#[test]
fn a_freezer_that_was_measured_warm_is_none_until_a_reading_shows_it_frozen() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("1kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.file("warm.csv", logged(at_ten(0), at_ten(5), |_| -12.0));
    kitchen.at("2026-11-25T10:01:00Z");
    kitchen.ok("readings freezer --csv warm.csv");
    for now in ["2026-11-25T10:01:00Z", "2026-11-25T14:01:00Z"] {
        kitchen.at(now);
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "use-first", "{found}");
        assert_eq!(found["keep_until"], "2026-11-26T23:59:59+00:00", "{found}");
        has(&kitchen.ok(&format!("ticket {lot}")), "Use by Thu 26 Nov");
        has(
            &one_line(&kitchen.ok("today")),
            "use 1 kg first, keep until Thu 26 Nov",
        );
        let shelf = one_line(&kitchen.ok("shelf"));
        has(&shelf, "without one it is good until Thu 26 Nov");
        assert!(!shelf.contains("counts as the place is stated"), "{shelf}");
    }
    kitchen.at("2026-11-28T10:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    kitchen.refused(1, &format!("use {lot} 1kg --for bread"));
    // Measured frozen since that last reading, its days stood still.
    kitchen.file("cold.csv", logged(at_ten(5) + 1, at_ten(8), |_| -18.0));
    kitchen.ok("readings freezer --csv cold.csv");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "use-first", "{found}");
    assert!(found["keep_until"].is_null(), "{found}");
}

/// Three days of cold readings, and a thermometer that shows 5.4 °C two minutes after the last one.
#[test]
fn a_thermometer_after_a_logger_speaks_for_the_time_since_it() {
    let probed = |probe_in: &str| {
        let mut kitchen = Kitchen::new();
        kitchen.ok(&format!(
            "place change fridge --probe-in {probe_in} --at 2026-11-01"
        ));
        let lot = kitchen.lot("5kg");
        kitchen.file("f.csv", logged(at_ten(0), at_ten(3), |_| 3.5));
        kitchen.at("2026-11-23T10:02:00Z");
        kitchen.ok("readings fridge --csv f.csv");
        let told = kitchen.told(&format!("probe {lot} 5.4C"));
        (kitchen.on_shelf(&lot), told)
    };
    let (in_grain, told) = probed("grain");
    assert_eq!(in_grain["verdict"], "good", "{in_grain}");
    assert_eq!(in_grain["warm_minutes"], 2, "{in_grain}");
    assert!(!told.contains("counts as warm"), "{told}");
    // This grain was not what its air makes of a layer, and the thermometer counts.
    let (in_air, told) = probed("air");
    assert_eq!(in_air["verdict"], "past", "{in_air}");
    has(&told, "shows more than the readings of its place make of");
    assert!(!told.contains("nobody measured"), "{told}");
}

#[test]
fn at_the_deadline_minute_there_is_one_answer() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 10:00 --wet 5kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("probe {lot} 40C"));
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "past", "{found}");
    has(&one_line(&kitchen.ok("today")), "throw away 5 kg");
}

#[test]
fn grain_that_a_logger_left_warm_is_measured_before_it_is_given_up() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let lot = kitchen.lot("5kg");
    let last = at_ten(0) + 13;
    let warm_at_last = |half: usize| if half == last { 5.4 } else { 3.5 };
    kitchen.file("f.csv", logged(at_ten(0), last, warm_at_last));
    kitchen.at("2026-11-20T16:35:00Z");
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["act_by"], "2026-11-20T17:59:59+00:00", "{found}");
    has(
        &one_line(&kitchen.ok("shelf")),
        "take the temperature by Fri 20 Nov 17:59, in the middle of the grain, where it is thickest: at 5 °C or less it keeps for longer; or read in a file",
    );
    let due = kitchen.json("today")["due"][0].clone();
    assert_eq!(due["task"], "take-temperature", "{due}");
    assert_eq!(due["at_most_c"], 5.0, "{due}");
    kitchen.at("2026-11-20T17:30:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["keep_until"], "2026-11-26T23:59:59+00:00", "{found}");
}

#[test]
fn times_with_an_offset_and_no_seconds_are_read() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "f.csv",
        "time,temp C\n2026-11-20T08:00Z,3.5\n2026-11-20T09:30+01:00,3.6\n2026-11-20T09:00Z,3.5\n",
    );
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.json("readings fridge --summary");
    assert_eq!(found["readings"], 3, "{found}");
    assert_eq!(found["from_at"], "2026-11-20T08:00:00+00:00", "{found}");
    assert_eq!(found["to_at"], "2026-11-20T09:00:00+00:00", "{found}");
}

/// Ireland's clocks went back on Sunday 25 October 2026 at 02:00.
#[test]
fn the_hour_that_comes_twice_is_told_with_its_offset() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "f.csv",
        "time,temp C\n2026-10-25T00:00Z,9.0\n2026-10-25T01:30Z,3.5\n",
    );
    kitchen.ok("readings fridge --csv f.csv");
    has(
        &one_line(&kitchen.ok("readings fridge --summary")),
        "Sun 25 Oct 01:00 +01:00 to 01:30 +00:00, 1 h 30 min",
    );
}

#[test]
fn thin_portions_are_said_to_be_judged_by_their_own_depth() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --layer 10cm --at 2026-11-01");
    let lot = kitchen.lot("5kg");
    let parts = kitchen.json(&format!("portion {lot} --into 1x1kg --thick 1cm"));
    let part = parts["lots"][0]["lot"].as_str().unwrap().to_owned();
    let door = |half: usize| if half == 40 { 9.0 } else { 3.5 };
    kitchen.file("f.csv", logged(at_ten(0), at_ten(1), door));
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok("readings fridge --csv f.csv");
    has(
        &one_line(&kitchen.ok("readings fridge --summary")),
        &format!(
            "lots that lie thinner are judged by their own depth, the thinnest is {part} at 1 cm"
        ),
    );
}

/// A bake takes a part of what is frozen in one block.
#[test]
fn a_part_of_a_frozen_block_takes_all_of_it_out() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("20kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 12:00\" mix --pieces 4");
    has(
        &one_line(&kitchen.ok("plan")),
        &format!("frozen in one block, all 20 kg of {lot} comes out:"),
    );
}

/// Nothing cools 40 °C to 21 °C in a minute: a word for the whole cooling does not count against the thermometer.
#[test]
fn a_word_does_not_count_for_what_nothing_cools_in_time() {
    let word = |reading: &str| {
        let mut kitchen = Kitchen::new();
        kitchen.at("2026-11-20T10:00:00Z");
        let lot = kitchen.pickup("--brewed today --mash-out 08:30 --wet 9kg --temp 58C");
        kitchen.at("2026-11-20T10:29:00Z");
        kitchen.ok(&format!("probe {lot} {reading}"));
        kitchen.at("2026-11-20T14:20:00Z");
        kitchen.ok(&format!("probe {lot} --cooled 14:20 --said-by Ada"));
        kitchen.on_shelf(&lot)["verdict"].clone()
    };
    assert_eq!(word("40C"), "unknown");
    assert_eq!(word("22C"), "good");
}
