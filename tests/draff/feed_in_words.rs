//! A reason that names animals or feed is no way around what is asked of feed.

use crate::env::{Kitchen, SLIP, has};

fn discard(lot: &str, reason: &str, rest: &str) -> String {
    format!("discard {lot} --wet 100g --reason \"{reason}\" {rest}")
}

#[test]
fn grain_for_animals_is_asked_how_it_ends() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    for reason in [
        "fed to the hens",
        "for the pigs",
        "spare, not for the pigs",
        "too bad for feed",
        "für die Hühner",
    ] {
        let said = kitchen.refused(1, &discard(&lot, reason, ""));
        has(&said, "names animals or feed");
        has(&said, "--as feed if animals get it");
        has(&said, "--as compost or --as waste");
        kitchen.ok(&discard(&lot, reason, "--as feed"));
        kitchen.ok(&discard(&lot, reason, "--as waste"));
    }
    kitchen.ok(&discard(&lot, "pigment on the lid", ""));
}

#[test]
fn spoiled_grain_for_animals_is_refused_as_feed() {
    let mut kitchen = Kitchen::on_monday();
    let lot = kitchen.tub("Corrow Weir", "--wet 6kg");
    let said = kitchen.refused(1, &discard(&lot, "mouldy, for the pigs", ""));
    has(&said, "is no feed");
    kitchen.ok(&discard(&lot, "mouldy, not for the pigs", "--as compost"));
    kitchen.at("2026-11-09T11:00:00Z");
    // Now it is known of the rest too, whatever the reason says.
    let said = kitchen.refused(1, &discard(&lot, "for the pigs", ""));
    has(&said, "is no feed");
}

#[test]
fn a_corrected_reason_is_asked_too() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.ok(&discard(&lot, "spare", ""));
    let entry = kitchen.last_entry("discard");
    let correct = format!("correct {entry} --note \"for the hens\" {SLIP}");
    has(&kitchen.refused(1, &correct), "names animals or feed");
    kitchen.ok(&format!("{correct} --as feed"));
}
