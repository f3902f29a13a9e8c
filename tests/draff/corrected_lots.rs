//! An entry was about another lot: the move of a whole lot goes to the lot that was moved, and a strike of any such correction
//! gives both lots back what was theirs.

use crate::env::{Kitchen, SLIP, has};

/// Two tubs in the fridge, of which the first was moved there at 11:00 by the book; gives the entry too. It is noon.
#[track_caller]
fn moved(to: &str) -> (Kitchen, String, String, i64) {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("move {corrow} {to}"));
    let entry = kitchen.last_entry("move");
    kitchen.at("2026-11-09T12:00:00Z");
    (kitchen, corrow, alder, entry)
}

#[track_caller]
fn lies_in(kitchen: &Kitchen, lot: &str, place: &str) {
    assert_eq!(kitchen.on_shelf(lot)["place"], place, "{lot}");
}

#[track_caller]
fn whole(kitchen: &Kitchen) {
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn the_other_lot_was_moved_and_this_one_lies_where_it_lay() {
    let (kitchen, corrow, alder, entry) = moved("freezer");
    kitchen.ok(&format!("correct {entry} --lot {alder} {SLIP}"));
    let after = |first: &str, second: &str| {
        lies_in(&kitchen, &corrow, first);
        lies_in(&kitchen, &alder, second);
        whole(&kitchen);
    };
    after("fridge", "freezer");
    let correction = kitchen.last_entry("move");
    kitchen.ok(&format!("strike {correction} {SLIP}"));
    after("freezer", "fridge");
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} {SLIP}"));
    after("fridge", "freezer");
}

#[test]
fn both_lots_are_judged_again_and_what_was_used_past_its_date_is_told() {
    let (mut kitchen, corrow, alder, entry) = moved("counter");
    kitchen.at("2026-11-09T17:00:00Z");
    kitchen.ok(&format!("use {alder} 1kg --for buns"));
    kitchen.at("2026-11-09T18:00:00Z");
    assert_eq!(kitchen.on_shelf(&corrow)["verdict"], "past");
    let told = kitchen.told(&format!("correct {entry} --lot {alder} {SLIP}"));
    has(&told, &format!("lot `{corrow}` was past and is good now"));
    has(&told, "for buns, when it was past");
    assert_eq!(kitchen.on_shelf(&alder)["verdict"], "past");
    whole(&kitchen);
}

#[test]
fn a_past_lot_is_not_moved_into_a_freezer_by_a_correction() {
    let (mut kitchen, _, alder, entry) = moved("freezer");
    kitchen.at("2026-11-25T10:00:00Z");
    assert_eq!(kitchen.on_shelf(&alder)["verdict"], "past");
    let said = kitchen.refused(1, &format!("correct {entry} --lot {alder} {SLIP}"));
    has(&said, "would make it usable again");
}

/// On the counter until the word comes it is past; the correction days later must not be what keeps it from that.
#[test]
fn a_word_does_not_make_a_lot_usable_that_a_late_correction_put_into_a_freezer() {
    for (typed, right) in [
        ("move OTHER freezer", "--lot MEANT"),
        ("move MEANT bench", "--place freezer"),
    ] {
        let mut kitchen = Kitchen::new();
        kitchen.at("2026-11-08T12:00:00Z");
        kitchen.ok("place add bench --kind ambient --at 2026-11-01");
        let meant =
            kitchen.pickup("--brewed 2026-11-08 --mash-out 09:00 --wet 4kg --place counter");
        let other = kitchen.pickup_from(
            "Corrow Weir",
            "--brewed 2026-11-08 --mash-out 09:00 --cooled \"2026-11-08 10:30\" --wet 4kg",
        );
        let named = |words: &str| words.replace("OTHER", &other).replace("MEANT", &meant);
        kitchen.at("2026-11-08T12:30:00Z");
        kitchen.ok(&named(typed));
        let entry = kitchen.last_entry("move");
        kitchen.at("2026-11-10T10:00:00Z");
        kitchen.ok(&format!("correct {entry} {} {SLIP}", named(right)));
        let correction = kitchen.last_entry("move");
        kitchen.at("2026-11-10T10:02:00Z");
        let said = kitchen.refused(1, &format!("probe {meant} --cooled \"2026-11-08 10:30\""));
        has(
            &said,
            &format!("by entry {correction} alone, which was written late"),
        );
    }
}

#[test]
fn a_lot_takes_no_move_before_another_one_or_after_its_last_grain() {
    let (mut kitchen, corrow, alder, entry) = moved("freezer");
    let correct = format!("correct {entry} --lot {alder} {SLIP}");
    kitchen.ok(&format!("move {alder} counter"));
    has(
        &kitchen.refused(1, &correct),
        &format!("lot `{alder}` was moved at that time or later already"),
    );
    let (kept, _, used_up, entry) = moved("freezer");
    kept.ok(&format!("use {used_up} 6kg --for buns --at 10:30"));
    let said = kept.refused(1, &format!("correct {entry} --lot {used_up} {SLIP}"));
    has(&said, &format!("nothing is left of lot `{used_up}`"));
    // Nor is the move given back where the first one was moved since.
    kitchen.ok(&format!("strike {} {SLIP}", kitchen.last_entry("move")));
    kitchen.ok(&correct);
    let correction = kitchen.last_entry("move");
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok(&format!("move {corrow} counter"));
    let said = kitchen.refused(1, &format!("strike {correction} {SLIP}"));
    has(
        &said,
        &format!("lot `{corrow}` was moved at that time or later already"),
    );
}

#[test]
fn a_lot_that_was_used_up_since_was_moved_before() {
    let (kitchen, corrow, alder, entry) = moved("freezer");
    kitchen.ok(&format!("use {alder} 6kg --for buns"));
    kitchen.ok(&format!("correct {entry} --lot {alder} {SLIP}"));
    lies_in(&kitchen, &corrow, "fridge");
    whole(&kitchen);
}

#[test]
fn no_lot_comes_back_to_a_place_that_was_closed_since() {
    let (kitchen, corrow, alder, entry) = moved("freezer");
    kitchen.ok(&format!("move {alder} counter"));
    kitchen.ok(&format!("use {alder} 6kg --for buns"));
    let other = kitchen.tub("Tarn Fell", "--wet 4kg --place counter --collected 10:00");
    kitchen.ok("place close fridge");
    let said = kitchen.refused(1, &format!("correct {entry} --lot {other} {SLIP}"));
    has(&said, "is closed");
    lies_in(&kitchen, &corrow, "freezer");
}

#[test]
fn a_struck_correction_of_a_use_gives_both_lots_their_grain_back() {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    kitchen.ok(&format!("use {corrow} 1kg --for bread"));
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {used} --lot {alder} {SLIP}"));
    let weigh = |first: f64, second: f64| {
        assert_eq!(kitchen.on_shelf(&corrow)["wet_g"], first);
        assert_eq!(kitchen.on_shelf(&alder)["wet_g"], second);
        whole(&kitchen);
    };
    weigh(6000.0, 5000.0);
    let correction = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {correction} {SLIP}"));
    weigh(5000.0, 6000.0);
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} {SLIP}"));
    weigh(6000.0, 5000.0);
    // Nothing is given back to a lot that is struck.
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("strike 5 {SLIP}"));
    let said = kitchen.refused(1, &format!("strike {correction} {SLIP}"));
    has(&said, "by which that lot came is struck");
    whole(&kitchen);
}
