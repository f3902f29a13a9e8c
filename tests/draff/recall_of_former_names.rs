//! A recall by source reaches grain under a slip of any name that the source ever had.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

const FELL: &str = "--brewed 2026-11-20 --mash-out 07:30 --wet 4kg";

/// Whichever name is asked for, the slip is found.
#[track_caller]
fn finds_the_slip(kitchen: &Kitchen, slip: &str, names: &[&str]) {
    for name in names {
        let ask = format!("trace --source \"{name}\"");
        let trace = kitchen.json(&ask);
        assert_eq!(trace["near_sources"], json!(["Tarn Fel"]), "{name}");
        let lots = trace["lots"].as_array().unwrap();
        assert!(
            lots.iter().any(|lot| lot["lot"] == slip),
            "{name}: {lots:?}"
        );
        let words = one_line(&kitchen.ok(&ask));
        has(&words, "not all may be accounted for");
        assert!(!words.contains("100 % accounted for"), "{words}");
    }
}

#[test]
fn a_slip_of_the_name_before_a_rename_is_found_by_the_new_name() {
    let kitchen = Kitchen::new();
    kitchen.pickup_from("Tarn Fell", FELL);
    kitchen.ok("source rename \"Tarn Fell\" --to \"Beck Mill\"");
    let slip = kitchen.pickup_from("Tarn Fel", &format!("--new-source {FELL}"));
    finds_the_slip(&kitchen, &slip, &["Beck Mill", "Tarn Fell"]);
}

#[test]
fn a_slip_of_the_name_of_a_merged_source_is_found_by_the_name_of_the_other() {
    let kitchen = Kitchen::new();
    kitchen.pickup_from("Tarn Fell", FELL);
    kitchen.pickup_from("Beck Mill", FELL);
    kitchen.ok("source merge \"Tarn Fell\" --into \"Beck Mill\"");
    let slip = kitchen.pickup_from("Tarn Fel", &format!("--new-source {FELL}"));
    finds_the_slip(&kitchen, &slip, &["Beck Mill", "Tarn Fell"]);
}

/// A new name is compared with names, not with what another source with that name was called once.
#[test]
fn a_pickup_under_the_new_name_is_not_asked_back() {
    let kitchen = Kitchen::new();
    kitchen.pickup_from("Tarn Fell", FELL);
    kitchen.ok("source rename \"Tarn Fell\" --to \"Beck Mill\"");
    kitchen.pickup_from("Tarn Fel", &format!("--new-source {FELL}"));
    kitchen.pickup_from("Beck Mill", FELL);
}
