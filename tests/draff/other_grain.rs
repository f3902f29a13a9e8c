//! A bake that takes other grain than its sheet says is told so, with what puts a slip right.

use crate::env::{Kitchen, has};

/// Two tubs; a bake that names the first.
fn named() -> (Kitchen, String, String) {
    let (mut kitchen, lot) = Kitchen::with_loaf("4kg");
    let other = kitchen.tub("Bracken", "--wet 4kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --lot {lot}"
    ));
    kitchen.at("2026-11-20T15:00:00Z");
    (kitchen, lot, other)
}

#[test]
fn another_lot_than_the_bake_names_is_told() {
    let (kitchen, lot, other) = named();
    let told = kitchen.told(&format!("bake done B-1S --used {other}=800g"));
    has(&told, "the sheet of B-1S says ");
    has(&told, &format!("of {lot}, and {other} is booked"));
    let used = kitchen.last_entry("use");
    let correct = format!("correct {used} --lot {lot} --reason ");
    has(&told, &format!("`draff {correct}TEXT`"));
    kitchen.ok(&format!("{correct}slip"));
    assert_eq!(kitchen.on_shelf(&other)["wet_g"], 4000.0);
}

#[test]
fn the_lot_that_the_bake_names_is_no_slip() {
    for used in ["LOT=800g", "LOT=500g --used MORE=300g"] {
        let (kitchen, lot, other) = named();
        let used = used.replace("LOT", &lot).replace("MORE", &other);
        let told = kitchen.told(&format!("bake done B-1S --used {used}"));
        assert!(!told.contains("the sheet of B-1S says"), "{told}");
    }
}

/// A part of a lot is grain of that lot.
#[test]
fn a_part_of_the_lot_that_the_bake_names_is_no_slip() {
    let (mut kitchen, lot) = Kitchen::with_loaf("4kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --lot {lot}"
    ));
    let part = kitchen.json(&format!("portion {lot} --into 1x1kg"));
    let part = crate::env::made(&part).remove(0);
    kitchen.at("2026-11-20T15:00:00Z");
    let told = kitchen.told(&format!("bake done B-1S --used {part}=800g"));
    assert!(!told.contains("the sheet of B-1S says"), "{told}");
}

#[test]
fn another_lot_than_was_promised_is_told() {
    let (mut kitchen, lot) = Kitchen::with_accepted_plan(24);
    let other = kitchen.tub("Bracken", "--wet 4kg");
    kitchen.at("2026-11-22T07:00:00Z");
    let told = kitchen.told(&format!("bake done B-1S --used {other}=1kg"));
    has(&told, "B-1S was promised ");
    has(&told, &format!("{other} is booked. If that is a slip"));
    assert!(told.contains(&lot), "{told}");
}
