//! What an inspector found in two weeks of slips: corrections that could not be written, and remedies that were none.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

const SLIP: &str = "--reason slip";

/// A tub of this morning; gives its lot's code.
fn tub(kitchen: &Kitchen, source: &str, options: &str) -> String {
    let booked = kitchen.json(&format!(
        "pickup --source \"{source}\" --brewed today --mash-out 07:00 {options}"
    ));
    booked["lot"].as_str().unwrap().to_owned()
}

/// Tubs of two breweries, fetched on Monday at 10:00 and cold since 09:00: entries 5 and 6, 7 and 8.
fn two_tubs() -> (Kitchen, String, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T10:00:00Z");
    let cor = tub(&kitchen, "Corrow Weir", "--cooled 09:00 --wet 6kg");
    let ald = tub(&kitchen, "Alder Lane", "--cooled 09:00 --wet 6kg");
    (kitchen, cor, ald)
}

#[test]
fn what_animals_got_is_put_right_as_it_was() {
    let (mut kitchen, cor, ald) = two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!(
        "discard {ald} --wet 1kg --as feed --reason \"for the hens\""
    ));
    let hens = kitchen.last_entry("discard");
    kitchen.ok(&format!(
        "discard {cor} --wet 500g --as feed --reason \"for the pigs\""
    ));
    let pigs = kitchen.last_entry("discard");
    kitchen.at("2026-11-10T10:00:00Z");
    kitchen.ok(&format!("probe {cor} --spoiled mould"));
    kitchen.at("2026-11-10T11:00:00Z");
    kitchen.ok(&format!(
        "discard {ald} --wet 200g --as feed --reason \"for the goats\""
    ));
    let goats = kitchen.last_entry("discard");
    for (act, wet) in [
        (format!("correct {hens} --lot {cor} {SLIP}"), "1 kg of lot"),
        (format!("correct {pigs} --wet 600g {SLIP}"), "600 g of lot"),
        (
            format!(
                "discard {cor} --wet 300g --as feed --reason \"for the ducks\" --at \"2026-11-09 12:00\""
            ),
            "300 g of lot",
        ),
    ] {
        let told = kitchen.told(&act);
        has(&told, wet);
        has(&told, "had gone out by then");
    }
    // This one left after the mould was found.
    let told = kitchen.told(&format!("correct {goats} --lot {cor} {SLIP}"));
    has(&told, "200 g of lot");
    has(&told, "when it was past: found spoiled: mould");
    let trace = one_line(&kitchen.ok(&format!("trace {cor}")));
    for to in ["hens", "pigs", "ducks", "goats"] {
        has(&trace, &format!("for the {to}"));
    }
    // What is written anew is refused as ever, and nothing becomes feed that could not be written as feed.
    let said = kitchen.refused(1, &format!("discard {cor} --as feed --reason spare"));
    has(&said, "is no feed");
    kitchen.ok(&format!("discard {cor} --wet 100g --reason spare"));
    let thrown = kitchen.last_entry("discard");
    let said = kitchen.refused(1, &format!("correct {thrown} --as feed {SLIP}"));
    has(&said, "is no feed");
    assert_eq!(kitchen.on_shelf(&cor)["verdict"], "past");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn no_mould_is_no_mould() {
    let (kitchen, cor, _) = two_tubs();
    for reason in [
        "no mould, just old",
        "not mouldy",
        "dry, without mould",
        "too much, no smell",
    ] {
        kitchen.ok(&format!(
            "discard {cor} --wet 100g --as feed --reason \"{reason}\""
        ));
    }
    for reason in [
        "no, mouldy",
        "why not: mould on top",
        "no mould, but it smells",
        "not only mouldy",
        "not mouldy/rotten",
    ] {
        let said = kitchen.refused(
            1,
            &format!("discard {cor} --wet 100g --as feed --reason \"{reason}\""),
        );
        has(&said, "is no feed");
    }
}

#[test]
fn a_ticket_that_names_another_grist_source_or_form_is_untrue() {
    let (mut kitchen, cor, ald) = two_tubs();
    let mut minutes = 0;
    let mut later = |kitchen: &mut Kitchen| {
        minutes += 5;
        kitchen.at(&format!("2026-11-09T11:{minutes:02}:00Z"));
    };
    let asks = |kitchen: &Kitchen| one_line(&kitchen.ok("today")).contains("print a new ticket");
    later(&mut kitchen);
    kitchen.ok(&format!("ticket {cor} {ald}"));
    for (act, what) in [
        ("correct 5 --grist \"wheat malt 100%\"", "grist"),
        ("correct 9 --form pressed", "form"),
        ("correct 10 --source \"Tarn Fell\"", "source"),
    ] {
        later(&mut kitchen);
        assert!(!asks(&kitchen), "before: {act}");
        let told = kitchen.told(&format!("{act} {SLIP}"));
        assert_eq!(told.matches("print a new ticket").count(), 1, "{told}");
        has(&told, &format!("draff ticket {cor}"));
        let today = one_line(&kitchen.ok("today"));
        has(
            &today,
            &format!("was printed before the {what} was corrected"),
        );
        has(&today, &format!("draff ticket {cor}"));
        assert!(!today.contains(&format!("draff ticket {ald}")), "{today}");
        later(&mut kitchen);
        kitchen.ok(&format!("ticket {cor}"));
    }
    later(&mut kitchen);
    kitchen.ok("source rename \"Alder Lane\" --to \"Quern Yard\"");
    let today = one_line(&kitchen.ok("today"));
    has(&today, &format!("draff ticket {ald}"));
    has(&today, "before the source was corrected");
    later(&mut kitchen);
    kitchen.ok(&format!("ticket {ald}"));
    assert!(!asks(&kitchen));
    // A struck correction changes the label back.
    later(&mut kitchen);
    kitchen.ok("strike 11 --reason \"was right\"");
    has(
        &one_line(&kitchen.ok("today")),
        "before the source was corrected",
    );
}

#[test]
fn past_grain_that_was_unknown_before_was_not_good_until_then() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T10:00:00Z");
    let unknown = tub(&kitchen, "Corrow Weir", "--wet 6kg");
    let good = tub(&kitchen, "Alder Lane", "--cooled 09:00 --wet 6kg");
    assert_eq!(kitchen.on_shelf(&unknown)["verdict"], "unknown");
    kitchen.at("2026-11-10T10:00:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {unknown} --spoiled mould")));
    has(&said, "past, was unknown before");
    assert!(!said.contains("good until"), "{said}");
    let said = one_line(&kitchen.ok(&format!("probe {good} --spoiled mould")));
    has(&said, "past, was good until Tue 10 Nov 09:59");
    let found = kitchen.on_shelf(&unknown);
    assert_eq!(found["verdict"], "past");
    // Files say when it became past.
    assert_eq!(found["keep_until"], "2026-11-10T09:59:59+00:00");
    let shelf = kitchen.ok("shelf");
    let line = shelf.lines().find(|line| line.contains(&unknown)).unwrap();
    assert!(line.contains("was unknown"), "{line}");
}

#[test]
fn a_late_use_before_a_count_leaves_what_was_counted() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T10:00:00Z");
    let lot = tub(&kitchen, "Corrow Weir", "--cooled 09:00 --wet 10kg");
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

/// Grain that stands on the shelf by a correction although its lot was joined whole is told, and joins the others.
#[test]
fn grain_of_a_joined_lot_that_comes_back_is_told() {
    let (mut kitchen, cor, ald) = two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("move {cor} --wet 1kg --to freezer"));
    let part = kitchen.last_entry("part");
    let joined = kitchen.json(&format!("join {cor} {ald}"))["lot"].clone();
    let joined = joined.as_str().unwrap().to_owned();
    kitchen.at("2026-11-09T12:00:00Z");
    let told = kitchen.told(&format!("correct 5 --wet 8kg {SLIP}"));
    has(&told, "2 kg of lot");
    let too = format!("join {cor} {joined} --to fridge");
    has(&told, &format!("draff {too}"));
    kitchen.ok(&too);
    let told = kitchen.told(&format!("strike {part} --reason \"stayed in the tub\""));
    has(&told, "1 kg of lot");
    has(&told, &format!("draff join {cor} "));
    assert_eq!(kitchen.on_shelf(&cor)["wet_g"], 1000.0);
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn a_past_lot_is_not_to_be_thrown_away_for_an_entry_of_its_own() {
    let (mut kitchen, cor, _) = two_tubs();
    kitchen.at("2026-11-18T09:00:00Z");
    assert_eq!(kitchen.on_shelf(&cor)["verdict"], "past");
    let said = kitchen.refused(
        1,
        &format!("move {cor} --to freezer --at \"2026-11-11 10:00\""),
    );
    has(&said, "usable again");
    has(&said, &format!("draff log {cor}"));
    assert!(!said.contains("then this can be written"), "{said}");
}

/// A correction stands where its first entry stood, in the trace and for the place of the lot.
#[test]
fn a_correction_keeps_its_place_in_the_minute() {
    let (kitchen, cor, _) = two_tubs();
    kitchen.ok(&format!("probe {cor} 4C"));
    let read = kitchen.last_entry("reading");
    kitchen.ok(&format!("use {cor} --wet 1kg --for buns"));
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("move {cor} --to freezer"));
    let moved = kitchen.last_entry("move");
    kitchen.ok(&format!("correct 5 --wet 7kg {SLIP}"));
    let pickup = kitchen.last_entry("pickup");
    let trace = kitchen.json(&format!("trace {cor}"));
    assert_eq!(trace["entries"], json!([6, pickup, read, used, moved]));
    let found = kitchen.on_shelf(&cor);
    assert_eq!(found["place"], "freezer");
    assert_eq!(found["wet_g"], 6000.0);
    has(&kitchen.ok("check"), "whole");
    // A book that was kept by the order of writing is put right when it is upgraded.
    kitchen
        .sqlite()
        .execute(
            "UPDATE stock SET place_id = (SELECT id FROM place WHERE name = 'fridge')",
            [],
        )
        .unwrap();
    kitchen.chain_anew();
    assert_eq!(kitchen.on_shelf(&cor)["place"], "freezer");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn grain_is_soaked_in_the_minute_in_which_it_was_shown_dry() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-09T10:00:00Z");
    let dried = tub(
        &kitchen,
        "Corrow Weir",
        "--cooled 09:00 --form dried --wet 1kg",
    );
    kitchen.ok(&format!("probe {dried} --aw 0.5"));
    let soak = || {
        let done = kitchen.json(&format!(
            "treat {dried} --step soak --wet-in 200g --wet-out 700g --water-added 500g --place fridge"
        ));
        done["lot"].as_str().unwrap().to_owned()
    };
    assert_eq!(kitchen.on_shelf(&soak())["verdict"], "good");
}

#[test]
fn smaller_slips() {
    let (kitchen, cor, ald) = two_tubs();
    let twice = format!("use {cor} 1kg {ald} 1kg --for buns");
    kitchen.ok(&twice);
    let first = kitchen.last_entry("use");
    let told = kitchen.told(&twice);
    has(&told, &format!("draff strike {} {}", first + 1, first + 2));
    assert_eq!(told.matches("if it was typed twice").count(), 1, "{told}");
    let said = kitchen.refused(1, &format!("correct {first} --lot {ald} {SLIP}"));
    has(&said, &format!("entry {first} says that already"));
    let said = kitchen.refused(1, "place close nowhere");
    has(&said, "open are");
    has(&said, "freezer");
    assert!(!said.contains("place add"), "{said}");
}
