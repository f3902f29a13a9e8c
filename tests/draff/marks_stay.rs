//! Bread that is marked stays marked, grain that is past has been so for as long, and no two late entries together do what
//! one of them may not.

use crate::env::{Kitchen, has, one_line};
use std::fmt::Write as _;

const COOLED: &str = "--cooled \"2026-11-08 10:30\"";
const NOT_TO_BE_USED: &str = "NOT TO BE USED then";

/// A kitchen on Sunday 8 November at noon with a tub of that morning.
fn tub(options: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-01T08:00:00Z");
    kitchen.ok("place change fridge --probe-in grain");
    kitchen.at("2026-11-08T12:00:00Z");
    let pickup = format!("--brewed 2026-11-08 --mash-out 09:00 --wet 4kg {options}");
    let lot = kitchen.pickup(&pickup);
    (kitchen, lot)
}

/// A logger's file with 3.5 °C every half hour, in half hours from the beginning of 8 November on.
fn cold_file(kitchen: &Kitchen, name: &str, half_hours: std::ops::RangeInclusive<u32>) {
    let mut rows = String::from("time,temp C\n");
    for half in half_hours {
        let (day, hour, minute) = (8 + half / 48, half % 48 / 2, half % 2 * 30);
        writeln!(rows, "2026-11-{day:02} {hour:02}:{minute:02},3.5").unwrap();
    }
    kitchen.file(name, rows);
}

fn is_marked(kitchen: &Kitchen, lot: &str) -> bool {
    one_line(&kitchen.ok(&format!("trace {lot}"))).contains(NOT_TO_BE_USED)
}

/// Bread of the morning of 10 November, and a thermometer in the evening that shows 20 °C.
fn marked_bread() -> (Kitchen, String) {
    let (mut kitchen, lot) = tub(COOLED);
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for loaves"));
    kitchen.at("2026-11-10T18:00:00Z");
    kitchen.ok(&format!("probe {lot} 20C"));
    assert!(is_marked(&kitchen, &lot));
    (kitchen, lot)
}

#[test]
fn a_logger_file_takes_no_mark_off_bread_of_grain_that_is_used_up() {
    let (mut kitchen, lot) = marked_bread();
    kitchen.ok(&format!("discard {lot} --reason warm"));
    cold_file(&kitchen, "week.csv", 24..=323);
    kitchen.at("2026-11-14T18:00:00Z");
    let read = "readings fridge --csv week.csv";
    let said = one_line(&kitchen.refused(1, read));
    has(
        &said,
        &format!("1 kg of lot `{lot}` was past when it went out"),
    );
    has(&said, "for loaves");
    assert!(is_marked(&kitchen, &lot));
    // What the refusal prints is taken, and takes no mark off either.
    let from = said.split("with --from ").nth(1).unwrap();
    let from = from.split(',').next().unwrap();
    has(from, "2026-11-10T18:00:00");
    kitchen.ok(&format!("{read} --from {from}"));
    assert!(is_marked(&kitchen, &lot));
}

/// Bread of that night that is written down later is marked.
#[test]
fn a_thicker_layer_makes_no_past_lot_good_for_longer() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-02T09:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-02 --mash-out 08:30 --wet 10kg");
    kitchen.at("2026-11-02T11:30:00Z");
    kitchen.ok(&format!("probe {lot} --cooled 10:50"));
    let rows = [
        ("20:50", 9),
        ("21:20", 3),
        ("21:50", 3),
        ("22:20", 3),
        ("22:50", 3),
    ];
    let mut file = String::from("time,temp C\n");
    for (time, celsius) in rows {
        writeln!(file, "2026-11-02 {time},{celsius}").unwrap();
    }
    kitchen.file("night.csv", file);
    kitchen.at("2026-11-03T00:51:00Z");
    kitchen.ok("readings fridge --csv night.csv");
    kitchen.at("2026-11-03T10:21:00Z");
    let was = kitchen.on_shelf(&lot);
    assert_eq!(was["verdict"], "past");
    let said = one_line(&kitchen.refused(1, "place change fridge --layer 10cm"));
    has(&said, &format!("lot `{lot}` is past"));
    assert_eq!(kitchen.on_shelf(&lot)["keep_until"], was["keep_until"]);
    kitchen.ok(&format!(
        "use {lot} 1kg --for rolls --at \"2026-11-03 00:30\""
    ));
    assert!(is_marked(&kitchen, &lot));
}

#[test]
fn a_logger_file_takes_no_mark_off_bread_of_grain_that_is_past_by_now_anyway() {
    let (mut kitchen, lot) = marked_bread();
    cold_file(&kitchen, "week.csv", 24..=323);
    kitchen.at("2026-11-25T10:00:00Z");
    kitchen.refused(1, "readings fridge --csv week.csv");
    assert!(is_marked(&kitchen, &lot));
}

#[test]
fn a_logger_file_makes_no_past_lot_good_for_longer() {
    let (mut kitchen, lot) = tub(COOLED);
    kitchen.at("2026-11-10T18:00:00Z");
    kitchen.ok(&format!("probe {lot} 20C"));
    cold_file(&kitchen, "week.csv", 24..=323);
    let until = kitchen.on_shelf(&lot)["keep_until"].clone();
    kitchen.at("2026-11-25T10:00:00Z");
    let read = "readings fridge --csv week.csv";
    let said = one_line(&kitchen.refused(1, read));
    has(&said, &format!("lot `{lot}` is past"));
    assert_eq!(kitchen.on_shelf(&lot)["keep_until"], until);
    // The refusal says how to go on without it.
    has(&said, &format!("draff discard {lot} --reason past"));
    kitchen.ok(&format!("discard {lot} --reason past"));
    kitchen.ok(read);
}

#[test]
fn a_logger_file_that_eases_nothing_is_read_beside_past_grain_and_marked_bread() {
    let (mut kitchen, lot) = marked_bread();
    cold_file(&kitchen, "later.csv", 132..=323);
    kitchen.at("2026-11-14T18:00:00Z");
    kitchen.ok("readings fridge --csv later.csv");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    assert!(is_marked(&kitchen, &lot));
}

/// Nobody had measured it: that is what a file is for.
#[test]
fn a_logger_file_clears_bread_of_grain_that_was_unknown() {
    let (mut kitchen, lot) = tub(COOLED);
    cold_file(&kitchen, "first.csv", 24..=72);
    cold_file(&kitchen, "third.csv", 108..=132);
    cold_file(&kitchen, "second.csv", 73..=107);
    kitchen.at("2026-11-09T12:00:00Z");
    kitchen.ok("readings fridge --csv first.csv");
    kitchen.at("2026-11-10T07:00:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for loaves"));
    kitchen.at("2026-11-10T18:00:00Z");
    kitchen.ok("readings fridge --csv third.csv");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    assert!(is_marked(&kitchen, &lot));
    let told = kitchen.told("readings fridge --csv second.csv");
    has(&told, "for loaves, is not marked NOT TO BE USED any more");
    assert!(!is_marked(&kitchen, &lot));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

#[test]
fn what_is_stated_late_of_a_place_takes_no_mark_off_bread() {
    let (mut kitchen, lot) = tub(COOLED);
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("use {lot} 4kg --for loaves"));
    let state = |temp: &str| format!("place change fridge --temp {temp} --at \"2026-11-08 13:00\"");
    kitchen.at("2026-11-10T12:00:00Z");
    kitchen.ok(&state("12C"));
    assert!(is_marked(&kitchen, &lot));
    let said = one_line(&kitchen.refused(1, &state("4C")));
    has(
        &said,
        &format!("4 kg of lot `{lot}` was past when it went out"),
    );
    assert!(is_marked(&kitchen, &lot));
    // The entry that marked it may be wrong.
    let wrong = kitchen.last_entry("place");
    kitchen.ok(&format!("strike {wrong} --reason \"read the wrong dial\""));
    assert!(!is_marked(&kitchen, &lot));
}

/// The part is used up, and the lot that it was split from is good before and after.
#[test]
fn a_late_reading_of_a_lot_takes_no_mark_off_bread_of_a_part() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T09:00:00Z");
    kitchen.ok(&format!("move {lot} counter"));
    kitchen.at("2026-11-21T10:00:00Z");
    let part = kitchen.json(&format!("portion {lot} --into 1x2kg"));
    let part = part["lots"][0]["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-21T10:01:00Z");
    kitchen.ok(&format!("move {lot} fridge"));
    kitchen.at("2026-11-21T12:50:00Z");
    kitchen.ok(&format!("use {part} 2kg --for buns"));
    kitchen.at("2026-11-21T13:04:00Z");
    for (found, at) in [("4C", "08:20"), ("20C", "08:59"), ("4C", "09:02")] {
        kitchen.ok(&format!("probe {lot} {found} --at {at}"));
    }
    assert!(is_marked(&kitchen, &part));
    let said = one_line(&kitchen.refused(1, &format!("probe {lot} 4C --at 09:59")));
    has(
        &said,
        &format!("2 kg of lot `{part}` was past when it went out"),
    );
    assert!(is_marked(&kitchen, &part));
}

/// Unknown grain takes any entry. Had the word come first, the grain would have been past and the late entry refused.
#[test]
fn a_word_makes_no_grain_usable_that_a_late_entry_alone_kept_from_being_past() {
    let word = format!("probe LOT {COOLED}");
    for (late, kind) in [
        ("move LOT freezer --at \"2026-11-08 12:30\"", "move"),
        (
            "place change counter --kind fridge --at \"2026-11-08 12:30\"",
            "place",
        ),
        ("readings counter --csv cold.csv", "readings"),
    ] {
        let (mut kitchen, lot) = tub("--place counter");
        cold_file(&kitchen, "cold.csv", 24..=116);
        let word = word.replace("LOT", &lot);
        kitchen.at("2026-11-10T10:00:00Z");
        kitchen.ok(&late.replace("LOT", &lot));
        let number = kitchen.last_entry(kind);
        kitchen.at("2026-11-10T10:02:00Z");
        let said = one_line(&kitchen.refused(1, &word));
        has(
            &said,
            &format!("by entry {number} alone, which was written late"),
        );
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
        // In the other order the word is taken, and the grain is past.
        kitchen.ok(&format!("strike {number} --reason late"));
        kitchen.ok(&word);
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
        kitchen.refused(1, &late.replace("LOT", &lot));
    }
}

#[test]
fn a_word_on_a_part_that_was_split_off_late_makes_it_usable_no_more_than_the_rest() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-08T11:10:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-08 --mash-out 11:00 --wet 4kg --place counter");
    kitchen.at("2026-11-10T10:00:00Z");
    let part = kitchen.json(&format!(
        "move {lot} --wet 3kg --to freezer --at \"2026-11-08 12:00\""
    ));
    let part = part["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-10T10:02:00Z");
    let word = format!("probe {part} --cooled \"2026-11-08 12:45\"");
    has(
        &one_line(&kitchen.refused(1, &word)),
        "which was written late",
    );
}

/// Two entries that are late, each by hours or days, of grain that was not past without them.
#[test]
fn grain_that_was_not_past_when_the_late_entry_was_written_is_usable_by_a_later_word() {
    for (place, moved, written) in [
        ("counter", "2026-11-08 12:30", "2026-11-08T15:30:00Z"),
        ("fridge", "2026-11-08 18:00", "2026-11-10T12:00:00Z"),
    ] {
        let (mut kitchen, lot) = tub(&format!("--place {place}"));
        kitchen.at(written);
        kitchen.ok(&format!("move {lot} freezer --at \"{moved}\""));
        let entry = kitchen.last_entry("move");
        kitchen.ok(&format!(
            "correct {entry} --note \"in two bags\" --reason \"note was missing\""
        ));
        kitchen.at("2026-11-25T10:00:00Z");
        kitchen.ok(&format!("probe {lot} {COOLED}"));
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    }
}

/// A tub of Monday 9 November that was cold by 11:00. Of it 1 kg went out at 14:00, as entry 9, and 1 kg at 14:10, and at
/// 15:00 all was found sour since 13:00; gives the number of that finding too.
fn sour_tub() -> (Kitchen, String, i64) {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    for (at, done) in [
        ("14:00", "use LOT 1kg --for rolls"),
        ("14:10", "give LOT --wet 1kg --to Ann"),
        ("15:00", "probe LOT --spoiled sour --at 13:00"),
    ] {
        kitchen.at(&format!("2026-11-09T{at}:00Z"));
        kitchen.ok(&done.replace("LOT", &lot));
    }
    let found = kitchen.last_entry("spoiled");
    kitchen.at("2026-11-09T15:02:00Z");
    (kitchen, lot, found)
}

#[test]
fn a_strike_or_a_correction_names_each_bread_and_gift_that_loses_its_mark() {
    let lost = "is not marked NOT TO BE USED any more";
    let both = ["14:00 for rolls", "14:10 for Ann"];
    for (act, named) in [
        ("strike FOUND", both.as_slice()),
        ("correct FOUND --at 14:30", both.as_slice()),
        ("correct USED --at 12:00", &both[..1]),
        ("correct USED --wet 900g", &both[..0]),
    ] {
        let (kitchen, lot, found) = sour_tub();
        let used = kitchen.last_entry("use");
        let act = act
            .replace("FOUND", &found.to_string())
            .replace("USED", &used.to_string());
        let told = kitchen.told(&format!("{act} --reason slip"));
        for out in named {
            has(
                &told,
                &format!("1 kg of lot `{lot}`, which went out at Mon 9 Nov 2026 {out}, {lost}"),
            );
        }
        assert_eq!(told.matches(lost).count(), named.len(), "{act}: {told}");
        // What is not named is marked still.
        let marked = one_line(&kitchen.ok(&format!("trace {lot}")));
        let marks = marked.matches(" then, as known now").count();
        assert_eq!(marks, 2 - named.len(), "{act}: {marked}");
    }
}

/// The rest is gone, so no lot on hand is told to be better.
#[test]
fn a_mark_that_goes_is_told_where_nothing_is_left_of_the_grain() {
    let (kitchen, lot, found) = sour_tub();
    kitchen.ok(&format!("discard {lot} --reason sour"));
    let told = kitchen.told(&format!("strike {found} --reason \"other tub\""));
    has(&told, "Before, it was past: found spoiled: sour");
    assert!(!is_marked(&kitchen, &lot));
}

/// The cold reading is struck, so that the mark says unknown only; then a late entry is taken, and the reading comes back.
#[test]
fn a_mark_is_not_washed_off_by_a_late_entry_that_a_strike_let_in() {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    for (at, done) in [
        ("15:10", "use LOT 5kg --for rolls"),
        ("16:00", "place change fridge --temp 20C --at 11:05"),
        ("16:01", "discard LOT --reason past"),
    ] {
        kitchen.at(&format!("2026-11-09T{at}:00Z"));
        kitchen.ok(&done.replace("LOT", &lot));
    }
    let colder = "place change fridge --temp 4C --at 12:00";
    has(
        &one_line(&kitchen.refused(1, colder)),
        "take that mark away",
    );
    let cold = kitchen.last_entry("reading");
    kitchen.ok(&format!("strike {cold} --reason slip"));
    let strike = kitchen.last_entry("strike");
    kitchen.ok(colder);
    let late = kitchen.last_entry("place");
    kitchen.at("2026-11-09T16:06:00Z");
    let back = [
        format!("probe {lot} 4C --at 11:00"),
        format!("strike {strike} --reason \"it was right\""),
    ];
    for back in &back {
        let said = one_line(&kitchen.refused(1, back));
        has(
            &said,
            &format!("by entry {late} alone, which was written late"),
        );
    }
    assert!(is_marked(&kitchen, &lot));
    // As the refusal says, the late entry is struck first, and the mark stays.
    kitchen.ok(&format!("strike {late} --reason late"));
    kitchen.ok(&back[1]);
    assert!(is_marked(&kitchen, &lot));
}
