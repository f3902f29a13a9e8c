//! The order in which a late entry and a logger's file are typed makes no difference, and a layer that is stated takes no mark
//! off bread.

use crate::env::{Kitchen, SLIP, has};

const GAP: &str = "time,temp\n2026-11-21 06:30,4\n2026-11-21 16:30,4\n";
const FULL: &str = "time,temp\n2026-11-21 06:30,4\n2026-11-21 08:30,4\n2026-11-21 09:30,20\n\
    2026-11-21 12:00,20\n2026-11-21 15:00,20\n2026-11-21 16:30,4\n";
const LATE: &str = "freezer --at \"2026-11-21 08:00\" --until \"2026-11-21 16:40\"";

/// A tub of Friday, of which bread was made on Saturday in a gap of ten hours between two readings of its fridge.
fn in_a_gap() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.file("gap.csv", GAP);
    kitchen.file("full.csv", FULL);
    kitchen.at("2026-11-21T17:00:00Z");
    kitchen.ok("readings fridge --csv gap.csv --unit C");
    kitchen.ok(&format!(
        "use {lot} 1kg --for bread --at \"2026-11-21 14:00\""
    ));
    kitchen.at("2026-11-21T17:02:00Z");
    (kitchen, lot)
}

#[test]
fn a_late_move_is_refused_once_the_file_shows_the_grain_past() {
    let (kitchen, lot) = in_a_gap();
    kitchen.ok("readings fridge --csv full.csv --unit C");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    kitchen.refused(1, &format!("move {lot} {LATE}"));
}

#[test]
fn a_file_that_shows_the_grain_past_without_the_late_move_is_refused() {
    let (kitchen, lot) = in_a_gap();
    kitchen.ok(&format!("move {lot} {LATE}"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    // Out and back again are two entries.
    let late = kitchen.last_entry("move") - 1;
    let before = kitchen.files();
    let said = kitchen.refused(1, "readings fridge --csv full.csv --unit C");
    has(&said, &format!("strike {late} first"));
    assert!(before == kitchen.files(), "nothing is written");
    // Once the move is taken back the file is taken.
    kitchen.ok(&format!("strike {late} {SLIP}"));
    kitchen.ok("readings fridge --csv full.csv --unit C");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

/// What is written of a move in time stands, whatever a file shows of the place that the grain had left.
#[test]
fn a_file_of_a_place_that_grain_had_left_in_time_is_taken() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.file("full.csv", FULL);
    kitchen.at("2026-11-21T08:00:00Z");
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.at("2026-11-21T17:00:00Z");
    kitchen.ok("readings fridge --csv full.csv --unit C");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

#[test]
fn a_layer_that_is_stated_now_takes_no_mark_off_bread() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T23:50:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for loaf"));
    let mut rows = "time,temp\n".to_owned();
    for half in 0..32 {
        let minutes = 16 * 60 + 30 * half;
        let (day, minute) = (20 + minutes / 1440, minutes % 1440);
        let air = if half == 9 { 9 } else { 4 };
        rows += &format!(
            "2026-11-{day} {:02}:{:02},{air}\n",
            minute / 60,
            minute % 60
        );
    }
    kitchen.file("fridge.csv", &rows);
    kitchen.at("2026-11-21T08:10:00Z");
    kitchen.ok("readings fridge --csv fridge.csv --unit C");
    let marked = |kitchen: &Kitchen| {
        kitchen
            .ok(&format!("trace {lot}"))
            .contains("NOT TO BE USED then")
    };
    assert!(marked(&kitchen));
    kitchen.at("2026-11-21T08:12:00Z");
    let stated = kitchen.run("place change fridge --layer 10cm");
    assert!(stated.code == 1 || marked(&kitchen), "{stated:?}");
    assert!(marked(&kitchen));
}
