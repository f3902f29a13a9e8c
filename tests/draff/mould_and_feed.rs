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
