//! Mouldy grain is no feed: how reasons are understood, what of the rest of the lot is said, and what animals got.

use crate::env::{Kitchen, has};

#[test]
fn mould_names_what_went_to_animals_too() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!("discard {lot} --wet 3kg --as feed --reason hens"));
    kitchen.at("2026-11-21T09:00:00Z");
    let said = kitchen.told(&format!("probe {lot} --spoiled mould"));
    has(&said, "3 kg of lot");
    has(&said, "feed, hens");
}

#[test]
fn a_corrected_reason_makes_no_feed_of_mouldy_grain() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("9kg");
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --as feed --reason \"too much\""
    ));
    let entry = kitchen.last_entry("discard");
    let said = kitchen.refused(
        1,
        &format!("correct {entry} --note \"it was mouldy\" --reason x"),
    );
    has(&said, "feed");
    kitchen.refused(
        1,
        &format!("discard {lot} --wet 1kg --as feed --reason \"gone sour\""),
    );
}
