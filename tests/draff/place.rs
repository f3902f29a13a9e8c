//! `place`: what places are stated to be, and what that means for the lots in them.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

#[test]
fn the_usual_places_are_there_without_set_up() {
    let out = Kitchen::new().ok("place list");
    for place in ["fridge", "freezer", "counter", "dry-store"] {
        assert!(out.contains(place), "{place}\n{out}");
    }
}

#[test]
fn an_own_place_takes_lots() {
    let kitchen = Kitchen::new();
    let out = kitchen.ok("place add \"Walk-in\" --kind fridge --temp 3C --capacity 400kg");
    assert!(
        out.contains("Walk-in") && out.contains("3 °C") && out.contains("400 kg"),
        "{out}"
    );
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("move {lot} --to walk-in"));
    assert_eq!(kitchen.on_shelf(&lot)["place"], "Walk-in");
    let said = kitchen.refused(1, "place add walk-IN --kind fridge");
    assert!(said.contains("place `Walk-in` exists already"), "{said}");
}

#[test]
fn a_place_stated_warmer_counts_as_warm_for_its_lots_from_then_on() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok("place change fridge --temp 9C");
    assert_eq!(kitchen.on_shelf(&lot)["warm_minutes"], json!(0));
    kitchen.at("2026-11-21T11:30:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["warm_minutes"], json!(90));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    kitchen.at("2026-11-21T12:00:00Z");
    assert_eq!(
        kitchen.on_shelf(&lot)["verdict"],
        "use-first",
        "2 h warm: no way back to the cold"
    );
    kitchen.at("2026-11-21T14:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past", "4 h warm");
}

#[test]
fn a_mended_place_stops_the_warm_time_and_never_turns_it_back() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok("place change fridge --temp 9C");
    kitchen.at("2026-11-21T11:00:00Z");
    kitchen.ok("place change fridge --temp 4C");
    kitchen.at("2026-11-22T10:00:00Z");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["warm_minutes"], json!(60));
    assert_eq!(found["verdict"], "good");
}

#[test]
fn a_statement_from_the_past_counts_from_then() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T12:00:00Z");
    kitchen.ok("place change fridge --temp 9C --at 07:00");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let said = kitchen.refused(1, "place change fridge --temp 4C --at 06:00");
    assert!(
        said.contains("was stated anew after that time already"),
        "{said}"
    );
}

#[test]
fn a_wrong_statement_can_be_struck_but_not_the_only_one() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T12:00:00Z");
    kitchen.ok("place change fridge --temp 9C --at 07:00");
    let entry = kitchen.last_entry("place");
    kitchen.ok(&format!("strike {entry} --reason \"misread\""));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    let said = kitchen.refused(1, "strike 1 --reason gone");
    assert!(said.contains("all that says what the place is"), "{said}");
}

#[test]
fn unknown_places_are_refused_with_the_known_ones() {
    let kitchen = Kitchen::new();
    let said = kitchen.refused(1, "place change attic --temp 4C");
    assert!(
        said.contains("known are fridge, freezer, counter, dry-store"),
        "{said}"
    );
    kitchen.refused(2, "place add attic --kind cupboard");
    kitchen.refused(2, "place add attic --kind fridge --temp 4");
}

#[test]
fn a_statement_about_the_future_is_refused() {
    let kitchen = Kitchen::new();
    for words in [
        "place change fridge --temp 4C --at tomorrow",
        "place add crypt --kind fridge --at 2026-12-01",
    ] {
        let said = kitchen.refused(1, words);
        assert!(said.contains("lies after now, which is"), "{said}");
    }
}

#[test]
fn a_new_place_needs_its_kind() {
    let kitchen = Kitchen::bare();
    let said = kitchen.refused(2, "place add barrel-room");
    assert!(
        said.contains("what kind of place `barrel-room` is"),
        "{said}"
    );
    assert!(
        said.contains("draff place add barrel-room --kind KIND"),
        "{said}"
    );
    assert!(!kitchen.book().exists(), "a refusal makes no book");
}

#[test]
fn a_place_is_closed_once_it_is_empty_and_its_history_stays() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place add cellar --kind fridge --temp 4C");
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("move {lot} --to cellar"));
    let said = kitchen.refused(1, "place close cellar");
    assert!(said.contains(&lot) && said.contains("draff move"), "{said}");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("move {lot} --to fridge"));
    let shown = kitchen.ok("place close cellar");
    assert!(shown.contains("fridge, closed"), "{shown}");
    let said = kitchen.refused(1, &format!("move {lot} --to cellar"));
    assert!(
        said.contains("is closed") && said.contains("draff place change"),
        "{said}"
    );
    kitchen.refused(
        1,
        "pickup --source Corrie --brewed today --wet 1kg --place cellar",
    );
    let said = kitchen.refused(1, &format!("move {lot} --to nowhere"));
    assert!(!said.contains("cellar"), "{said}");
    assert_eq!(
        kitchen.on_shelf(&lot)["verdict"],
        "good",
        "what it was counts"
    );
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok("place change cellar --temp 3C");
    kitchen.ok(&format!("move {lot} --to cellar"));
}

#[test]
fn a_fridge_that_is_too_warm_for_grain_is_said_to_be() {
    let kitchen = Kitchen::new();
    for (kind, temp, warns) in [
        ("fridge", "9C", true),
        ("fridge", "5C", false),
        ("freezer", "-10C", true),
        ("ambient", "20C", false),
    ] {
        let told = kitchen.run(&format!(
            "place add \"{kind} {temp}\" --kind {kind} --temp {temp}"
        ));
        assert_eq!(told.code, 0, "{told:?}");
        assert_eq!(told.told().contains("grain in it"), warns, "{told:?}");
    }
    let told = kitchen.run("place change fridge --temp 8C");
    assert!(told.told().contains("counts as warm"), "{told:?}");
}

#[test]
fn an_unknown_place_is_not_made_a_fridge() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    for act in [
        format!("move {lot} --to celar"),
        "place change celar --kind ambient".to_owned(),
        "pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --wet 1kg --place celar"
            .to_owned(),
    ] {
        let refused = one_line(&kitchen.run(&act).err);
        has(
            &refused,
            "`draff place add celar --kind KIND` makes it; KIND is one of hot-hold, ambient, fridge, freezer, dry-store",
        );
    }
}

#[test]
fn a_name_that_is_alike_makes_no_second_place() {
    let kitchen = Kitchen::new();
    kitchen.ok("place add Kühlhaus --kind fridge --temp 4C");
    for (typed, there) in [
        ("KÜHLHAUS", "Kühlhaus"),
        ("Ku\u{308}hlHaus", "Kühlhaus"),
        ("Ｋühlhaus", "Kühlhaus"),
        ("Ｆridge", "fridge"),
    ] {
        let said = kitchen.refused(1, &format!("place add {typed} --kind fridge"));
        has(&said, &format!("place `{there}` exists already"));
    }
    kitchen.ok("place add Kuhlhaus --kind fridge --temp 4C");
}
