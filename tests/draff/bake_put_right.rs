//! What was written down of a done bake is put right in one act, grain and water of its sheet as well.

use crate::env::{Kitchen, has, one_line};
use serde_json::{Value, json};

/// Six small loaves (B-1S) written down with 700 g of a lot of 10 kg; gives the lot, another of 2 kg and the entry.
fn done(options: &str) -> (Kitchen, String, String, i64) {
    let (mut kitchen, lot) = Kitchen::with_loaf("10kg");
    let other = kitchen.tub("Bracken", "--wet 2kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --pieces 6 --share 5% --lot {lot}"
    ));
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=700g {options}"));
    let entry = kitchen.last_entry("baked");
    (kitchen, lot, other, entry)
}

fn result(kitchen: &Kitchen) -> Value {
    kitchen.json("bake show B-1S")["result"].clone()
}

#[test]
fn other_grain_of_the_same_bake_is_taken_with_the_bake() {
    let (kitchen, lot, other, entry) = done("--water 700g --pieces 6 --came-out well --note dense");
    let before = result(&kitchen);
    kitchen.ok(&format!(
        "correct {entry} --bake B-1S --used {lot}=600g --used {other}=50g --reason slip"
    ));
    let after = result(&kitchen);
    assert_eq!(
        after["draws"],
        json!([{"lot": lot, "wet_g": 600.0}, {"lot": other, "wet_g": 50.0}])
    );
    for key in [
        "mixed_at",
        "said_pour_g",
        "said_hold_back_g",
        "said_thirst_g",
        "water_g",
        "pieces",
        "came_out",
        "note",
    ] {
        assert_eq!(after[key], before[key], "{key}");
    }
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 9400.0);
    assert_eq!(kitchen.on_shelf(&other)["wet_g"], 1950.0);
    has(&one_line(&kitchen.ok(&format!("trace {other}"))), "B-1S");
    has(&kitchen.ok("check"), "The book is whole");
}

#[test]
fn the_same_bake_with_the_same_grain_changes_nothing_else_than_is_said() {
    let (kitchen, lot, _, entry) = done("--water 700g");
    let same = format!("correct {entry} --bake B-1S --used {lot}=700g --reason slip");
    has(&kitchen.refused(1, &same), "says that already");
    let draw = kitchen.last_entry("use");
    kitchen.ok(&format!("{same} --water 650g"));
    let after = result(&kitchen);
    assert_eq!(after["water_g"], 650.0);
    assert_eq!(after["draws"], json!([{"lot": lot, "wet_g": 700.0}]));
    assert_eq!(
        kitchen.last_entry("use"),
        draw,
        "the grain stands as it was"
    );
}

#[test]
fn water_far_from_a_sheet_is_told_beside_the_amounts_that_the_paper_said() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(
        "bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 12 --lot LOT"
            .replace("LOT", &lot)
            .as_str(),
    );
    let told = kitchen.told(&format!(
        "bake done B-1S --at 10:00 --used {lot}=100g --said 900g,500g --water 100g"
    ));
    has(
        &told,
        "water 100 g, and the sheet says to pour 900 g and to hold back 500 g",
    );
    // What that sheet said of the grain nobody knows.
    has(&told, "grain 100 g, and the book's own sheet says ");
}

#[test]
fn a_sheet_without_any_water_is_refused() {
    let (kitchen, _, _, entry) = done("--water 700g");
    kitchen.ok("bake add \"small loaf\" --at \"fri 18:00\" mix --pieces 6 --share 5%");
    for words in [
        "bake done B-2Q --said 0g,0g".to_owned(),
        format!("correct {entry} --said 0,0g --reason slip"),
    ] {
        let said = kitchen.refused(2, &words);
        has(&said, "--said: no sheet says 0 g to pour first");
        has(&said, "such as 626g,438g; one of them may be 0");
    }
    // Grain that may be very wet: all of the water is held back.
    kitchen.ok(&format!("correct {entry} --said 0g,438g --reason slip"));
    assert_eq!(result(&kitchen)["said_pour_g"], 0.0);
}
