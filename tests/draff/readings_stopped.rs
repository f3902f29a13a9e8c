//! What counts since the last reading of a logger: a gap, a thermometer, a freezer that was warm, grain under
//! another code.

use crate::env::{FRIDAY, Kitchen, has, made, one_line};
use crate::logger::{MONDAY, logged, two_fridges};
use serde_json::{Value, json};

/// Two readings five hours apart, of a probe that stands in the grain.
#[test]
fn a_gap_says_what_to_do_next_and_speaks_of_no_air() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20 17:00");
    kitchen.file(
        "f.csv",
        "time,temp C\n2026-11-20 10:00,3.5\n2026-11-20 11:00,3.5\n2026-11-20 16:00,3.5\n",
    );
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "unknown", "{found}");
    let limit = found["binding"]["limit"].as_str().unwrap();
    assert!(
        limit.contains("readings of its place") && !limit.contains("air"),
        "{limit}"
    );
    let shelf = one_line(&kitchen.ok("shelf"));
    has(
        &shelf,
        "read in a file of its logger that covers that time: draff readings",
    );
    has(
        &shelf,
        &format!("throw it away: draff discard {lot} --reason unknown"),
    );
    let summary = one_line(&kitchen.ok("readings fridge --summary"));
    has(&summary, "In grain");
    assert!(
        !summary.contains("Air") && !summary.contains("air "),
        "{summary}"
    );
}

/// Five days at −12 °C are five days in a fridge, and the last of them does not freeze it again.
#[test]
fn a_freezer_that_was_measured_warm_is_none_until_a_reading_shows_it_frozen() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("1kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.file("warm.csv", logged(FRIDAY, 30, 241, |_| -12.0));
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
    kitchen.file(
        "cold.csv",
        logged("2026-11-25T10:30:00Z", 30, 144, |_| -18.0),
    );
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
        kitchen.file("f.csv", logged(FRIDAY, 30, 145, |_| 3.5));
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
fn grain_that_a_logger_left_warm_is_measured_before_it_is_given_up() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let lot = kitchen.lot("5kg");
    let warm_at_last = |row: usize| if row == 13 { 5.4 } else { 3.5 };
    kitchen.file("f.csv", logged(FRIDAY, 30, 14, warm_at_last));
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

/// Nobody has read a file in since 07:55, and parts, blends and joins of the grain lie where it lay.
#[test]
fn grain_under_another_code_in_its_place_says_since_when_nobody_measured_it() {
    let (mut kitchen, lot) = two_fridges("10kg");
    kitchen.file("f2.csv", logged(MONDAY, 5, 288, |_| 3.5));
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
    let (mut kitchen, lot) = two_fridges("10kg");
    kitchen.file(
        "f2.csv",
        logged(MONDAY, 5, 288, |row| if row >= 270 { 9.0 } else { 3.5 }),
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

/// A counter is warm without a logger, so an old file of it makes nothing milder, and a new one comes too late.
#[test]
fn time_on_a_place_stated_to_be_warm_is_warm_for_good_after_its_last_reading() {
    for celsius in [
        None,
        Some(5.5),
        Some(15.0),
        Some(19.0),
        Some(20.5),
        Some(25.0),
    ] {
        let (mut kitchen, lot) = two_fridges("10kg");
        if let Some(celsius) = celsius {
            kitchen.at("2026-11-09T13:32:00Z");
            kitchen.file(
                "old.csv",
                logged("2026-11-09T09:00:00Z", 30, 10, |_| celsius),
            );
            kitchen.ok("readings counter --csv old.csv");
        }
        kitchen.at("2026-11-09T13:55:00Z");
        kitchen.ok(&format!("move {lot} counter"));
        kitchen.at("2026-11-09T16:45:00Z");
        kitchen.ok(&format!("move {lot} fr2"));
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "past", "{celsius:?}: {found}");
        assert_eq!(
            found["keep_until"], "2026-11-09T16:44:59+00:00",
            "{celsius:?}: {found}"
        );
        kitchen.at("2026-11-09T17:00:00Z");
        kitchen.file("new.csv", logged("2026-11-09T13:40:00Z", 10, 20, |_| 4.0));
        kitchen.refused(1, "readings counter --csv new.csv");
    }
}

/// The last reading, of 7 °C, is of 12:00. An entry that the grain left at 12:30 ends the time in which nobody measured it,
/// and warns; what is known of a later time ends nothing.
#[test]
fn grain_that_was_warm_last_is_cleared_by_an_entry_that_it_had_left_and_by_nothing_later() {
    let press = "treat LOT --step press --wet-out 6kg --minutes 5 --temp 7C --place freezer";
    let press = format!("{press} --at 12:30");
    for (late, clears) in [
        ("move LOT freezer --at 12:30", true),
        ("portion LOT --into 1x1kg --to freezer --at 12:30", true),
        (press.as_str(), true),
        ("move LOT freezer --at 16:30", false),
        ("probe LOT 4C --at 16:30", false),
    ] {
        let mut kitchen = Kitchen::new();
        kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
        // Its time for cooling was over by then.
        let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 02:00 --cooled 04:00 --wet 10kg");
        kitchen.at("2026-11-20 17:00");
        kitchen.file(
            "f.csv",
            "time,temp C\n2026-11-20 10:00,3.5\n2026-11-20 11:00,3.5\n2026-11-20 12:00,7\n",
        );
        kitchen.ok("readings fridge --csv f.csv");
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
        let told = kitchen.told(&late.replace("LOT", &lot));
        assert_eq!(
            told.contains("was unknown and is good now"),
            clears,
            "{late}: {told}"
        );
    }
}
