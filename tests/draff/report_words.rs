//! What the report, traces, the log and `today` say: sums that add up, one unit, who wrote what, which file, which grain.

use crate::env::{Kitchen, has, one_line};

/// 4 kg and 500 g of water come to 4.45 kg, of which a count finds 4.6 kg.
#[test]
fn the_balance_of_a_report_adds_up_with_added_water_and_a_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T13:00:00Z");
    let blended = kitchen.json(&format!(
        "treat {lot} --step blend --wet-out 4.45kg --water-added 500g"
    ));
    let blended = blended["lot"].as_str().unwrap();
    kitchen.ok(&format!("count {blended} --wet 4.6kg"));
    kitchen.ok(&format!("use {blended} --wet 1kg --for buns"));
    let report = kitchen.json("report");
    let balance = &report["balance"][0];
    for (key, grams) in [
        ("added_in_treatments_wet_g", 500.0),
        ("lost_in_treatments_wet_g", 50.0),
        ("treatment_loss_wet_g", -450.0),
        ("missing_wet_g", -150.0),
    ] {
        assert_eq!(balance[key], grams, "{key}");
    }
    let words = kitchen.ok("report");
    let words = one_line(&words);
    has(
        &words,
        "4 kg came in with 1 lot, 0.5 kg of water was added in treatments, 0.15 kg more was found in counts. \
         1 kg (21.5 %) went into bakes, 0.05 kg (1.1 %) was lost in treatments, 3.6 kg is on hand at the end. \
         Balance closes to the milligram.",
    );
    has(&words, "Water added in treatments 0.5 kg");
    has(&words, "Lost in treatments 0.05 kg");
    has(&words, "Found missing (− found more) -0.15 kg");
}

#[test]
fn a_table_of_a_report_has_one_unit() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.ok(&format!("use {lot} --wet 200g --for buns"));
    let words = kitchen.ok("--us report");
    has(&words, "0.44 lb");
    for part in words.split("\n\n") {
        let units = [" lb", " oz", " g)"].iter();
        let named = units.filter(|unit| part.contains(**unit)).count();
        assert!(named <= 1, "{part}");
    }
}
