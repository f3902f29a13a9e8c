//! A sample that is heavier than it was while it dried is not dry: its water must not be poured on the strength of it.

use crate::env::{Kitchen, has, one_line};

/// (114 − 33) ÷ 100 = 81 %: arithmetic.
#[test]
fn a_sample_that_gained_weight_is_no_test_and_has_at_least_what_it_lost_at_its_lightest() {
    for weighed in ["36g,33g", "36g,33g,38g", "36g,33g,38g,38g"] {
        let kitchen = Kitchen::new();
        let lot = kitchen.lot("6kg");
        let found = kitchen.json(&format!("moisture {lot} --weighing 14g,114g,{weighed}"));
        assert_eq!(found["unfinished_samples"], 1, "{weighed}");
        assert_ne!(found["from"], "test", "{weighed}");
        assert!((found["at_least"].as_f64().unwrap() - 0.81).abs() < 1e-9);
        assert!((found["samples"][0]["wet_basis"].as_f64().unwrap() - 0.81).abs() < 1e-9);
        has(&one_line(&kitchen.ok("shelf")), "still drying");
    }
}

#[test]
fn a_drying_sample_that_is_weighed_heavier_is_to_be_weighed_again() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} --weighing 14g,114g,36g,33g"));
    kitchen.at("2026-11-20T12:00:00Z");
    let said = one_line(&kitchen.ok(&format!("moisture {lot} --weighing 14g,114g,38g")));
    has(&said, "1 sample still drying, at least 81 %");
    has(&said, "Sample 1 is 5 g heavier than it was");
    has(&said, "Weigh it again after about an hour more");
    let entry = kitchen.entries();
    has(
        &said,
        &format!("`draff correct {entry} --weighing PAN,WET,DRY --reason TEXT`"),
    );
    for (time, is_drying) in [("13", 1), ("14", 0)] {
        kitchen.at(&format!("2026-11-20T{time}:00:00Z"));
        let found = kitchen.json(&format!("moisture {lot} --weighing 14g,114g,33g"));
        assert_eq!(found["unfinished_samples"], is_drying, "{found}");
    }
}

/// (114 − 38) ÷ 100 = 76 %: arithmetic.
#[test]
fn a_misread_lightest_weight_is_corrected() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} --weighing 14g,114g,40g,33g,38g"));
    let entry = kitchen.entries();
    kitchen.ok(&format!(
        "correct {entry} --weighing 14g,114g,40g,38g,38g --reason \"misread\""
    ));
    let found = kitchen.json(&format!("moisture {lot}"));
    assert_eq!(found["unfinished_samples"], 0, "{found}");
    assert!((found["wet_basis"].as_f64().unwrap() - 0.76).abs() < 1e-9);
}
