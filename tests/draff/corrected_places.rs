//! A portion, a joined lot or what came out of a treatment went to another place than the book says: its place is corrected. Codes
//! stay, what came after stands and is judged again, and no grain becomes usable that was past without the entry.

use crate::env::{Kitchen, SLIP, has, made, one_line};
use serde_json::{Value, json};

/// The entry in force by which a lot was made.
#[track_caller]
fn maker(kitchen: &Kitchen, lot: &str) -> Value {
    let log = kitchen.json("log");
    let mut entries = log["entries"].as_array().unwrap().iter();
    let found = entries.rfind(|one| one["new_lot"] == json!(lot));
    found.expect("an entry made it").clone()
}

#[track_caller]
fn number(kitchen: &Kitchen, lot: &str) -> i64 {
    maker(kitchen, lot)["entry"].as_i64().unwrap()
}

/// A kitchen on Monday 9 November at noon with 10 kg in the fridge and a second freezer.
fn tub() -> (Kitchen, String) {
    let mut kitchen = Kitchen::on_monday();
    kitchen.ok("place add fr2 --kind freezer --temp -20C --at 2026-11-01");
    let lot = kitchen.tub("Corrow Weir", "--wet 10kg");
    kitchen.at("2026-11-09T12:00:00Z");
    (kitchen, lot)
}

#[track_caller]
fn portions(kitchen: &Kitchen, lot: &str, how: &str) -> Vec<String> {
    made(&kitchen.json(&format!("portion {lot} {how}")))
}

#[track_caller]
fn place_of(kitchen: &Kitchen, lot: &str) -> Value {
    kitchen.on_shelf(lot)["place"].clone()
}

#[track_caller]
fn whole(kitchen: &Kitchen) {
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn portions_keep_their_codes_in_another_freezer_and_a_later_move_and_use_stand() {
    let (mut kitchen, lot) = tub();
    let bags = portions(&kitchen, &lot, "--into 2x1kg --to freezer");
    kitchen.at("2026-11-09T14:00:00Z");
    kitchen.ok(&format!("move {} fridge", bags[0]));
    kitchen.at("2026-11-09T15:00:00Z");
    kitchen.ok(&format!("use {} 400g --for bread", bags[0]));
    for bag in &bags {
        let was = number(&kitchen, bag);
        let said = one_line(&kitchen.ok(&format!("correct {was} --place fr2 {SLIP}")));
        has(&said, "to fr2");
        let is = maker(&kitchen, bag);
        assert_eq!(is["amends"], json!(was));
        assert_eq!(is["place"], "fr2");
        assert_eq!(is["reason"], "slip");
    }
    assert_eq!(place_of(&kitchen, &bags[0]), "fridge");
    assert_eq!(kitchen.on_shelf(&bags[0])["wet_g"], 600.0);
    assert_eq!(place_of(&kitchen, &bags[1]), "fr2");
    assert_eq!(place_of(&kitchen, &lot), "fridge");
    whole(&kitchen);
    // Nothing of it is lost on the way through files.
    kitchen.ok("export-all tables");
    kitchen.ok("--book other.draff import-all tables");
    let loaded = kitchen.json("--book other.draff shelf");
    assert_eq!(loaded["lots"], kitchen.json("shelf")["lots"]);
    // Struck, the correction leaves the entry as it was.
    let correction = number(&kitchen, &bags[1]);
    kitchen.ok(&format!("strike {correction} {SLIP}"));
    assert_eq!(place_of(&kitchen, &bags[1]), "freezer");
    whole(&kitchen);
}

#[test]
fn a_portion_that_was_in_the_warm_is_past_and_what_was_used_of_it_is_told() {
    let (mut kitchen, lot) = tub();
    let bag = portions(&kitchen, &lot, "--into 1x1kg --to freezer").remove(0);
    kitchen.at("2026-11-10T12:00:00Z");
    kitchen.ok(&format!("use {bag} 300g --for bread"));
    let part = number(&kitchen, &bag);
    let told = kitchen.told(&format!("correct {part} --place counter {SLIP}"));
    has(&told, &format!("300 g of lot `{bag}` went out at"));
    has(&told, "for bread, when it was past");
    assert_eq!(kitchen.on_shelf(&bag)["verdict"], "past");
    has(&kitchen.ok(&format!("trace {bag}")), "NOT TO BE USED then");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    whole(&kitchen);
}

/// Had nobody parted it off, it would be past in the fridge with the rest.
#[test]
fn a_past_portion_is_not_corrected_into_a_freezer() {
    let (mut kitchen, lot) = tub();
    let bag = portions(&kitchen, &lot, "--into 1x1kg").remove(0);
    kitchen.at("2026-11-25T10:00:00Z");
    assert_eq!(kitchen.on_shelf(&bag)["verdict"], "past");
    let part = number(&kitchen, &bag);
    let said = kitchen.refused(1, &format!("correct {part} --place freezer {SLIP}"));
    has(&said, "would make it usable again");
}

/// Where a strike would leave the grain good, with the rest in the freezer, so does the correction.
#[test]
fn a_portion_of_good_grain_is_good_again_where_only_its_place_made_it_past() {
    let (mut kitchen, lot) = tub();
    kitchen.ok(&format!("move {lot} freezer --at 11:00"));
    let bag = portions(&kitchen, &lot, "--into 1x1kg --to counter").remove(0);
    kitchen.at("2026-11-10T12:00:00Z");
    assert_eq!(kitchen.on_shelf(&bag)["verdict"], "past");
    let part = number(&kitchen, &bag);
    let told = kitchen.told(&format!("correct {part} --place fr2 {SLIP}"));
    has(&told, &format!("lot `{bag}` was past and is good now"));
    whole(&kitchen);
}

/// On the counter until the word comes it is past; the correction days later must not be what keeps it from that.
#[test]
fn a_word_does_not_make_a_portion_usable_that_a_late_correction_put_into_a_freezer() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-08T12:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-08 --mash-out 09:00 --wet 4kg --place counter");
    kitchen.at("2026-11-08T12:30:00Z");
    let bag = portions(&kitchen, &lot, "--into 1x1kg").remove(0);
    kitchen.at("2026-11-10T10:00:00Z");
    let part = number(&kitchen, &bag);
    kitchen.ok(&format!("correct {part} --place freezer {SLIP}"));
    let correction = number(&kitchen, &bag);
    kitchen.at("2026-11-10T10:02:00Z");
    let said = kitchen.refused(1, &format!("probe {bag} --cooled \"2026-11-08 10:30\""));
    has(
        &said,
        &format!("by entry {correction} alone, which was written late"),
    );
}

#[test]
fn all_parts_of_a_join_go_to_the_other_place() {
    let (mut kitchen, corrow, alder) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    let joined = kitchen.json(&format!("join {corrow} {alder}"))["lot"].clone();
    let joined = joined.as_str().unwrap();
    let join = number(&kitchen, joined);
    kitchen.ok(&format!("correct {join} --place freezer {SLIP}"));
    assert_eq!(place_of(&kitchen, joined), "freezer");
    let log = kitchen.json("log");
    let entries = log["entries"].as_array().unwrap().iter();
    let in_freezer = entries.filter(|one| one["kind"] == "join" && one["place"] == "freezer");
    assert_eq!(in_freezer.count(), 2);
    whole(&kitchen);
    let correction = number(&kitchen, joined);
    kitchen.ok(&format!("strike {correction} {SLIP}"));
    assert_eq!(place_of(&kitchen, joined), "fridge");
    whole(&kitchen);
}

#[test]
fn what_came_out_of_a_treatment_went_elsewhere() {
    let (kitchen, lot) = tub();
    let pressed = kitchen.json(&format!(
        "treat {lot} --step press --wet-in 4kg --wet-out 2.6kg"
    ))["lot"]
        .clone();
    let pressed = pressed.as_str().unwrap();
    let treat = number(&kitchen, pressed);
    kitchen.ok(&format!("correct {treat} --place fr2 {SLIP}"));
    assert_eq!(place_of(&kitchen, pressed), "fr2");
    assert_eq!(kitchen.on_shelf(pressed)["wet_g"], 2600.0);
    whole(&kitchen);
}

#[test]
fn no_portion_lies_in_a_place_that_was_closed_since() {
    let (mut kitchen, lot) = tub();
    let bag = portions(&kitchen, &lot, "--into 1x1kg --to freezer").remove(0);
    let part = number(&kitchen, &bag);
    kitchen.ok(&format!("correct {part} --place fr2 {SLIP}"));
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok("place close freezer");
    let correction = number(&kitchen, &bag);
    for back in [
        format!("correct {correction} --place freezer {SLIP}"),
        format!("strike {correction} {SLIP}"),
    ] {
        has(&kitchen.refused(1, &back), "is closed");
    }
    assert_eq!(place_of(&kitchen, &bag), "fr2");
    // Nor by a correction that counts again.
    kitchen.at("2026-11-09T14:00:00Z");
    kitchen.ok("place change freezer --temp -18C");
    kitchen.ok(&format!("strike {correction} {SLIP}"));
    let strike = kitchen.last_entry("strike");
    kitchen.ok("place close fr2");
    has(
        &kitchen.refused(1, &format!("strike {strike} {SLIP}")),
        "is closed",
    );
}

#[test]
fn another_place_is_corrected_once_and_the_lot_of_a_portion_never() {
    let (kitchen, lot) = tub();
    let bag = portions(&kitchen, &lot, "--into 1x1kg --to freezer").remove(0);
    let part = number(&kitchen, &bag);
    let said = kitchen.refused(1, &format!("correct {part} --place freezer {SLIP}"));
    has(&said, &format!("entry {part} says that already"));
    let said = kitchen.refused(1, &format!("correct {part} --lot {lot} {SLIP}"));
    has(
        &said,
        "Its masses, its time, its place and its note can be corrected",
    );
}
