//! Warm time: carried to where nobody measures, ended by a thermometer of the present minute, and told where there
//! are several.

use crate::env::{FRIDAY, Kitchen, has, one_line};
use crate::logger::logged;
use std::fmt::Write;

/// Cold on Friday, 9 °C on Monday: nobody knows when it warmed up, and the answer says so.
#[test]
fn a_warm_reading_after_days_says_why_all_of_them_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-20T11:00:00Z");
    let told = kitchen.told(&format!("probe {lot} 6C"));
    assert!(!told.contains("nobody measured"), "{told}");
    let lot = kitchen.lot("2kg");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-23T09:00:00Z");
    let told = kitchen.told(&format!("probe {lot} 9C"));
    let told = one_line(&told);
    has(&told, "nobody measured");
    has(&told, "since Fri 20 Nov 11:00");
}

/// A lot that came into a fridge of 9 °C at ten and was carried to a walk-in without a logger at 10:55. The file of the
/// fridge's logger ends so many minutes after ten.
fn carried(minutes: usize) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in air --at 2026-11-01");
    kitchen.ok("place add walk-in --kind fridge --temp 4C");
    kitchen.ok("place add cellar --kind fridge --temp 4C");
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 02:00 --cooled 04:00 --wet 5kg");
    kitchen.at("2026-11-20T10:55:00Z");
    kitchen.ok(&format!("move {lot} --to walk-in"));
    kitchen.file("f.csv", logged(FRIDAY, 5, minutes / 5 + 1, |_| 9.0));
    kitchen.at("2026-11-20T11:06:00Z");
    kitchen.ok("readings fridge --csv f.csv");
    (kitchen, lot)
}

/// A reading of the fridge after the grain had left it says how warm it left, and no more of what came then.
#[test]
fn a_cold_thermometer_ends_warmth_that_was_carried_to_where_nobody_measures() {
    for minutes in [50, 60, 65] {
        let (mut kitchen, lot) = carried(minutes);
        kitchen.at("2026-11-20T11:30:00Z");
        kitchen.ok(&format!("probe {lot} 4C"));
        for now in ["2026-11-20T11:30:00Z", "2026-11-20T13:10:00Z"] {
            kitchen.at(now);
            let found = kitchen.on_shelf(&lot);
            assert_eq!(found["verdict"], "good", "{minutes}: {found}");
            assert_eq!(found["keep_until"], "2026-11-26T23:59:59+00:00", "{found}");
            assert_eq!(found["warm_minutes"], 90, "{found}");
        }
    }
}

#[test]
fn what_was_shown_cold_there_brings_no_warmth_further() {
    let (mut kitchen, lot) = carried(65);
    kitchen.at("2026-11-20T11:30:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-20T11:40:00Z");
    kitchen.ok(&format!("move {lot} --to cellar"));
    kitchen.at("2026-11-20T13:10:00Z");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["warm_minutes"], 90, "{found}");
}

/// Neither a thermometer that shows it warm, nor a cold one from before it was carried, nor a word.
#[test]
fn neither_a_warm_nor_an_earlier_thermometer_nor_a_word_ends_carried_warmth() {
    let (mut kitchen, lot) = carried(65);
    kitchen.at("2026-11-20T11:30:00Z");
    kitchen.ok(&format!("probe {lot} 6C"));
    kitchen.at("2026-11-20T11:35:00Z");
    kitchen.ok(&format!("move {lot} --to cellar"));
    kitchen.at("2026-11-20T13:10:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");

    let (mut kitchen, lot) = carried(65);
    kitchen.ok(&format!("probe {lot} 4C --at \"2026-11-20 10:50\""));
    kitchen.ok(&format!("probe {lot} --cooled \"2026-11-20 11:05\""));
    kitchen.at("2026-11-20T13:10:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    // And what was not measured in time is not written down later.
    kitchen.refused(1, &format!("probe {lot} 4C --at \"2026-11-20 11:30\""));
}

#[test]
fn carried_warmth_asks_for_a_thermometer_while_that_helps() {
    let (mut kitchen, lot) = carried(65);
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["act_by"], "2026-11-20T11:59:59+00:00", "{found}");
    has(
        &one_line(&kitchen.ok("shelf")),
        "take the temperature in the middle of the grain, where it is thickest: it must show 5 °C or less by Fri 20 Nov 11:59",
    );
    let due = kitchen.json("today")["due"][0].clone();
    assert_eq!(due["task"], "take-temperature", "{due}");
    assert_eq!(due["at_most_c"], 5.0, "{due}");
    kitchen.at("2026-11-20T12:00:00Z");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "use-first", "{found}");
    has(&one_line(&kitchen.ok("shelf")), "bake with it now");
}

/// The UK rules let grain go back into the cold within four hours, once.
#[test]
fn a_temperature_of_the_present_minute_is_not_back_dated() {
    let warm = || {
        let mut kitchen = Kitchen::bare();
        kitchen.at("2026-11-20T05:00:00Z");
        kitchen.ok("new-book --zone Europe/Dublin --rules uk-chilled");
        kitchen.at("2026-11-20T06:30:00Z");
        let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 04:30 --cooled 06:00 --wet 5kg");
        kitchen.at("2026-11-20T11:30:00Z");
        kitchen.ok(&format!("probe {lot} 4C"));
        kitchen.at("2026-11-20T12:00:00Z");
        kitchen.ok(&format!("probe {lot} 10C"));
        kitchen.at("2026-11-20T15:30:20Z");
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
        (kitchen, lot)
    };
    let (kitchen, lot) = warm();
    kitchen.ok(&format!("probe {lot} 4C --at 15:29"));
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "good", "{found}");
    assert_eq!(found["warm_minutes"], 239, "{found}");
    // Not in time, or not now.
    let (mut kitchen, lot) = warm();
    kitchen.ok(&format!("probe {lot} 4C"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let back_dated = "this would make it usable again, unknown, or good for longer";
    has(
        &one_line(&kitchen.refused(1, &format!("probe {lot} 4C --at 15:28"))),
        back_dated,
    );
    kitchen.at("2026-11-20T15:40:00Z");
    kitchen.refused(1, &format!("probe {lot} 4C --at 15:29"));
}

/// Four door openings of half an hour: together they are two hours, and without any of them the grain is good.
#[test]
fn several_warm_times_are_told_together() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 02:00 --cooled 04:00 --wet 5kg");
    let mut rows = String::from("time,temp C\n");
    for minute in (600..2880).step_by(10) {
        let is_open = [700, 900, 1300, 1900]
            .iter()
            .any(|from| (*from..from + 20).contains(&minute));
        let (day, hour) = (20 + minute / 1440, minute % 1440 / 60);
        let celsius = if is_open { 6.2 } else { 3.5 };
        writeln!(rows, "2026-11-{day} {hour:02}:{:02},{celsius}", minute % 60).unwrap();
    }
    kitchen.file("f.csv", rows);
    kitchen.at("2026-11-21T23:55:00Z");
    kitchen.ok("readings fridge --csv f.csv");
    let times = "at 4 times: the first from Fri 20 Nov 11:30, the last from Sat 21 Nov 07:30";
    has(
        &one_line(&kitchen.ok("shelf")),
        &format!("2 h warm so far, {times}"),
    );
    let said = one_line(&kitchen.ok("readings fridge --summary"));
    has(&said, &format!("2 h in all, {times}"));
    let found = |part: &str| said.matches(part).count();
    assert_eq!(found(&format!("{lot}: past since Sat 21 Nov")), 1, "{said}");
    assert_eq!(found("without it good until Thu 26 Nov"), 4, "{said}");
}
