//! `count` and the ends of grain: what is missing is booked, what is gone stays gone, and what a count found stays found
//! where entries of before it are written late, corrected or struck.

use crate::env::{Kitchen, SLIP, commands_in, has, one_line};
use serde_json::json;

#[test]
fn a_count_books_the_difference_and_judges_it() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    for (found, less, size) in [
        ("10kg", 0.0, "none"),
        ("9.96kg", 40.0, "small"),
        ("9.7kg", 260.0, "usual"),
        ("9.2kg", 500.0, "large"),
        ("6kg", 3200.0, "unexplained"),
        ("6.1kg", -100.0, "more"),
    ] {
        let answer = kitchen.json(&format!("count {lot} --wet {found}"));
        assert_eq!(
            (&answer["less_g"], &answer["size"]),
            (&json!(less), &json!(size)),
            "{found}"
        );
    }
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(6100.0));
    let usage = kitchen.json("usage");
    let lines = usage["usage"].as_array().unwrap();
    assert!(lines.iter().all(|line| line["kind"] == "count-correction"));
    let sum: f64 = lines
        .iter()
        .map(|line| line["wet_g"].as_f64().unwrap())
        .sum();
    assert!((sum - 3900.0).abs() < 1e-9);
    let words = kitchen.ok(&format!("count {lot} --wet 6kg --note 'after the weekend'"));
    assert!(
        words.contains("100 g less (1.6 %): water that dried off"),
        "{words}"
    );
    kitchen.ok(&format!("count {lot} --nothing"));
    assert!(
        kitchen
            .refused(1, &format!("count {lot} --wet 1kg"))
            .contains("nothing is left")
    );
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn counts_bring_nothing_back() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!(
        "discard {lot} --wet 4kg --as feed --reason 'more than we bake'"
    ));
    let refused = kitchen.refused(1, &format!("count {lot} --wet 10kg"));
    assert!(refused.contains("grain does not come back"), "{refused}");
    // A little is what scales differ by, over the lot's life.
    kitchen.ok(&format!("count {lot} --wet 6.2kg"));
    assert!(
        kitchen
            .refused(1, &format!("count {lot} --wet 6201g"))
            .contains("200 g")
    );
    // What was counted in and used stays used.
    let more = kitchen.last_entry("count");
    kitchen.ok(&format!("use {lot} --wet 6.1kg --for bread"));
    let refused = kitchen.refused(1, &format!("strike {more} --reason wrong"));
    assert!(
        refused.contains("100 g more would have gone out"),
        "{refused}"
    );
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_count_is_of_what_the_book_says_then() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    let refused = kitchen.refused(1, &format!("count {lot} --wet 9kg --at 11:00"));
    assert!(refused.contains("weighed after that time"), "{refused}");
    for (code, words) in [
        (2, ""),
        (2, "--wet 0g"),
        (2, "--wet 1kg --nothing"),
        (2, "--wet 9"),
    ] {
        kitchen.refused(code, &format!("count {lot} {words}"));
    }
}

#[test]
fn a_count_that_found_nothing_is_told_the_option_for_it() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("count {lot} --wet 9kg"));
    let count = kitchen.last_entry("count");
    for wrong in [
        format!("count {lot} --wet 0g"),
        format!("correct {count} --wet 0g {SLIP}"),
        format!("correct {count} --wet 0 {SLIP}"),
    ] {
        let said = kitchen.refused(2, &wrong);
        has(&said, "type --nothing in place of --wet");
    }
    kitchen.ok(&format!("correct {count} --nothing {SLIP}"));
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn feed_compost_and_waste_are_different_ends() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    for (ending, kind) in [
        ("feed", "feed"),
        ("compost", "discard"),
        ("waste", "discard"),
    ] {
        kitchen.ok(&format!(
            "discard {lot} --wet 1kg --as {ending} --reason surplus"
        ));
        let usage = kitchen.json("usage");
        assert_eq!(
            usage["usage"].as_array().unwrap().last().unwrap()["kind"],
            kind
        );
        let log = kitchen.json("log --last 1");
        assert_eq!(log["entries"][0]["ending"], ending);
    }
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason dropped"));
    assert_eq!(
        kitchen.json("log --last 1")["entries"][0]["ending"],
        json!(null)
    );
    let refused = kitchen.refused(2, &format!("discard {lot} --as pigs --reason x"));
    assert!(
        refused.contains("allowed are feed, compost, waste"),
        "{refused}"
    );
}

#[test]
fn striking_a_discard_says_what_it_means() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --as feed --reason surplus"
    ));
    let entry = kitchen.last_entry("discard");
    let ran = kitchen.run(&format!("strike {entry} --reason 'was 100 g'"));
    assert_eq!(ran.code, 0);
    assert!(ran.err.contains("is back in stock"), "{}", ran.err);
}

/// A count that found less speaks of grain whose entry was missing; the entry that comes then takes it off once more.
#[test]
fn a_late_use_before_a_count_says_that_the_count_knew() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8.5kg");
    kitchen.at("2026-11-22T08:05:00Z");
    kitchen.ok(&format!("count {lot} --wet 5.5kg"));
    let count = kitchen.last_entry("count");
    let told = kitchen.told(&format!(
        "use {lot} --wet 3kg --for loaves --at \"2026-11-21 09:00\""
    ));
    has(&told, &format!("draff strike {count} --reason"));
    kitchen.ok(&format!("strike {count} --reason \"entry was missing\""));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(5500.0));
    kitchen.ok(&format!("count {lot} --wet 5.4kg"));
    let count = kitchen.last_entry("count");
    kitchen.ok(&format!("correct {count} --note scale --reason n"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(5400.0));
}

#[test]
fn a_late_use_before_a_count_leaves_what_was_counted() {
    let mut kitchen = Kitchen::on_monday();
    let lot = kitchen.tub("Corrow Weir", "--wet 10kg");
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("count {lot} --wet 8kg"));
    let count = kitchen.last_entry("count");
    kitchen.at("2026-11-10T11:00:00Z");
    let told = kitchen.told(&format!("use {lot} --wet 1.5kg --for forgotten --at 06:00"));
    let again = format!("correct {count} --wet 8kg --reason \"entry was missing\"");
    has(&told, &format!("draff {again}"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 6500.0);
    kitchen.ok(&again);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 8000.0);
    let count = kitchen.last_entry("count");
    let trace = one_line(&kitchen.ok(&format!("log {lot}")));
    has(&trace, "500 g less");
    let said = kitchen.refused(1, &format!("correct {count} --wet 8kg {SLIP}"));
    has(&said, "nothing is changed by that");
    // More than the book says of that time cannot be taken off: one of the two is wrong.
    let told = kitchen.told(&format!("use {lot} --wet 1kg --for buns --at 05:00"));
    has(&told, "one of the two is wrong");
    has(&kitchen.ok("check"), "whole");
}

/// A tub of 10 kg, counted on Tuesday and on Wednesday, of which 1 kg was used after that; gives its lot's code and the
/// entries of the counts.
fn counted_twice(kitchen: &mut Kitchen) -> (String, i64, i64) {
    let lot = kitchen.tub("Corrow Weir", "--wet 10kg");
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("count {lot} --wet 9kg"));
    let first = kitchen.last_entry("count");
    kitchen.at("2026-11-11T10:00:00Z");
    kitchen.ok(&format!("count {lot} --wet 8.5kg"));
    let second = kitchen.last_entry("count");
    kitchen.at("2026-11-11T12:00:00Z");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    (lot, first, second)
}

/// The later count measured what was there: an earlier one takes nothing off twice, and puts nothing back.
#[test]
fn a_later_count_stands_where_an_earlier_one_is_corrected() {
    let mut kitchen = Kitchen::on_monday();
    let (lot, first, _) = counted_twice(&mut kitchen);
    let told = kitchen.told(&format!("correct {first} --wet 9.2kg {SLIP}"));
    has(&told, "the later count stands");
    has(&told, "it found 8.5 kg, Wed 11 Nov 2026 10:00");
    has(
        &told,
        "700 g less than the book said by now, and was 500 g less",
    );
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    // What the first found is less than before, and the lot never holds less than was used of it.
    let first = kitchen.last_entry("count") - 1;
    kitchen.ok(&format!("correct {first} --wet 8.6kg {SLIP}"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    let missing = |kitchen: &Kitchen| -> f64 {
        let usage = kitchen.json("usage");
        let lines = usage["usage"].as_array().unwrap().iter();
        lines
            .filter(|line| line["kind"] == "count-correction")
            .map(|line| line["wet_g"].as_f64().unwrap())
            .sum()
    };
    assert!((missing(&kitchen) - 1500.0).abs() < 1e-9);
    let first = kitchen.last_entry("count") - 1;
    let told = one_line(&kitchen.ok(&format!("strike {first} {SLIP}")));
    has(&told, "Struck with it: count");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    assert!((missing(&kitchen) - 1500.0).abs() < 1e-9);
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_struck_count_names_the_later_one() {
    let mut kitchen = Kitchen::on_monday();
    let (lot, first, second) = counted_twice(&mut kitchen);
    let told = kitchen.told(&format!("strike {first} {SLIP}"));
    has(&told, &format!("entry {second} counted 8.5 kg"));
    let again = &commands_in(&told)[0];
    has(again, &format!("correct {second} --wet 8.5kg"));
    kitchen.ok(again);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    has(&kitchen.ok("check"), "whole");
}

/// The first count after a late entry is the one that has to know of it.
#[test]
fn a_late_use_before_two_counts_leaves_what_was_counted() {
    let mut kitchen = Kitchen::on_monday();
    let (lot, first, _) = counted_twice(&mut kitchen);
    let told = kitchen.told(&format!(
        "use {lot} --wet 400g --for forgotten --at \"2026-11-09 18:00\""
    ));
    let again = commands_in(&told);
    let again = again.iter().find(|command| command.starts_with("correct "));
    let again = again.unwrap_or_else(|| panic!("no command in {told}"));
    has(again, &format!("correct {first} --wet 9kg"));
    kitchen.ok(again);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 7500.0);
    has(&kitchen.ok("check"), "whole");
}

/// A difference of some grams is what scales make of it; the correction of the count is taken up to there.
#[test]
fn a_late_use_of_a_little_more_than_a_count_found_missing_names_its_correction() {
    let told_of = |wet: &str| {
        let mut kitchen = Kitchen::new();
        let lot = kitchen.lot("4kg");
        kitchen.at("2026-11-21T13:22:00Z");
        kitchen.ok(&format!("count {lot} --wet 3.8kg"));
        let count = kitchen.last_entry("count");
        kitchen.at("2026-11-21T13:23:00Z");
        let use_late = format!("use {lot} --wet {wet} --for buns --at \"2026-11-21 09:00\"");
        let told = kitchen.told(&use_late);
        let again = format!("correct {count} --wet 3.8kg --reason \"entry was missing\"");
        (kitchen, lot, told, again)
    };
    let (kitchen, lot, told, again) = told_of("210g");
    has(&told, &format!("`draff {again}` works out the difference"));
    has(
        &told,
        "by that the count found 10 g more than the book says",
    );
    assert!(!told.contains("is wrong"), "{told}");
    kitchen.ok(&again);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 3800.0);
    has(&kitchen.ok("check"), "whole");
    // Beyond that the book takes no correction, and none is printed.
    let (kitchen, _, told, again) = told_of("500g");
    has(&told, "one of the two is wrong");
    assert!(!told.contains("draff correct"), "{told}");
    kitchen.refused(1, &again);
}

#[test]
fn the_time_of_a_count_is_put_right_by_another_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("count {lot} --wet 9.5kg"));
    let entry = kitchen.last_entry("count");
    kitchen.at("2026-11-20T15:00:00Z");
    let said =
        one_line(&kitchen.refused(1, &format!("correct {entry} --at 10:30 --reason \"later\"")));
    has(
        &said,
        &format!(
            "the time of a count cannot be corrected: strike entry {entry} and count again with --at"
        ),
    );
}
