//! Past grain: what is said of it and what to do with it, and who is named where grain is past that went out
//! or lies there still.

use crate::env::{Kitchen, has};

/// A move that nobody wrote down makes grain past that somebody was given meanwhile.
#[test]
fn a_late_move_names_who_got_the_grain() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.at("2026-11-21T12:30:00Z");
    kitchen.ok(&format!("give {lot} --wet 1kg --to Nan"));
    kitchen.at("2026-11-21T13:00:00Z");
    let told = kitchen.told(&format!(
        "move {lot} --to counter --at \"2026-11-20 20:00\""
    ));
    has(&told, "1 kg");
    has(&told, "Nan");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
}

#[test]
fn a_place_that_was_warmer_names_lots_and_who_got_the_grain() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.at("2026-11-21T12:30:00Z");
    kitchen.ok(&format!("give {lot} --wet 1kg --to Nan"));
    kitchen.at("2026-11-21T13:00:00Z");
    let told = kitchen.told("place change fridge --temp 12C --at \"2026-11-20 20:00\"");
    has(&told, "Nan");
    has(&told, &format!("do not use `{lot}`, which is past"));
}

/// Eight bags are made of a tub: a correction of the tub's mash-out is one of all of them.
#[test]
fn a_correction_names_what_on_hand_may_not_be_used_any_more() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    let pickup = kitchen.last_entry("pickup");
    let cold = kitchen.last_entry("cooled");
    kitchen.at("2026-11-20T10:10:00Z");
    let bags = kitchen.json(&format!("portion {lot} --into 8x1kg"));
    let bags: Vec<&str> = bags["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|bag| bag["lot"].as_str().unwrap())
        .collect();
    kitchen.at("2026-11-20T10:20:00Z");
    let struck = kitchen.told(&format!("strike {cold} --reason \"another tub\""));
    for bag in &bags {
        has(&struck, &format!("do not use `{bag}`, which is unknown"));
    }
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("strike {strike} --reason \"it was this one\""));
    let corrected = kitchen.told(&format!("correct {pickup} --mash-out 02:00 --reason sheet"));
    has(
        &corrected,
        &format!("do not use `{}`, which is unknown", bags[7]),
    );
}
