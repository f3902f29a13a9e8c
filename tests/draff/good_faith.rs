//! Grain that left in good faith stands in the book, also where the book learned before it was written down that the grain was
//! past: people have it, and a recall finds only what the book says.

use crate::env::{Kitchen, LOAF, has, made, one_line};
use crate::logger::logged;

/// A tub in a fridge whose logger shows, once its file is read on Tuesday at 12:00, that the grain was past by 03:00.
fn warm_fridge() -> (Kitchen, String) {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-10 10:00\" mix --pieces 6 --lot {lot}"
    ));
    let warm_from_23 = |row| if row < 24 { 4.0 } else { 25.0 };
    let file = logged("2026-11-09T11:00:00Z", 30, 50, warm_from_23);
    kitchen.file("fridge.csv", file);
    kitchen.at("2026-11-10T12:00:00Z");
    (kitchen, lot)
}

const READ: &str = "readings fridge --csv fridge.csv";

/// What happened is the same, in whatever order it was written down: so are the marks.
#[test]
fn what_left_in_good_faith_is_booked_and_marked_in_either_order() {
    for act in [
        "use LOT 2kg --for loaves --at 10:00",
        "give LOT --wet 2kg --to cafe --at 10:00",
        "bake done B-1S",
        "bake done B-1S --used LOT=1kg --at 10:00",
    ] {
        let traced = |written: &str, file_first: bool| {
            let (mut kitchen, lot) = warm_fridge();
            let act = act.replace("LOT", &lot);
            if file_first {
                kitchen.ok(READ);
            }
            kitchen.at(written);
            let told = match file_first {
                true => kitchen.told(&act),
                false => {
                    kitchen.ok(&act);
                    kitchen.at("2026-11-10T12:00:00Z").told(READ)
                }
            };
            has(
                &told,
                &format!("of lot `{lot}` went out at Tue 10 Nov 2026 10:00"),
            );
            has(&told, "when it was past: 4 h above 5 °C in all");
            assert!(!told.contains("might still be used"), "{told}");
            assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
            has(&kitchen.ok("check"), "whole");
            let trace = kitchen.ok(&format!("trace {lot}"));
            // Of what was given it says NOT TO BE GIVEN.
            has(&one_line(&trace), "then, as known now");
            let (who_has_it, _) = trace.split_once("What happened to it").unwrap();
            who_has_it.to_owned()
        };
        let as_it_came = traced("2026-11-10T10:05:00Z", false);
        let file_first = traced("2026-11-10T13:00:00Z", true);
        assert_eq!(as_it_came, file_first, "{act}");
    }
}

#[test]
fn what_leaves_once_the_book_knows_is_refused_and_says_what_to_type() {
    let (mut kitchen, lot) = warm_fridge();
    kitchen.ok(READ);
    kitchen.at("2026-11-10T13:00:00Z");
    for (act, is_time_given) in [
        (format!("use {lot} 2kg --for loaves"), false),
        (format!("use {lot} 2kg --for loaves --at 12:00"), true),
        (format!("give {lot} --wet 2kg --to cafe --at 12:30"), true),
        ("bake done B-1S --at now".to_owned(), false),
        ("bake done B-1S --at 12:30".to_owned(), true),
    ] {
        let said = kitchen.refused(1, &act);
        has(&said, "may not be used as food");
        // Whoever gave a time is not asked for one.
        let asks = said.contains("if it was used or given before the book knew that, type this line again with --at WHEN");
        assert_eq!(asks, !is_time_given, "{act}: {said}");
        has(
            &said,
            &format!(
                "book it as thrown away, with who has it as TEXT: draff discard {lot} --wet MASS --reason TEXT --at WHEN"
            ),
        );
    }
    // Nothing left yet, and none may.
    let said = kitchen.refused(1, &format!("batch \"small loaf\" --lot {lot} --pieces 6"));
    assert!(!said.contains("again with --at WHEN"), "{said}");
    kitchen.ok(&format!(
        "discard {lot} --wet 2kg --reason \"in loaves\" --at 12:30"
    ));
}

/// By a clock that was set back nobody tells what was known when.
#[test]
fn a_clock_that_is_set_back_makes_no_good_faith() {
    let (mut kitchen, lot) = warm_fridge();
    kitchen.ok(READ);
    kitchen.at("2026-11-10T11:00:00Z");
    for at in ["", " --at 10:00"] {
        // The first line is the warning of the clock.
        let ran = kitchen.run(&format!("use {lot} 2kg --for loaves{at}"));
        assert_eq!(ran.code, 1, "{}", ran.err);
        has(&ran.told(), "may not be used as food");
    }
}

#[test]
fn a_time_at_which_the_book_refused_the_grain_already_stays_refused() {
    let (mut kitchen, lot) = warm_fridge();
    kitchen.at("2026-11-10T09:00:00Z");
    kitchen.ok(&format!("probe {lot} --spoiled mould"));
    let wrong = kitchen.last_entry("spoiled");
    kitchen.at("2026-11-10T09:30:00Z");
    kitchen.ok(&format!("strike {wrong} --reason \"other tub\""));
    kitchen.at("2026-11-10T12:00:00Z");
    kitchen.ok(READ);
    let used = |at: &str| format!("use {lot} 1kg --for loaves --at {at}");
    has(
        &kitchen.refused(1, &used("09:10")),
        "may not be used as food",
    );
    has(&kitchen.told(&used("09:40")), "when it was past");
}

/// Of a portion that nobody had written down yet the book called nothing usable.
#[test]
fn a_lot_that_the_book_did_not_hold_yet_stays_refused() {
    let (mut kitchen, lot) = warm_fridge();
    kitchen.ok(READ);
    let parts = kitchen.json(&format!("portion {lot} --into 1x1kg --at 09:00"));
    let part = &made(&parts)[0];
    kitchen.at("2026-11-10T13:00:00Z");
    has(
        &kitchen.refused(1, &format!("use {part} 500g --for loaves --at 10:00")),
        "may not be used as food",
    );
}

/// A slip strike hides bread that is marked: what was booked in good faith counts again, with its mark.
#[test]
fn the_slip_strike_of_what_left_in_good_faith_is_struck_back() {
    for (act, kind) in [
        ("use LOT 2kg --for loaves", "use"),
        ("use LOT 10kg --for loaves", "use"),
        ("give LOT --wet 2kg --to cafe", "give"),
        ("bake done B-1S", "baked"),
        ("bake done B-1S --used LOT=10kg", "baked"),
    ] {
        let (mut kitchen, lot) = warm_fridge();
        kitchen.at("2026-11-10T10:05:00Z");
        kitchen.ok(&act.replace("LOT", &lot));
        let booked = kitchen.last_entry(kind);
        kitchen.at("2026-11-10T12:00:00Z");
        has(&kitchen.told(READ), "when it was past");
        let traced = kitchen.ok(&format!("trace {lot}"));
        let who_has_it = traced.split_once("What happened to it").unwrap().0;
        kitchen.ok(&format!("strike {booked} --reason slip"));
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
        let strike = kitchen.last_entry("strike");
        let told = kitchen.told(&format!("strike {strike} --reason \"it was right\""));
        has(&told, "when it was past: 4 h above 5 °C in all");
        has(&kitchen.ok(&format!("trace {lot}")), who_has_it);
        has(&kitchen.ok("check"), "whole");
    }
}

/// A correction is booked whatever the grain was, so it counts again too.
#[test]
fn the_slip_strike_of_a_correction_to_a_past_lot_is_struck_back() {
    let (mut kitchen, lot) = warm_fridge();
    let other = kitchen.tub("Bracken", "--wet 2kg");
    kitchen.ok(&format!("use {other} 1kg --for rolls"));
    kitchen.ok(READ);
    let rolls = kitchen.last_entry("use");
    kitchen.at("2026-11-10T12:10:00Z");
    kitchen.ok(&format!(
        "correct {rolls} --lot {lot} --reason \"other tub\""
    ));
    let right = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {right} --reason slip"));
    let strike = kitchen.last_entry("strike");
    let told = kitchen.told(&format!("strike {strike} --reason \"it was right\""));
    has(&told, "when it was past");
}
