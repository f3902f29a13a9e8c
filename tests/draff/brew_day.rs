//! A brew day that is corrected: what moves with it, what is told, and how all of it goes back.

use crate::env::{Kitchen, SLIP, commands_in, has};

#[test]
fn a_struck_correction_of_the_brew_day_takes_all_of_it_back() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T15:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-18 --mash-out 09:00 --cooled 12:30 --wet 8kg");
    let before = kitchen.on_shelf(&lot);
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --brewed 2026-11-20 --reason \"wrong day\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    let by = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {by} --reason \"was right\""));
    assert_eq!(kitchen.on_shelf(&lot), before);
    kitchen.ok(&format!(
        "strike {} --reason \"no, wrong\"",
        kitchen.last_entry("strike")
    ));
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-20");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    kitchen.ok("check");
}

/// A brew day that was typed one day early is put right to the day, also in the morning.
#[test]
fn a_brew_day_that_is_one_day_later_is_shown() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-21T12:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out \"2026-11-20 09:40\" --wet 5kg");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --brewed 2026-11-21 --reason \"today\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-21");
    let refused = kitchen.refused(
        1,
        "pickup --source \"Alder Lane\" --brewed 2026-11-20 --mash-out \"2026-11-21 09:40\" --wet 5kg",
    );
    has(&refused, "or in the night after it, before 6:00");
    kitchen.pickup("--brewed 2026-11-20 --mash-out \"2026-11-21 00:40\" --wet 5kg");
}

/// A correction of the brew day moves the word that it was cold with it; struck and struck again all of it is back.
#[test]
fn a_struck_strike_of_a_correction_brings_all_of_it_back() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("9kg");
    let pickup = kitchen.last_entry("pickup");
    kitchen.at("2026-11-21T12:00:00Z");
    kitchen.ok(&format!("correct {pickup} --brewed 2026-11-18 --reason a"));
    let corrected = kitchen.last_entry("pickup");
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-18");
    kitchen.ok(&format!("strike {corrected} --reason b"));
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-20");
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason c"));
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-18");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn what_moves_with_a_brew_day_is_told() {
    let kitchen = Kitchen::on_monday();
    kitchen.tub("Corrow Weir", "--wet 6kg");
    let mash_out =
        "mash-out moved with the brew day, from Mon 9 Nov 2026 07:00 to Sun 8 Nov 2026 07:00";
    let cold = "the statement that it was cold moved with the brew day, from";
    let brewed = |on: &str| {
        let pickup = kitchen.last_entry("pickup");
        kitchen.told(&format!("--quiet correct {pickup} --brewed {on} {SLIP}"))
    };
    let told = brewed("2026-11-08");
    has(&told, mash_out);
    has(
        &told,
        &format!("{cold} Mon 9 Nov 2026 09:00 to Sun 8 Nov 2026 09:00"),
    );
    for command in commands_in(&told).iter().filter(|one| one.contains("WHEN")) {
        let when = if command.contains("--mash-out") {
            "06:30"
        } else {
            "10:00"
        };
        kitchen.ok(&command.replace("WHEN", when).replace("TEXT", "slip"));
    }
    // What is said does not move by itself.
    let told = brewed("2026-11-09 --mash-out 07:00");
    assert!(!told.contains("mash-out moved"), "{told}");
    has(
        &told,
        &format!("{cold} Sun 8 Nov 2026 10:00 to Mon 9 Nov 2026 10:00"),
    );
    has(&kitchen.ok("check"), "whole");
}

/// Two days in a row the tub was cold at 11:00; the grain of the second day was written down at 10:00 with the wrong day.
#[test]
fn a_word_that_would_go_after_it_was_written_is_to_be_corrected_first() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen
        .pickup("--brewed 2026-11-18 --mash-out 07:30 --cooled \"2026-11-18 11:00\" --wet 4kg");
    let (pickup, word) = (kitchen.last_entry("pickup"), kitchen.last_entry("cooled"));
    let right = format!("correct {pickup} --brewed 2026-11-20 --mash-out 07:00 {SLIP}");
    // At 10:30 the word would go to a time after now, at noon to one after it was written.
    for now in ["10:30", "12:00"] {
        kitchen.at(&format!("2026-11-20T{now}:00Z"));
        let said = kitchen.refused(1, &right);
        has(
            &said,
            &format!("entry {word} goes along and was written at"),
        );
        has(&said, &format!("draff correct {word} --at WHEN"));
    }
    kitchen.ok(&format!("correct {word} --at \"2026-11-20 09:00\" {SLIP}"));
    kitchen.ok(&right);
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-20");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}
