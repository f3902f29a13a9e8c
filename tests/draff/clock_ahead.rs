//! Entries that were written by a clock that ran ahead: once they are put right by the right clock, what is true and written
//! late is taken.

use crate::env::{Kitchen, has, one_line};

/// Hot grain that came at 10:00, moved to the second fridge by a clock that stood ten years later.
fn moved_by_a_clock_ahead() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T10:00:00Z");
    kitchen.ok("place add fr2 --kind fridge --temp 3C");
    let lot = kitchen.pickup("--brewed today --mash-out 09:00 --wet 5kg --temp 62C");
    kitchen.at("2036-11-09T10:30:00Z");
    kitchen.ok(&format!("move {lot} fr2"));
    (kitchen, lot)
}

/// A word about 11:20 that is written down at 14:00.
fn is_cooled_by_a_word(mut kitchen: Kitchen, lot: &str) {
    kitchen.at("2026-11-09T14:00:00Z");
    assert_eq!(kitchen.on_shelf(lot)["verdict"], "unknown");
    kitchen.ok(&format!("probe {lot} --cooled 11:20"));
    assert_eq!(kitchen.on_shelf(lot)["verdict"], "good");
}

#[test]
fn an_entry_of_a_clock_that_ran_ahead_is_as_late_as_its_correction() {
    let (mut kitchen, lot) = moved_by_a_clock_ahead();
    let wrong = kitchen.last_entry("move");
    kitchen.at("2026-11-09T10:40:00Z");
    kitchen.ok(&format!(
        "correct {wrong} --at \"2026-11-09 10:30\" --reason \"wrong clock\""
    ));
    is_cooled_by_a_word(kitchen, &lot);
}

#[test]
fn an_entry_corrected_by_that_clock_and_then_by_the_right_one_makes_nothing_late() {
    let (mut kitchen, lot) = moved_by_a_clock_ahead();
    for (clock, right) in [
        ("2036-11-09T10:35:00Z", "--place fridge"),
        ("2026-11-09T10:40:00Z", "--at \"2026-11-09 10:30\""),
    ] {
        let wrong = kitchen.last_entry("move");
        kitchen.at(clock);
        kitchen.ok(&format!("correct {wrong} {right} --reason slip"));
    }
    kitchen.at("2026-11-09T11:30:00Z");
    kitchen.ok(&format!("move {lot} fr2 --at 11:00"));
    is_cooled_by_a_word(kitchen, &lot);
}

/// The strike by that clock might be one of now before the clock was set back: it is struck, and the entry struck anew.
#[test]
fn an_entry_that_was_struck_by_the_clock_that_ran_ahead_is_struck_anew() {
    let (mut kitchen, lot) = moved_by_a_clock_ahead();
    let wrong = kitchen.last_entry("move");
    kitchen.at("2036-11-09T10:35:00Z");
    kitchen.ok(&format!("strike {wrong} --reason slip"));
    let strike = kitchen.entries();
    kitchen.at("2026-11-09T10:40:00Z");
    kitchen.ok(&format!("strike {strike} --reason \"wrong clock\""));
    kitchen.ok(&format!("strike {wrong} --reason \"wrong clock\""));
    kitchen.ok(&format!("move {lot} fr2 --at 10:30"));
    is_cooled_by_a_word(kitchen, &lot);
}

/// Grain that stood warm for too long, and the entry of half past twelve that is struck by a clock that stands at 09:31.
#[test]
fn grain_that_is_good_again_by_the_clock_alone_is_told() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T08:00:00Z");
    let lot =
        kitchen.pickup("--brewed today --mash-out 05:00 --cooled 07:00 --wet 4kg --place counter");
    kitchen.at("2026-11-09T12:30:00Z");
    kitchen.ok("place change fridge --capacity 40kg");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let newest = kitchen.last_entry("place");
    kitchen.at("2026-11-09T09:31:00Z");
    let told = one_line(&kitchen.told(&format!("strike {newest} --reason \"clock ran ahead\"")));
    has(
        &told,
        &format!("warning: lot `{lot}` was past as of entry {newest} (Mon 9 Nov 12:30)"),
    );
    has(&told, "by the clock now");
    let strike = kitchen.last_entry("strike");
    has(&told, &format!("`draff strike {strike} --reason"));
    kitchen.ok(&format!("strike {strike} --reason \"clock was right\""));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

#[test]
fn a_strike_by_a_clock_that_goes_right_tells_nothing_of_it() {
    let (mut kitchen, _) = moved_by_a_clock_ahead();
    let newest = kitchen.last_entry("move");
    kitchen.at("2036-11-09T10:40:00Z");
    let told = kitchen.told(&format!("strike {newest} --reason slip"));
    assert!(!told.contains("by the clock now"), "{told}");
}

/// A tub that stood on the counter since `out`, and went into the fridge by a clock that stood at 20:00; gives the move.
fn back_in_the_fridge_by_a_clock_ahead(out: &str) -> (Kitchen, String, i64) {
    let (mut kitchen, lot, _) = Kitchen::with_two_tubs();
    kitchen.at(&format!("2026-11-10T{out}:00Z"));
    kitchen.ok(&format!("move {lot} counter"));
    kitchen.at("2026-11-10T20:00:00Z");
    kitchen.ok(&format!("move {lot} fridge"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    kitchen.at("2026-11-10T09:10:00Z");
    let wrong = kitchen.last_entry("move");
    (kitchen, lot, wrong)
}

fn correct_to(time: &str, wrong: i64) -> String {
    format!("correct {wrong} --at \"2026-11-10 {time}\" --reason clock")
}

#[test]
fn grain_that_is_past_only_by_a_clock_that_ran_ahead_is_put_right_by_a_correction() {
    let (kitchen, lot, wrong) = back_in_the_fridge_by_a_clock_ahead("08:55");
    let told = kitchen.told(&correct_to("09:05", wrong));
    has(
        &told,
        &format!("lot `{lot}` was past and is good now, by this entry"),
    );
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

#[test]
fn grain_that_is_past_by_the_right_clock_too_stays_so() {
    for back in ["03:00", "06:30", "08:45"] {
        let (kitchen, lot, wrong) = back_in_the_fridge_by_a_clock_ahead("02:00");
        kitchen.run(&correct_to(back, wrong));
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past", "{back}");
    }
}
