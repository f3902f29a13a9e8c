//! A part of a lot that was thrown away as mouldy: a warning of the rest and of what was made of it, and no feed.

use crate::env::{Kitchen, LOAF, SLIP, has, made, one_line};

const WARNS: &str = "Mould reaches further than it shows";

/// On Monday at 11:00, with 6 kg of Corrow Weir of which 200 g were thrown away as mouldy just now; gives the code and the
/// entry.
fn mouldy_on_top() -> (Kitchen, String, i64) {
    let mut kitchen = Kitchen::on_monday();
    let lot = kitchen.tub("Corrow Weir", "--wet 6kg");
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!(
        "discard {lot} --wet 200g --as compost --reason \"mouldy on top\""
    ));
    let thrown = kitchen.last_entry("discard");
    kitchen.at("2026-11-09T12:00:00Z");
    (kitchen, lot, thrown)
}

fn feed(lot: &str) -> String {
    format!("discard {lot} --wet 100g --as feed --reason \"for the hens\"")
}

fn portion(kitchen: &Kitchen, lot: &str) -> String {
    made(&kitchen.json(&format!("portion {lot} --into 1x500g"))).remove(0)
}

#[track_caller]
fn warns(said: &str) {
    has(&one_line(said), WARNS);
}

#[track_caller]
fn warns_of_nothing(said: &str) {
    assert!(!one_line(said).contains(WARNS), "{said}");
}

#[test]
fn nothing_that_was_made_of_it_since_goes_as_feed() {
    let (mut kitchen, lot, thrown) = mouldy_on_top();
    let tub = portion(&kitchen, &lot);
    let press = format!("treat {lot} --step press --wet-in 1kg --wet-out 700g");
    let pressed = kitchen.json(&press)["lot"].as_str().unwrap().to_owned();
    let of_tub = made(&kitchen.json(&format!("portion {tub} --into 1x200g"))).remove(0);
    let other = kitchen.tub("Corrow Weir", "--wet 1kg");
    kitchen.at("2026-11-09T13:00:00Z");
    let answer = kitchen.json(&format!("join {tub} {other}"));
    let joined = answer["lot"].as_str().unwrap().to_owned();
    for one in [&lot, &pressed, &of_tub, &joined] {
        has(&kitchen.refused(1, &feed(one)), "is no feed");
    }
    // What was thrown away otherwise does not become feed by a correction.
    kitchen.ok(&format!("discard {of_tub} --wet 100g --reason spare"));
    let spare = kitchen.last_entry("discard");
    let said = kitchen.refused(1, &format!("correct {spare} --as feed {SLIP}"));
    has(&said, "is no feed");
    kitchen.ok(&format!("strike {thrown} --reason \"other tub\""));
    for one in [&lot, &pressed, &of_tub, &joined] {
        kitchen.ok(&feed(one));
    }
}

#[test]
fn people_are_warned_as_long_as_the_entry_counts() {
    let (kitchen, lot, thrown) = mouldy_on_top();
    let tub = portion(&kitchen, &lot);
    let said = kitchen.told(&format!("use {lot} --wet 100g --for bread"));
    has(
        &said,
        &format!("part of {lot} was thrown away as mouldy or spoiled on Mon 9 Nov"),
    );
    has(
        &said,
        "if the rest is mouldy or smells bad, throw all of it out",
    );
    let said = kitchen.told(&format!("give {tub} --wet 100g --to kids"));
    has(
        &said,
        &format!("{tub} was made of {lot}: part of that was thrown away"),
    );
    warns(&said);
    let other = kitchen.tub("Corrow Weir", "--wet 1kg");
    warns(&kitchen.told(&format!("join {tub} {other}")));
    kitchen.ok(&format!("correct {thrown} --note \"flour on top\" {SLIP}"));
    warns_of_nothing(&kitchen.told(&format!("use {lot} --wet 100g --for bread")));
    warns_of_nothing(&kitchen.told(&format!("give {lot} --wet 100g --to kids")));
    assert!(kitchen.on_shelf(&lot)["part_spoiled_at"].is_null());
}

#[test]
fn it_stands_wherever_the_lot_is_shown_and_changes_no_verdict() {
    let (mut kitchen, lot, thrown) = mouldy_on_top();
    let tub = portion(&kitchen, &lot);
    for one in [&lot, &tub] {
        let found = kitchen.on_shelf(one);
        assert_eq!(found["verdict"], "good");
        assert_eq!(found["part_spoiled_at"], "2026-11-09T11:00:00+00:00");
        let ticket = kitchen.json(&format!("ticket {one}"));
        assert_eq!(
            ticket["tickets"][0]["part_spoiled_at"],
            "2026-11-09T11:00:00+00:00"
        );
        has(
            &one_line(&kitchen.ok(&format!("ticket {one}"))),
            "Part thrown away spoiled, Mon 9 Nov: look before use",
        );
    }
    // Each lot has it in its own line, however little else is said.
    for words in ["shelf", "--quiet shelf"] {
        let said = one_line(&kitchen.ok(words));
        assert_eq!(said.matches(WARNS).count(), 2, "{said}");
    }
    kitchen.at("2026-11-14T11:30:00Z");
    let said = one_line(&kitchen.ok("today"));
    assert_eq!(said.matches(WARNS).count(), 2, "{said}");
    kitchen.ok(&format!("strike {thrown} --reason \"other tub\""));
    for words in ["today", "shelf", &format!("ticket {tub}")] {
        let said = one_line(&kitchen.ok(words));
        assert!(!said.contains(WARNS) && !said.contains("spoiled"), "{said}");
    }
}

#[test]
fn the_sheet_and_the_finished_bake_tell_it() {
    let (kitchen, lot, _) = mouldy_on_top();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-10 06:00\" mix --pieces 12 --lot {lot}"
    ));
    warns(&kitchen.ok("sheet B-1S"));
    let sheet = kitchen.json("sheet B-1S");
    assert_eq!(
        sheet["draws"][0]["part_spoiled_at"],
        "2026-11-09T11:00:00+00:00"
    );
    warns(&kitchen.told(&format!("bake done B-1S --used {lot}=957g")));
}

#[test]
fn what_is_thrown_away_for_another_reason_speaks_of_no_other_lot() {
    let mut kitchen = Kitchen::on_monday();
    let lot = kitchen.tub("Corrow Weir", "--wet 6kg");
    let early = portion(&kitchen, &lot);
    kitchen.at("2026-11-09T11:00:00Z");
    let said = kitchen.told(&format!("discard {lot} --wet 200g --reason dropped"));
    assert!(!said.contains("look at"), "{said}");
    assert!(kitchen.on_shelf(&early)["part_spoiled_at"].is_null());
    kitchen.ok(&feed(&early));
}

/// An earlier time would else take the mark off the same tub.
#[test]
fn what_is_written_after_the_mould_was_found_is_marked_at_whatever_time_it_was_made() {
    let (mut kitchen, lot, thrown) = mouldy_on_top();
    let tub = made(&kitchen.json(&format!("portion {lot} --into 1x1kg --at 10:30"))).remove(0);
    let press = format!("treat {lot} --step press --wet-in 1kg --wet-out 700g --at 10:30");
    let pressed = kitchen.json(&press)["lot"].as_str().unwrap().to_owned();
    let of_tub = made(&kitchen.json(&format!("portion {tub} --into 1x300g --at 10:40"))).remove(0);
    kitchen.at("2026-11-09T12:10:00Z");
    for one in [&tub, &pressed, &of_tub] {
        let found = kitchen.on_shelf(one);
        assert_eq!(found["part_spoiled_at"], "2026-11-09T11:00:00+00:00");
        has(&kitchen.refused(1, &feed(one)), "is no feed");
        warns(&kitchen.told(&format!("use {one} --wet 50g --for bread")));
    }
    kitchen.ok(&format!("strike {thrown} --reason \"other tub\""));
    for one in [&tub, &pressed, &of_tub] {
        kitchen.ok(&feed(one));
    }
}

#[test]
fn german_words_name_spoilage_too() {
    for (reason, is_spoiled) in [
        ("schimmelig", true),
        ("Schimmel", true),
        ("verdorben", true),
        ("faul", true),
        ("riecht sauer", true),
        ("Fäulnis am Rand", true),
        ("kein Schimmel", false),
        ("für Sauerteig", false),
        ("fault of the lid", false),
    ] {
        let mut kitchen = Kitchen::on_monday();
        let lot = kitchen.tub("Corrow Weir", "--wet 6kg");
        kitchen.at("2026-11-09T11:00:00Z");
        kitchen.ok(&format!(
            "discard {lot} --wet 200g --as compost --reason \"{reason}\""
        ));
        let marked = !kitchen.on_shelf(&lot)["part_spoiled_at"].is_null();
        assert_eq!(marked, is_spoiled, "{reason}");
    }
}
