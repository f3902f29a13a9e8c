//! Grain that goes on where it was: neither a note on its place nor a parting, a treatment or a join there takes warm time away,
//! and none of them, written late, leaves behind what the book held of the grain by then.

use crate::env::{Kitchen, has, made};

/// A kitchen on Monday 2 November with 10 kg of grain in the fridge that was cold at 11:20 and is measured at 4 °C at 14:00.
fn cold_tub() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-02T11:40:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --cooled 11:20 --wet 10kg");
    kitchen.at("2026-11-02T14:00:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    (kitchen, lot)
}

/// The same with 15 °C at 17:00: use-first until 17:59.
fn warm_tub() -> (Kitchen, String) {
    let (mut kitchen, lot) = cold_tub();
    kitchen.at("2026-11-02T17:00:00Z");
    kitchen.ok(&format!("probe {lot} 15C"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "use-first");
    kitchen.at("2026-11-02T17:02:00Z");
    (kitchen, lot)
}

/// The lot that holds the grain of this one after an act.
fn after(kitchen: &Kitchen, act: &str, lot: &str) -> String {
    let answer = kitchen.json(&act.replace("LOT", lot));
    if act.starts_with("place") {
        return lot.to_owned();
    }
    match answer["lot"].as_str() {
        Some(lot) => lot.to_owned(),
        None => made(&answer).remove(0),
    }
}

#[test]
fn what_says_nothing_of_warmth_takes_no_warm_time_away() {
    for act in [
        "place change fridge --capacity 60kg",
        "place change fridge --layer 3cm",
        "place change fridge --probe-in buffered",
        "place change fridge --temp 4C",
        "place change fridge --temp 3.9C",
        "portion LOT --into 1x5kg",
        "treat LOT --step press --wet-out 8kg",
        "treat LOT --step press --wet-out 8kg --minutes 1 --temp 4C",
    ] {
        let (mut kitchen, lot) = cold_tub();
        kitchen.at("2026-11-02T20:58:00Z");
        let lot = after(&kitchen, act, &lot);
        kitchen.at("2026-11-02T21:00:00Z");
        kitchen.ok(&format!("probe {lot} 15C"));
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "past", "{act}");
        assert_eq!(found["warm_minutes"], 420, "{act}");
        let until = found["keep_until"].as_str().unwrap();
        assert!(until.starts_with("2026-11-02T17:59:59"), "{act}: {until}");
    }
}

#[test]
fn joined_where_it_was_grain_keeps_the_warm_time_of_each_lot() {
    let (mut kitchen, lot) = cold_tub();
    let other = kitchen.pickup_from(
        "Corrow Weir",
        "--brewed today --mash-out 09:30 --cooled 11:20 --wet 3kg",
    );
    kitchen.at("2026-11-02T20:58:00Z");
    let joined = after(&kitchen, &format!("join LOT {other} --to fridge"), &lot);
    kitchen.at("2026-11-02T21:00:00Z");
    kitchen.ok(&format!("probe {joined} 15C"));
    assert_eq!(kitchen.on_shelf(&joined)["verdict"], "past");
}

/// It says that the place was warm since, and a thermometer after it says no more than that.
#[test]
fn a_place_that_is_stated_to_be_warm_is_known_to_be_warm_since_then() {
    let (mut kitchen, lot) = cold_tub();
    kitchen.at("2026-11-02T20:00:00Z");
    kitchen.ok("place change fridge --temp 9C");
    kitchen.at("2026-11-02T21:00:00Z");
    kitchen.ok(&format!("probe {lot} 15C"));
    assert_eq!(kitchen.on_shelf(&lot)["warm_minutes"], 60);
}

#[test]
fn a_warm_thermometer_counts_on_after_a_parting_too() {
    let (kitchen, lot) = warm_tub();
    let part = after(&kitchen, "portion LOT --into 1x5kg", &lot);
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
    let (mut kitchen, lot) = cold_tub();
    kitchen.at("2026-11-02T16:00:00Z");
    kitchen.ok(&format!("probe {lot} 15C"));
    kitchen.at("2026-11-02T16:05:00Z");
    kitchen.ok("place change fridge --capacity 60kg");
    kitchen.at("2026-11-02T17:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["warm_minutes"], 180);
}

#[test]
fn in_a_dead_freezer_no_note_and_no_parting_gives_a_day_to_freeze_anew() {
    for act in [
        "",
        "place change freezer --capacity 40kg",
        "portion LOT --into 2x5kg",
    ] {
        let (mut kitchen, lot) = cold_tub();
        kitchen.at("2026-11-04T08:00:00Z");
        kitchen.ok(&format!("move {lot} freezer"));
        kitchen.at("2026-11-12T07:59:00Z");
        let lot = if act.is_empty() {
            lot
        } else {
            after(&kitchen, act, &lot)
        };
        kitchen.at("2026-11-12T08:00:00Z");
        kitchen.ok(&format!("probe {lot} 3C"));
        let found = kitchen.on_shelf(&lot);
        assert_eq!(found["verdict"], "past", "{act}");
        assert_eq!(found["day"], 11, "{act}");
    }
}

#[test]
fn a_late_note_on_a_place_takes_no_warm_time_away() {
    let (mut kitchen, lot) = warm_tub();
    kitchen.ok("place change fridge --capacity 50kg --at 16:59");
    kitchen.at("2026-11-02T17:05:00Z");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["warm_minutes"], 185);
    assert!(found["verdict"] == "use-first" || found["verdict"] == "past");
}

/// What was written down late.
const LATE: [&str; 4] = [
    "portion LOT --into 10x1kg --to fridge",
    "treat LOT --step press --wet-out 8kg",
    "move LOT freezer --wet 9kg",
    "join LOT OTHER --to fridge",
];

/// A lot of another source that can be joined, and an act that names it.
fn with_other(kitchen: &Kitchen, act: &str) -> String {
    if !act.contains("OTHER") {
        return act.to_owned();
    }
    let other = kitchen.pickup_from(
        "Corrow Weir",
        "--brewed today --mash-out 09:30 --cooled 11:20 --wet 3kg --collected 11:40",
    );
    act.replace("OTHER", &other)
}

#[test]
fn what_is_made_late_leaves_no_thermometer_behind() {
    for act in LATE {
        let (kitchen, lot) = warm_tub();
        let act = with_other(&kitchen, act);
        let part = after(&kitchen, &format!("{act} --at 16:58"), &lot);
        assert_eq!(kitchen.on_shelf(&part)["verdict"], "past", "{act}");
    }
}

#[test]
fn what_is_made_late_leaves_no_mould_behind() {
    for act in LATE {
        let (mut kitchen, lot) = cold_tub();
        let act = with_other(&kitchen, act);
        kitchen.at("2026-11-02T17:00:00Z");
        kitchen.ok(&format!("probe {lot} --spoiled mould"));
        kitchen.at("2026-11-02T17:02:00Z");
        let late = format!("{act} --at 16:58").replace("LOT", &lot);
        if kitchen.run(&late).code == 0 {
            for found in kitchen.json("shelf")["lots"].as_array().unwrap() {
                let is_other = found["source"] == "Corrow Weir";
                assert!(is_other || found["verdict"] == "past", "{act}: {found}");
            }
        }
    }
}

/// Read hot at noon, it was not cold at 11:20, whatever is said two days later of when it was parted.
#[test]
fn what_is_made_late_leaves_no_thermometer_behind_that_sets_a_word_aside() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-02T11:40:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --cooled 11:20 --wet 10kg");
    kitchen.at("2026-11-02T12:00:00Z");
    kitchen.ok(&format!("probe {lot} 65C"));
    kitchen.at("2026-11-04T12:00:00Z");
    let late = format!("portion {lot} --into 1x5kg --at \"2026-11-02 11:45\"");
    if kitchen.run(&late).code == 0 {
        for found in kitchen.json("shelf")["lots"].as_array().unwrap() {
            let verdict = &found["verdict"];
            assert!(verdict == "unknown" || verdict == "past", "{found}");
        }
    }
}

#[test]
fn corrected_to_an_earlier_time_a_parting_leaves_no_thermometer_behind() {
    for act in LATE {
        let (mut kitchen, lot) = warm_tub();
        let act = with_other(&kitchen, act);
        let part = after(&kitchen, &act, &lot);
        assert_eq!(kitchen.on_shelf(&part)["verdict"], "past", "{act}");
        let kind = match act.split(' ').next().unwrap() {
            "portion" | "move" => "part",
            other => other,
        };
        let number = kitchen.last_entry(kind);
        kitchen.at("2026-11-02T17:03:00Z");
        kitchen.run(&format!("correct {number} --at 16:58 --reason clock"));
        for found in kitchen.json("shelf")["lots"].as_array().unwrap() {
            let is_made = found["lot"].as_str() == Some(part.as_str());
            assert!(!is_made || found["verdict"] == "past", "{act}: {found}");
        }
    }
}

/// What was parted off and written down before the thermometer was read in the rest is other grain by then.
#[test]
fn a_thermometer_in_the_rest_says_nothing_of_what_was_parted_off_before() {
    let (mut kitchen, lot) = cold_tub();
    kitchen.at("2026-11-02T16:58:00Z");
    let part = after(&kitchen, "portion LOT --into 1x1kg", &lot);
    let number = kitchen.last_entry("part");
    kitchen.at("2026-11-02T17:00:00Z");
    kitchen.ok(&format!("probe {lot} 15C"));
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "good");
    kitchen.ok(&format!("correct {number} --wet 900g --reason misread"));
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "good");
    let number = kitchen.last_entry("part");
    kitchen.ok(&format!("correct {number} --at 16:57 --reason clock"));
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "good");
    has(&kitchen.ok("check"), "whole");
}

/// Struck, and written down again once the parting is in the book, it is of the rest.
#[test]
fn a_thermometer_that_was_of_the_rest_is_written_down_again_after_the_parting() {
    let (mut kitchen, lot) = warm_tub();
    let reading = kitchen.last_entry("reading");
    let part = after(&kitchen, "portion LOT --into 1x1kg --at 16:58", &lot);
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
    kitchen.at("2026-11-02T17:03:00Z");
    kitchen.ok(&format!("strike {reading} --reason \"of the rest\""));
    kitchen.ok(&format!("probe {lot} 15C --at 17:00"));
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "good");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "use-first");
}
