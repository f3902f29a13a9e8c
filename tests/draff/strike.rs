//! `strike`: a wrong entry stays in the book and no longer counts.

use crate::env::{Kitchen, SLIP, commands_in, has};
use serde_json::json;

#[test]
fn a_struck_use_comes_back_to_stock_and_leaves_the_usage() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 10kg --for bread"));
    let entry = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {entry} --reason \"other lot\""));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(10000.0));
    assert_eq!(kitchen.json("usage")["usage"], json!([]));
    let log = kitchen.json(&format!("log {lot}"));
    let entries = log["entries"].as_array().unwrap();
    assert_eq!(entries.len(), 4, "nothing goes from the log");
    assert_eq!(entries[2]["struck_by"], entries[3]["entry"]);
    assert_eq!(entries[3]["strikes"], entries[2]["entry"]);
    assert_eq!(entries[3]["words"], "other lot");
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_struck_pickup_takes_the_lot_off_the_book() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let entry = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {entry} --reason \"never came\""));
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
    let said = kitchen.refused(1, &format!("use {lot} --wet 1kg --for bread"));
    assert!(said.contains("was struck from the book"), "{said}");
    assert_ne!(kitchen.lot("10kg"), lot, "a code is never given twice");
}

#[test]
fn a_struck_parting_gives_the_grain_back_to_the_whole() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("move {lot} --wet 4kg --to freezer"));
    let entry = kitchen.last_entry("part");
    kitchen.ok(&format!("strike {entry} --reason \"not done\""));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(10000.0));
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 1);
}

#[test]
fn a_struck_move_puts_the_lot_back() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("move {lot} --to counter"));
    let entry = kitchen.last_entry("move");
    kitchen.at("2026-11-20T18:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    kitchen.ok(&format!("strike {entry} --reason \"it stayed in\""));
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["place"], "fridge");
    assert_eq!(found["verdict"], "good");
}

#[test]
fn what_others_stand_on_is_not_struck() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let pickup = kitchen.last_entry("pickup");
    let part = kitchen.json(&format!("move {lot} --wet 4kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let parting = kitchen.last_entry("part");
    kitchen.ok(&format!("discard {part} --wet 1kg --reason dropped"));
    let dropped = kitchen.last_entry("discard");
    let said = kitchen.refused(1, &format!("strike {pickup} --reason x"));
    assert!(
        said.contains(&format!("entries {dropped}, {parting} stand on it"))
            && said.contains(&format!(
                "draff strike {dropped} {parting} {pickup} --reason TEXT"
            )),
        "{said}"
    );
    let said = kitchen.refused(1, &format!("strike {parting} --reason x"));
    assert!(
        said.contains(&format!("entry {dropped} stands on it")),
        "{said}"
    );
    for entry in [dropped, parting, pickup] {
        kitchen.ok(&format!("strike {entry} --reason \"newest first\""));
    }
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_strike_says_what_it_struck_and_is_done_once() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    let entry = kitchen.last_entry("use");
    let out = kitchen.ok(&format!("strike {entry} --reason wrong"));
    assert!(
        out.contains(&format!(
            "Struck: use of 1 kg, {lot}, Fri 20 Nov 10:00 (entry {entry})"
        )),
        "{out}"
    );
    let strike = kitchen.last_entry("strike");
    let said = kitchen.refused(1, &format!("strike {entry} --reason wrong"));
    assert!(
        said.contains(&format!("is struck already, by entry {strike}")),
        "{said}"
    );
    kitchen.refused(1, "strike 999 --reason wrong");
    kitchen.refused(2, "strike 5");
}

#[test]
fn a_strike_is_struck_and_the_whole_act_counts_again() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 4kg --for bread"));
    let entry = kitchen.last_entry("use");
    kitchen.ok(&format!("strike {entry} --reason wrong"));
    let strike = kitchen.last_entry("strike");
    let out = kitchen.ok(&format!("strike {strike} --reason \"it was right\""));
    assert!(out.contains("Counts again: use of 4 kg"), "{out}");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(6000.0));
    assert_eq!(kitchen.json("usage")["usage"].as_array().unwrap().len(), 1);
    let second = kitchen.last_entry("strike");
    let said = kitchen.refused(1, &format!("strike {second} --reason x"));
    assert!(said.contains(&format!("strike {entry}")), "{said}");
    // And out once more, and back again.
    kitchen.ok(&format!("strike {entry} --reason \"wrong after all\""));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(10000.0));
    let third = kitchen.last_entry("strike");
    kitchen.ok(&format!("use {lot} --wet 7kg --for rolls"));
    let said = kitchen.refused(1, &format!("strike {third} --reason x"));
    assert!(said.contains("more would have gone out"), "{said}");
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_struck_join_comes_back_with_all_its_parts() {
    let kitchen = Kitchen::new();
    let (one, other) = (kitchen.lot("3kg"), kitchen.lot("4kg"));
    let joined = kitchen.json(&format!("join {one} {other}"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let entry = kitchen.last_entry("join");
    kitchen.ok(&format!("strike {entry} --reason wrong"));
    assert_eq!(kitchen.on_shelf(&one)["wet_g"], json!(3000.0));
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason right"));
    assert_eq!(kitchen.on_shelf(&joined)["wet_g"], json!(7000.0));
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 1);
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn what_comes_back_is_guarded_like_new() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("move {lot} --to freezer"));
    let frozen = kitchen.last_entry("move");
    kitchen.ok(&format!("strike {frozen} --reason \"never done\""));
    let strike = kitchen.last_entry("strike");
    kitchen.at("2026-11-28T12:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    let said = kitchen.refused(1, &format!("strike {strike} --reason \"it was\""));
    assert!(said.contains("usable again"), "{said}");
    // The lot is struck: nothing about it comes back before it does.
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason old"));
    let discard = kitchen.last_entry("discard");
    kitchen.ok(&format!("strike {discard} --reason x"));
    let of_discard = kitchen.last_entry("strike");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {pickup} --reason x"));
    let of_pickup = kitchen.last_entry("strike");
    let said = kitchen.refused(1, &format!("strike {of_discard} --reason x"));
    assert!(
        said.contains(&format!("is struck, by entry {of_pickup}")),
        "{said}"
    );
    kitchen.ok(&format!("strike {of_pickup} --reason \"it did come\""));
    kitchen.ok(&format!("strike {of_discard} --reason x"));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(4000.0));
    assert!(kitchen.ok("check").contains("whole"));
}

/// A fridge at 12 °C from 11:00: 4 h later its grain is past. What shows it colder is struck after grain was used.
#[test]
fn a_struck_place_or_logger_file_says_what_was_used_past_its_date() {
    for shown_cold in [
        "place change fridge --temp 4C --at \"2026-11-20 12:00\"",
        "readings fridge --csv cold.csv",
    ] {
        let mut kitchen = Kitchen::new();
        let lot = kitchen.lot("10kg");
        kitchen.at("2026-11-20T14:00:00Z");
        kitchen.ok("place change fridge --temp 12C --at \"2026-11-20 11:00\"");
        let mut rows = String::from("time,temp C\n");
        for hour in 10..=14 {
            rows.push_str(&format!("2026-11-20 {hour}:00,3.5\n"));
        }
        kitchen.file("cold.csv", rows);
        kitchen.ok(shown_cold);
        let kind = if shown_cold.starts_with("place") {
            "place"
        } else {
            "readings"
        };
        let entry = kitchen.last_entry(kind);
        kitchen.at("2026-11-20T15:30:00Z");
        kitchen.ok(&format!("use {lot} --wet 1kg --for \"pan loaf\""));
        let ran = kitchen.run(&format!("strike {entry} --reason \"of another fridge\""));
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(
            ran.told().contains("pan loaf") && ran.told().contains("past"),
            "{shown_cold}: {}",
            ran.err
        );
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past", "{shown_cold}");
        // Striking what makes nothing worse says nothing.
        let other = kitchen.lot("1kg");
        kitchen.ok(&format!("probe {other} 4C"));
        let reading = kitchen.last_entry("reading");
        let ran = kitchen.run(&format!("strike {reading} --reason slip"));
        assert!(!ran.err.contains("pan loaf"), "{}", ran.err);
    }
}

#[test]
fn a_strike_tells_which_lots_may_be_used_again() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!("probe {lot} --spoiled \"sour smell\""));
    let entry = kitchen.last_entry("spoiled");
    let ran = kitchen.run(&format!("strike {entry} --reason \"it was the bucket\""));
    assert!(
        ran.err.contains(&lot) && ran.err.contains("was past and is good now"),
        "{}",
        ran.err
    );
}

/// Four portions that were parted off the wrong tub: one act takes them back, or none is taken back.
#[test]
fn several_entries_are_struck_in_one_act() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("portion {lot} --into 4x2kg"));
    let last = kitchen.last_entry("part");
    let numbers: Vec<String> = (last - 3..=last).map(|entry| entry.to_string()).collect();
    let numbers = numbers.join(" ");
    let before = kitchen.files();
    let said = kitchen.refused(1, &format!("strike {numbers} 999 --reason \"another tub\""));
    assert!(said.contains("no entry 999"), "{said}");
    assert!(before == kitchen.files(), "all or nothing");
    let struck = kitchen.json(&format!("strike {numbers} --reason \"another tub\""));
    assert_eq!(struck["entry"], json!(last - 3), "the first that was named");
    assert_eq!(struck["others"].as_array().unwrap().len(), 3);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(10000.0));
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 1);
    assert!(kitchen.ok("check").contains("whole"));
}

/// A pickup on which a portion rests: named together, the newest is struck first.
#[test]
fn what_rests_on_an_entry_may_be_struck_with_it() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!("portion {lot} --into 1x2kg"));
    let part = kitchen.last_entry("part");
    kitchen.refused(1, &format!("strike {pickup} --reason \"never came\""));
    kitchen.ok(&format!("strike {pickup} {part} --reason \"never came\""));
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
}

/// The grain of a bake goes back with the bake, and the answer says so.
#[test]
fn the_answer_says_which_grain_a_struck_bake_gives_back() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        include_str!("../../demo-data/formulas/pan-loaf.toml"),
    );
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("10kg");
    kitchen.ok("bake add \"Quern pan loaf\" --at \"2026-11-20 10:00\" mix --pieces 12");
    kitchen.ok(&format!("bake done B-1S --used {lot}=2kg"));
    let entry = kitchen.last_entry("baked");
    let said = kitchen.ok(&format!("strike {entry} --reason \"another day\""));
    assert!(
        said.contains(&format!("Struck with it: use of 2 kg, {lot}")),
        "{said}"
    );
}

/// A bake stands for its draws, an entry that was corrected for its correction: one line takes all of it back.
/// Corrected grain of a bake is named with what counts in its place, and the command that is printed takes all of it back.
#[test]
fn corrected_grain_that_is_struck_with_its_bake_names_what_counts_in_its_place() {
    let (kitchen, lot) = Kitchen::with_loaf("10kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-20 10:00\" mix --pieces 12");
    kitchen.ok(&format!("bake done B-1S --used {lot}=1kg"));
    let (first, done) = (kitchen.last_entry("use"), kitchen.last_entry("baked"));
    let correct = |wrong: i64, wet: &str| {
        kitchen.ok(&format!("correct {wrong} --wet {wet} {SLIP}"));
        kitchen.last_entry("use")
    };
    let counts = correct(correct(first, "2kg"), "3kg");
    let said = kitchen.refused(1, &format!("strike {first} {done} {SLIP}"));
    has(&said, &format!("entry {counts} stands in its place"));
    let command = format!("strike {done} --reason TEXT");
    has(&said, &format!("draff {command}"));
    kitchen.ok(&command);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(10000.0));
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn what_stands_on_a_pickup_is_named_to_the_last_and_struck_in_one_act() {
    let (kitchen, lot) = Kitchen::with_loaf("10kg");
    let pickup = kitchen.last_entry("pickup");
    let part = kitchen.json(&format!("move {lot} --wet 6kg --to freezer"))["lot"].clone();
    kitchen.ok(&format!(
        "discard {} --wet 1kg --reason dropped",
        part.as_str().unwrap()
    ));
    let dropped = kitchen.last_entry("discard");
    kitchen.ok(&format!("correct {dropped} --wet 1.2kg --reason misread"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-20 10:30\" mix --pieces 4");
    kitchen.ok(&format!("bake done B-1S --used {lot}=800g --at now"));
    let said = kitchen.refused(1, &format!("strike {pickup} --reason \"never came\""));
    let line = said
        .split("draff strike ")
        .nth(1)
        .unwrap()
        .split(" --reason")
        .next()
        .unwrap();
    let numbers: Vec<&str> = line.split_whitespace().collect();
    assert_eq!(numbers.len(), 5, "{said}");
    assert!(
        numbers.contains(&kitchen.last_entry("baked").to_string().as_str()),
        "{said}"
    );
    kitchen.ok(&format!(
        "strike {} --reason \"never came\"",
        numbers.join(" ")
    ));
    assert_eq!(kitchen.json("shelf")["lots"], serde_json::json!([]));
    has(&kitchen.ok("check"), "whole");
}

/// Grain that stands on the shelf by a correction although its lot was joined whole is told, and joins the others.
#[test]
fn grain_of_a_joined_lot_that_comes_back_is_told() {
    let (mut kitchen, cor, ald) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    kitchen.ok(&format!("move {cor} --wet 1kg --to freezer"));
    let part = kitchen.last_entry("part");
    let joined = kitchen.json(&format!("join {cor} {ald}"))["lot"].clone();
    let joined = joined.as_str().unwrap().to_owned();
    kitchen.at("2026-11-09T12:00:00Z");
    let told = kitchen.told(&format!("correct 5 --wet 8kg {SLIP}"));
    has(&told, "2 kg of lot");
    // The joined lot keeps its code.
    let typed = |told: &str| {
        let command = commands_in(told).into_iter();
        let mut corrections = command.filter(|one| one.starts_with("correct"));
        corrections.next().expect("a correction of the join")
    };
    kitchen.ok(&typed(&told));
    assert_eq!(kitchen.on_shelf(&joined)["wet_g"], 13000.0);
    let told = kitchen.told(&format!("strike {part} --reason \"stayed in the tub\""));
    has(&told, "1 kg of lot");
    assert_eq!(kitchen.on_shelf(&cor)["wet_g"], 1000.0);
    kitchen.ok(&typed(&told));
    assert_eq!(kitchen.on_shelf(&joined)["wet_g"], 14000.0);
    has(&kitchen.ok("check"), "whole");
}

/// Grain that comes back beside grain of the same lot is told like the first, with what makes all of it part of the joined lot.
#[test]
fn grain_that_comes_back_beside_grain_of_a_joined_lot_is_told_each_time() {
    let (mut kitchen, cor, ald) = Kitchen::with_two_tubs();
    kitchen.at("2026-11-09T11:00:00Z");
    let joined = kitchen.json(&format!("join {cor} {ald}"))["lot"].clone();
    let joined = joined.as_str().unwrap().to_owned();
    kitchen.at("2026-11-09T12:00:00Z");
    let told = kitchen.told(&format!("correct 5 --wet 8kg {SLIP}"));
    has(
        &told,
        &format!("2 kg of lot `{cor}` stand on the shelf by this"),
    );
    let pickup = kitchen.last_entry("pickup");
    let told = kitchen.told(&format!("correct {pickup} --wet 9kg {SLIP}"));
    has(
        &told,
        &format!(
            "3 kg of lot `{cor}` stand on the shelf, 1 kg of it by this; all of it had been joined"
        ),
    );
    let commands = commands_in(&told);
    let correct = commands.iter().find(|one| one.starts_with("correct"));
    kitchen.ok(correct.expect("a correction of the join"));
    assert_eq!(kitchen.on_shelf(&joined)["wet_g"], 15000.0);
    has(&kitchen.ok("check"), "whole");
}

/// The rest of a lot of which a part went into another was there all the time.
#[test]
fn grain_that_comes_back_beside_the_rest_of_a_lot_is_no_surprise() {
    let (kitchen, cor, _) = Kitchen::with_two_tubs();
    kitchen.ok(&format!("move {cor} --wet 1kg --to freezer"));
    let told = kitchen.told(&format!("correct 5 --wet 8kg {SLIP}"));
    assert!(!told.contains("stand on the shelf"), "{told}");
}

#[test]
fn past_grain_that_comes_back_by_a_strike_is_told_each_time() {
    let (mut kitchen, cor, _) = Kitchen::with_two_tubs();
    let used = |wet: &str, bread: &str| {
        kitchen.ok(&format!("use {cor} --wet {wet} --for {bread}"));
        kitchen.last_entry("use")
    };
    let (rolls, loaves) = (used("2kg", "rolls"), used("4kg", "loaves"));
    kitchen.at("2026-11-25T10:00:00Z");
    let told = kitchen.told(&format!("strike {rolls} {SLIP}"));
    has(
        &told,
        &format!("2 kg of lot `{cor}`, which is past, stand on the shelf by this"),
    );
    let told = kitchen.told(&format!("strike {loaves} {SLIP}"));
    has(
        &told,
        &format!("6 kg of lot `{cor}`, which is past, stand on the shelf, 4 kg of it by this"),
    );
}
