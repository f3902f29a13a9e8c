//! What was written down of the wrong bake is moved to the right one by one act: with its grain, and with all that follows from it.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::{Value, json};

/// A kitchen with two bakes of 6 small loaves, Friday at 12:00 and at 13:00, and the first written down at 15:00 though the second
/// was meant; gives the lot and the entry.
fn slip(options: &str) -> (Kitchen, String, i64) {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    for words in [
        "formula add loaf.toml",
        "settings tap 20C",
        "settings room 21C",
    ] {
        kitchen.ok(words);
    }
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    for at in ["12:00", "13:00"] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"fri {at}\" mix --pieces 6 --share 5% --lot {lot}"
        ));
    }
    kitchen.at("2026-11-20 15:00");
    kitchen.ok(&format!(
        "bake done B-1S --at 13:00 --used {lot}=700g {options}"
    ));
    let entry = kitchen.last_entry("baked");
    (kitchen, lot, entry)
}

fn result(kitchen: &Kitchen, bake: &str) -> Value {
    kitchen.json(&format!("bake show {bake}"))["result"].clone()
}

#[test]
fn a_done_bake_is_moved_to_the_bake_that_was_meant() {
    let (kitchen, lot, entry) = slip(
        "--water 700g --pieces 6 --baked 4.1kg --came-out well --dough-temp 25C --grain-temp 4C --note dense",
    );
    let before = result(&kitchen, "B-1S");
    let left = kitchen.on_shelf(&lot)["wet_g"].clone();
    let ran = kitchen.run(&format!(
        "--json correct {entry} --bake B-2Q --reason \"the other oven\""
    ));
    assert_eq!(ran.code, 0, "{}", ran.err);
    let answer: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(answer["entry"], entry);
    assert_eq!(answer["corrected_by"], kitchen.last_entry("baked"));
    assert_eq!(answer["bake"]["bake"], "B-2Q");
    assert_eq!(result(&kitchen, "B-1S"), json!(null), "open again");
    let after = result(&kitchen, "B-2Q");
    for key in [
        "mixed_at",
        "draws",
        "water_g",
        "pieces",
        "baked_g",
        "came_out",
        "measured_dough_c",
        "mixing_rise_k",
        "note",
    ] {
        assert_eq!(after[key], before[key], "{key}");
    }
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], left);
    // Both stand in the log, with the reason.
    let log = one_line(&kitchen.ok("log"));
    for part in ["B-1S", "B-2Q", "the other oven"] {
        has(&log, part);
    }
    let trace = one_line(&kitchen.ok(&format!("trace {lot}")));
    has(&trace, "B-2Q");
    has(&one_line(&kitchen.ok("report")), "1 of 1 bake");
    has(&kitchen.ok("check"), "The book is whole");
    // The first is written down of its own grain.
    kitchen.ok(&format!("bake done B-1S --at 12:00 --used {lot}=650g"));
    has(&kitchen.ok("check"), "The book is whole");
}

#[test]
fn what_else_was_wrong_is_corrected_by_the_same_act() {
    let (kitchen, lot, entry) = slip("--water 700g --pieces 6");
    let said = one_line(&kitchen.ok(&format!(
        "correct {entry} --bake B-2Q --pieces 5 --at 13:10 --reason slip"
    )));
    has(&said, "Corrected: baked, B-1S");
    has(&said, "B-2Q");
    let after = result(&kitchen, "B-2Q");
    assert_eq!(
        (&after["pieces"], &after["water_g"]),
        (&json!(5), &json!(700.0))
    );
    assert!(after["mixed_at"].as_str().unwrap().contains("T13:10"));
    assert_eq!(after["draws"][0]["lot"], json!(lot));
}

/// A bake that was corrected before goes as it counts, with all of its corrections.
#[test]
fn a_corrected_bake_is_moved_as_it_counts() {
    let (kitchen, lot, entry) = slip("--water 700g");
    kitchen.ok(&format!(
        "correct {entry} --at 13:20 --water 650g --reason slip"
    ));
    let moved = kitchen.last_entry("baked");
    let grain = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {grain} --wet 750g --reason slip"));
    kitchen.refused(1, &format!("correct {entry} --bake B-2Q --reason slip"));
    kitchen.ok(&format!("correct {moved} --bake B-2Q --reason slip"));
    assert_eq!(result(&kitchen, "B-1S"), json!(null));
    let after = result(&kitchen, "B-2Q");
    assert_eq!(after["water_g"], 650.0);
    assert_eq!(after["draws"][0]["wet_g"], 750.0);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 9250.0);
    has(&kitchen.ok("check"), "The book is whole");
}

#[test]
fn a_bake_that_is_done_or_dropped_or_the_same_takes_no_other() {
    let (kitchen, lot, entry) = slip("");
    has(
        &kitchen.refused(1, &format!("correct {entry} --bake B-1S --reason slip")),
        "says that already",
    );
    kitchen.refused(1, &format!("correct {entry} --bake B-3O --reason slip"));
    kitchen.ok(&format!("bake done B-2Q --used {lot}=700g"));
    kitchen.refused(1, &format!("correct {entry} --bake B-2Q --reason slip"));
    let done = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {done} --reason slip"));
    kitchen.ok("bake drop B-2Q");
    kitchen.refused(1, &format!("correct {entry} --bake B-2Q --reason slip"));
    // What is not a done bake has no bake to correct; the grain of one names the entry that has.
    let pickup = kitchen.last_entry("pickup");
    kitchen.refused(1, &format!("correct {pickup} --bake B-2Q --reason slip"));
    let said = kitchen.refused(
        1,
        &format!("correct {} --bake B-2Q --reason slip", entry - 1),
    );
    has(&said, &format!("{entry}"));
}

/// What is in the dough is in it: the bread is marked, as after `bake done --used`.
#[test]
fn grain_that_does_not_suit_the_bake_that_was_meant_is_booked_and_told() {
    let (mut kitchen, _, entry) = slip("");
    kitchen.at("2026-11-20 15:05");
    kitchen.ok("bake add \"small loaf\" --at \"fri 16:00\" mix --pieces 6 --free-of barley");
    let said = kitchen.told(&format!("correct {entry} --bake B-3O --reason slip"));
    has(&said, "B-3O was to be free of barley");
    has(&one_line(&kitchen.ok("trace B-3O")), "BARLEY");
}

/// Grain that is found past afterwards: the mark goes to the bread that was made of it.
#[test]
fn a_mark_goes_to_the_bake_that_was_meant() {
    let (mut kitchen, lot, entry) = slip("");
    kitchen.at("2026-11-20 15:30");
    kitchen.ok(&format!("correct {entry} --bake B-2Q --reason slip"));
    kitchen.ok(&format!("probe {lot} --spoiled mould --at 12:30"));
    let trace = one_line(&kitchen.ok("trace B-2Q"));
    has(&trace, "NOT TO BE USED then, as known now");
}

/// The bake that was meant may have been made of other grain: that is said with it, or told.
#[test]
fn the_grain_of_the_bake_that_was_meant_is_said_with_it() {
    let two = || {
        let (mut kitchen, lot) = Kitchen::with_loaf("4kg");
        let other = kitchen.tub("Bracken", "--wet 4kg");
        for (at, lot) in [("12:00", &lot), ("13:00", &other)] {
            kitchen.ok(&format!(
                "bake add \"small loaf\" --at \"fri {at}\" mix --lot {lot}"
            ));
        }
        kitchen.at("2026-11-20T15:00:00Z");
        kitchen.ok(&format!("bake done B-1S --at 13:00 --used {lot}=800g"));
        let entry = kitchen.last_entry("baked");
        (kitchen, lot, other, entry)
    };
    let (kitchen, lot, other, entry) = two();
    let told = kitchen.told(&format!("correct {entry} --bake B-2Q --reason slip"));
    has(&told, "the sheet of B-2Q says ");
    let correct = format!("correct {} --lot {other}", kitchen.last_entry("use"));
    has(&told, &format!("of {other}, and {lot} is booked"));
    has(&told, &format!("`draff {correct} --reason TEXT`"));
    let (kitchen, lot, other, entry) = two();
    let told = kitchen.told(&format!(
        "correct {entry} --bake B-2Q --used {other}=750g --reason slip"
    ));
    assert!(!told.contains("the sheet of B-2Q says"), "{told}");
    let draws = result(&kitchen, "B-2Q")["draws"].clone();
    assert_eq!(draws.as_array().unwrap().len(), 1);
    assert_eq!(draws[0]["lot"], other.as_str());
    assert_eq!(draws[0]["wet_g"], 750.0);
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 4000.0);
    kitchen.ok("check");
    let entry = kitchen.last_entry("baked");
    kitchen.refused(
        2,
        &format!("correct {entry} --used {lot}=1kg --reason slip"),
    );
}
