//! A lot that is made of another at an earlier time bears what was found of that since then, and the answer warns of it.

use crate::env::{Kitchen, has};

/// A tub, and what was found of it a day later; gives the lot. An hour later still is now.
fn found(finding: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok(&finding.replace("LOT", &lot));
    kitchen.at("2026-11-21T11:00:00Z");
    (kitchen, lot)
}

/// What makes a lot of 1 kg at a time.
const MAKINGS: [&str; 3] = [
    "portion LOT --into 2x1kg AT",
    "move LOT --wet 1kg --to freezer AT",
    "treat LOT --step press --wet-in 1kg --wet-out 900g AT",
];

const BEFORE: &str = "--at \"2026-11-20 11:00\"";

#[test]
fn what_is_made_before_a_part_was_found_mouldy_has_that_warning() {
    for making in MAKINGS {
        let (kitchen, lot) = found("discard LOT --wet 500g --reason mouldy");
        let made = making.replace("LOT", &lot);
        let told = kitchen.told(&made.replace("AT", BEFORE));
        has(
            &told,
            &format!("was made of {lot} before mould or spoilage was found there"),
        );
        assert!(!told.contains("do not use"), "{told}");
        // What is made now stands beside the finding.
        let told = kitchen.told(&made.replace("AT", ""));
        assert!(!told.contains("thrown away"), "{told}");
    }
}

#[test]
fn what_is_made_before_the_lot_was_found_bad_is_not_to_be_used() {
    for (finding, limit) in [
        ("probe LOT --spoiled mould", "found spoiled: mould"),
        ("probe LOT 35C", "above 5 °C"),
    ] {
        for making in MAKINGS {
            let (kitchen, lot) = found(finding);
            let making = making.replace("LOT", &lot).replace("AT", BEFORE);
            let told = kitchen.told(&making);
            has(&told, "do not use `ALD-");
            has(&told, "which is past by what is known now");
            has(&told, limit);
        }
    }
}
