//! Warm time: carried to where nobody measures, ended by a thermometer of the present minute, and told where there
//! are several.

use crate::env::{Kitchen, has, one_line};

/// Cold on Friday, 9 °C on Monday: nobody knows when it warmed up, and the answer says so.
#[test]
fn a_warm_reading_after_days_says_why_all_of_them_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-20T11:00:00Z");
    let told = kitchen.told(&format!("probe {lot} 6C"));
    assert!(!told.contains("nobody measured"), "{told}");
    let lot = kitchen.lot("2kg");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-23T09:00:00Z");
    let told = kitchen.told(&format!("probe {lot} 9C"));
    let told = one_line(&told);
    has(&told, "nobody measured");
    has(&told, "since Fri 20 Nov 11:00");
}
