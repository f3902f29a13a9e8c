//! What is written down late makes no grain usable, takes no mark off bread that was made, and by no detour; what was mixed
//! in time can be written down late.

use crate::env::{Kitchen, has, one_line};
use crate::logger::logged;

/// A kitchen on Sunday 8 November with 4 kg of grain that keeps until Saturday 14 November.
fn tub() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-08T12:00:00Z");
    let lot = kitchen
        .pickup("--brewed 2026-11-08 --mash-out 09:00 --cooled \"2026-11-08 10:30\" --wet 4kg");
    (kitchen, lot)
}

#[test]
fn a_finding_that_is_taken_back_opens_no_door_for_a_late_entry() {
    for (finding, taken_back) in [
        ("probe LOT 35C", "strike NUMBER --reason \"other tub\""),
        (
            "probe LOT 35C",
            "correct NUMBER --temp 4C --reason \"read wrong\"",
        ),
        (
            "probe LOT --spoiled mould",
            "strike NUMBER --reason \"other tub\"",
        ),
    ] {
        for late in ["move LOT freezer", "move LOT --wet 3kg --to freezer"] {
            let (mut kitchen, lot) = tub();
            let late = format!("{} --at \"2026-11-08 12:30\"", late.replace("LOT", &lot));
            kitchen.at("2026-11-25T10:00:00Z");
            kitchen.refused(1, &late);
            kitchen.ok(&finding.replace("LOT", &lot));
            let kind = if finding.contains("spoiled") {
                "spoiled"
            } else {
                "reading"
            };
            let wrong = kitchen.last_entry(kind);
            kitchen.at("2026-11-25T10:05:00Z");
            if kitchen.run(&late).code != 0 {
                continue;
            }
            let number = kitchen.entries();
            let take_back = taken_back.replace("NUMBER", &wrong.to_string());
            if kitchen.run(&take_back).code == 0 {
                // A part that was written late is judged by what the book held then.
                for found in kitchen.json("shelf")["lots"].as_array().unwrap() {
                    assert_eq!(found["verdict"], "past", "{take_back}");
                }
                continue;
            }
            let said = one_line(&kitchen.refused(1, &take_back));
            has(&said, "was written late");
            let first = said.split("strike ").nth(1).unwrap();
            let first: i64 = first.split(' ').next().unwrap().parse().unwrap();
            assert!(first > wrong && first <= number, "{said}");
            kitchen.ok(&format!("strike {first} --reason late"));
            kitchen.ok(&take_back);
            assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
            kitchen.refused(1, &format!("use {lot} 1kg --for buns"));
        }
    }
}

/// A tub that was good when the late entry was written would have taken it anyway.
#[test]
fn a_late_entry_of_a_good_lot_does_not_hold_a_wrong_finding_in_the_book() {
    let (mut kitchen, lot) = tub();
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("probe {lot} --spoiled mould"));
    let wrong = kitchen.last_entry("spoiled");
    kitchen.at("2026-11-10T10:05:00Z");
    kitchen.ok(&format!("move {lot} freezer --at \"2026-11-10 09:00\""));
    kitchen.at("2026-11-25T10:00:00Z");
    kitchen.ok(&format!("strike {wrong} --reason \"other tub\""));
    assert!(kitchen.on_shelf(&lot)["verdict"] != "past");
}

#[test]
fn a_late_entry_takes_no_mark_off_bread_that_was_made() {
    let (mut kitchen, lot) = tub();
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for loaves"));
    kitchen.at("2026-11-10T18:00:00Z");
    kitchen.ok(&format!("probe {lot} 20C"));
    let marked = || one_line(&kitchen.ok(&format!("trace {lot}"))).contains("NOT TO BE USED");
    assert!(marked());
    kitchen.refused(1, &format!("move {lot} freezer --at \"2026-11-10 11:00\""));
    assert!(marked());
    // What left before the book knew is booked, and marked too.
    let given = format!("give {lot} --wet 1kg --to cafe --at \"2026-11-10 10:30\"");
    has(&kitchen.told(&given), "for cafe, when it was past");
    kitchen.refused(1, &format!("give {lot} --wet 1kg --to cafe"));
}

#[test]
fn what_was_mixed_in_time_is_joined_late_and_is_as_bad_as_the_worst() {
    let (mut kitchen, old) = tub();
    kitchen.at("2026-11-09T12:00:00Z");
    let young = kitchen
        .pickup("--brewed 2026-11-09 --mash-out 09:00 --cooled \"2026-11-09 10:30\" --wet 3kg");
    kitchen.at("2026-11-15T10:00:00Z");
    assert_eq!(kitchen.on_shelf(&old)["verdict"], "past");
    assert_eq!(kitchen.on_shelf(&young)["verdict"], "use-first");
    // Mixed by now, it would be past grain that goes into good grain.
    kitchen.refused(1, &format!("join {old} {young}"));
    let joined = kitchen.json(&format!("join {old} {young} --at \"2026-11-12 08:00\""));
    let joined = joined["lot"].as_str().unwrap().to_owned();
    assert_eq!(kitchen.on_shelf(&joined)["verdict"], "past");
    // The weight of the first pickup was misread: what the refusal prints is typed in its order.
    let pickup = kitchen.json(&format!("log {old}"))["entries"][0]["entry"].clone();
    let right = format!("correct {pickup} --wet 3.5kg --reason \"scale read 3.5\"");
    let said = one_line(&kitchen.refused(1, &right));
    let join_first = said.split("put the pickup right too: draff ").nth(1);
    let join_first = join_first.and_then(|rest| rest.split(", then").next());
    let join_first = join_first.unwrap_or_else(|| panic!("nothing to type in {said}"));
    kitchen.ok(&join_first.replace("TEXT", "misread"));
    kitchen.ok(&right);
    assert_eq!(kitchen.on_shelf(&joined)["verdict"], "past");
    // Never joined at all, and the weight was right: all of it is struck.
    let (pickup, corrected) = (kitchen.last_entry("pickup"), kitchen.last_entry("join"));
    let first = corrected - 2;
    let told = kitchen.told(&format!(
        "strike {pickup} {corrected} {first} --reason misread"
    ));
    has(&told, &format!("lot `{young}` is use-first by itself"));
    has(&told, "write the join down again");
    has(&kitchen.ok("check"), "whole");
}

/// Grain that was thrown away, unknown or not there comes back as what it would be without what was written late meanwhile.
#[test]
fn grain_that_was_gone_or_unknown_opens_no_door_for_a_late_entry() {
    let freezer = "place change fridge --kind freezer --temp -18C --at \"2026-11-08 16:30\"";
    let (mut kitchen, lot) = tub();
    kitchen.at("2026-11-25T08:00:00Z");
    kitchen.refused(1, freezer);
    kitchen.ok(&format!("discard {lot} --reason past"));
    let discard = kitchen.last_entry("discard");
    kitchen.ok(freezer);
    for back in [
        format!("strike {discard} --reason \"still there\""),
        format!("correct {discard} --wet 100g --reason \"still there\""),
    ] {
        has(&one_line(&kitchen.refused(1, &back)), "was written late");
    }
    // No mash-out is known, and the grain is unknown; with it the late entry would not have been taken.
    let (mut kitchen, lot) = tub();
    kitchen.at("2026-11-25T08:00:00Z");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --mash-out unknown --reason misread"
    ));
    kitchen.ok(&format!("move {lot} freezer --at \"2026-11-13 23:30\""));
    let pickup = kitchen.last_entry("pickup");
    let back = format!("correct {pickup} --mash-out 09:00 --reason \"found it\"");
    has(&one_line(&kitchen.refused(1, &back)), "was written late");
}

#[test]
fn a_warm_tub_names_the_others_of_its_grain() {
    let (mut kitchen, lot) = tub();
    kitchen.at("2026-11-10T18:00:00Z");
    let parts = kitchen.json(&format!("portion {lot} --into 1x1kg"));
    let part = parts["lots"][0]["lot"].as_str().unwrap().to_owned();
    let told = kitchen.told(&format!("probe {part} 20C"));
    has(&told, &format!("look at {lot} too"));
}

/// The last of it was used, and that is written down late: the book holds a move after it, which no grain took.
#[test]
fn grain_that_was_used_up_lies_nowhere_by_a_later_move() {
    let (mut kitchen, lot) = tub();
    kitchen.ok("place add walkin --kind fridge --temp 3C");
    kitchen.file(
        "fridge.csv",
        logged("2026-11-08T12:00:00Z", 30, 100, |_| 4.0),
    );
    kitchen.file(
        "walkin.csv",
        logged("2026-11-10T08:00:00Z", 30, 20, |_| 3.0),
    );
    kitchen.at("2026-11-10T11:30:00Z");
    kitchen.ok(&format!("move {lot} walkin"));
    kitchen.at("2026-11-10T20:00:00Z");
    kitchen.ok("readings walkin --csv walkin.csv");
    kitchen.ok(&format!(
        "use {lot} 4kg --for rolls --at \"2026-11-09 14:24\""
    ));
    kitchen.ok("readings fridge --csv fridge.csv");
    for place in ["fridge", "walkin"] {
        let summary = kitchen.ok(&format!("readings {place} --summary --from 2026-11-08"));
        has(&summary, place);
    }
    kitchen.ok(&format!("trace {lot}"));
    kitchen.ok("check");
}

/// The book knows that its last entry was written at 20:00.
#[test]
fn a_clock_that_is_set_back_makes_no_late_entry_one_of_now() {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    kitchen.at("2026-11-09T14:10:00Z");
    kitchen.ok(&format!("use {lot} 1kg --for rolls --at 14:05"));
    kitchen.at("2026-11-09T20:00:00Z");
    kitchen.ok(&format!("move {lot} counter --at 13:00"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let late = [
        format!("move {lot} fridge"),
        format!("move {lot} --wet 1kg --to freezer"),
        "place change counter --temp 4C".to_owned(),
    ];
    let refused = |kitchen: &Kitchen| {
        for late in &late {
            let ran = kitchen.run(late);
            assert_eq!(ran.code, 1, "{late}: {}", ran.err);
            has(
                &one_line(&ran.err),
                "is past, and this would make it usable again",
            );
        }
    };
    kitchen.at("2026-11-09T14:00:00Z");
    refused(&kitchen);
    // What is written by that clock meanwhile does not hide the entry of 20:00.
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason spilt"));
    kitchen.at("2026-11-09T14:01:00Z");
    refused(&kitchen);
    kitchen.at("2026-11-09T20:01:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

/// Each makes the grain past by a slip, and without it the grain is good: as it would be once the entry is struck.
#[test]
fn a_slip_in_a_late_entry_is_corrected_where_a_strike_would_leave_the_grain_usable() {
    for (late, right) in [
        ("probe LOT 40C --at 14:00", "--temp 4.0C"),
        ("move LOT counter --at 12:00", "--place fridge"),
        ("move LOT counter --at 12:00", "--at 17:30"),
        (
            "treat LOT --step press --wet-out 6kg --minutes 300 --temp 20C --at 17:00",
            "--minutes 30",
        ),
        (
            "portion LOT --into 1x1kg --to counter --at 12:00",
            "--at 17:30",
        ),
    ] {
        let (mut kitchen, lot) = Kitchen::with_cooled_tub();
        kitchen.at("2026-11-09T18:00:00Z");
        kitchen.ok(&late.replace("LOT", &lot));
        let number = kitchen.entries();
        kitchen.at("2026-11-09T18:01:00Z");
        let told = kitchen.told(&format!("correct {number} {right} --reason slip"));
        has(&told, "was past and is");
    }
}

/// Without it the grain is past, as the fridge does not hold it for so long.
#[test]
fn a_late_entry_of_past_grain_is_not_corrected_into_one_that_makes_it_usable() {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    kitchen.at("2026-11-25T10:00:00Z");
    kitchen.ok(&format!("move {lot} counter --at \"2026-11-09 12:00\""));
    let number = kitchen.entries();
    let said = kitchen.refused(
        1,
        &format!("correct {number} --place freezer --reason slip"),
    );
    has(&one_line(&said), "would make it usable again");
}

/// Of an entry by a clock that ran ahead nothing is left once it is struck.
#[test]
fn a_struck_entry_of_a_clock_that_ran_ahead_makes_nothing_late() {
    let (mut kitchen, lot) = Kitchen::with_cooled_tub();
    kitchen.at("2036-11-09T11:30:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    let wrong = kitchen.last_entry("reading");
    kitchen.at("2026-11-09T11:31:00Z");
    kitchen.ok(&format!("strike {wrong} --reason \"wrong clock\""));
    kitchen.ok(&format!("move {lot} freezer"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}
