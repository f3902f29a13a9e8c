//! Samples of a moisture test whose weights are corrected.

use crate::env::{Kitchen, has, one_line};

/// A kitchen with a sample that was weighed as it is said, at 10:30 and each hour after it, its lot and its last entry.
fn drying(weights: &[&str]) -> (Kitchen, String, i64) {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    for (hour, weights) in weights.iter().enumerate() {
        kitchen.at(&format!("2026-11-20T1{hour}:30:00Z"));
        kitchen.ok(&format!("moisture {lot} {weights} g"));
    }
    let entry = kitchen.last_entry("moisture");
    (kitchen, lot, entry)
}

#[test]
fn a_drying_sample_whose_weight_was_misread_dries_on() {
    for weights in [&["12 112", "12 112 50"][..], &["12 112 60 50"]] {
        let (kitchen, lot, entry) = drying(weights);
        let correct = format!("correct {entry} --weighing 12g,112g,52g --reason misread");
        kitchen.ok(&correct);
        let shelf = one_line(&kitchen.ok("shelf"));
        has(&shelf, "1 sample still drying, at least 60 %");
        let test = kitchen.json(&format!("moisture {lot}"));
        assert_eq!(test["unfinished_samples"], 1);
        assert_eq!(test["from"], "published default");
    }
}

#[test]
fn corrected_weights_that_agree_end_the_drying() {
    let (kitchen, lot, entry) = drying(&["12 112", "12 112 50"]);
    kitchen.ok(&format!(
        "correct {entry} --weighing 12g,112g,34g,34g --reason misread"
    ));
    let test = kitchen.json(&format!("moisture {lot}"));
    assert_eq!(test["unfinished_samples"], 0);
    assert_eq!(test["from"], "test");
}
