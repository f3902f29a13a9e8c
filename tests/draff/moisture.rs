//! `moisture`: a test is recorded, or the estimate shown with where it comes from.

use crate::env::Kitchen;
use serde_json::{Value, json};

fn near(found: &Value, wanted: f64, within: f64) {
    let found = found.as_f64().expect("a number");
    assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
}

/// (112.0 − 35.4) ÷ (112.0 − 12.0) = 76.6 %: arithmetic.
#[test]
fn one_sample_gives_its_moisture() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let answer = kitchen.json(&format!("moisture {lot} --weighing 12.0g,112.0g,35.4g"));
    near(&answer["samples"][0]["wet_basis"], 0.766, 1e-12);
    assert_eq!(answer["lot"], lot.as_str());
    assert_eq!(answer["warnings"], json!([]));
    // What is known narrows, and the estimate lies between the sample and the published default.
    near(&answer["wet_basis"], 0.766, 0.002);
    assert!(answer["expanded_95"].as_f64() < Some(0.02), "{answer}");
    assert!(kitchen.on_shelf(&lot)["dry_g"].as_f64() > Some(2300.0));
}

/// Without a test the published default of 78 % stands, 70 to 85 % plausible.
#[test]
fn without_a_test_the_published_default_is_named() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let answer = kitchen.json(&format!("moisture {lot}"));
    assert_eq!(answer["wet_basis"], json!(0.78));
    assert_eq!(answer["dry_fraction"], json!(0.22));
    assert_eq!(answer["samples"], json!([]));
    assert_eq!(answer["from"], "published default");
    let entries = kitchen.entries();
    assert!(
        kitchen
            .ok(&format!("moisture {lot}"))
            .contains("published default")
    );
    assert_eq!(kitchen.entries(), entries, "asking writes nothing");
}

#[test]
fn steeped_grain_says_that_nothing_is_published() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --kind steeped --wet 2kg");
    let answer = kitchen.json(&format!("moisture {lot}"));
    assert_eq!(answer["from"], "no published composition");
    let mashed = kitchen.lot("2kg");
    let default = kitchen.json(&format!("moisture {mashed}"));
    assert!(
        answer["expanded_95"].as_f64() > default["expanded_95"].as_f64(),
        "less is known of it: {answer}"
    );
}

#[test]
fn any_mass_unit_serves() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let answer = kitchen.json(&format!(
        "moisture {lot} --weighing 0oz,4oz,1oz --readability 0.01oz"
    ));
    near(&answer["samples"][0]["wet_basis"], 0.75, 1e-5);
}

#[test]
fn samples_far_apart_are_warned_about() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let close = kitchen.json(&format!(
        "moisture {lot} --weighing 12.0g,112.0g,35.4g --weighing 12.0g,112.0g,35.5g"
    ));
    assert_eq!(close["warnings"], json!([]));
    let other = kitchen.lot("10kg");
    let apart = kitchen.json(&format!(
        "moisture {other} --weighing 12.0g,112.0g,35.4g --weighing 12.0g,112.0g,41.0g"
    ));
    assert_eq!(apart["warnings"].as_array().unwrap().len(), 1, "{apart}");
}

#[test]
fn a_pan_still_losing_weight_is_warned_about_and_its_last_weighing_counts() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let answer = kitchen.json(&format!(
        "moisture {lot} --method microwave --weighing 12.0g,112.0g,45.0g,36.5g,35.4g"
    ));
    near(&answer["samples"][0]["wet_basis"], 0.766, 1e-12);
    assert_eq!(answer["warnings"].as_array().unwrap().len(), 1, "{answer}");
}

#[test]
fn moisture_that_the_form_does_not_have_is_warned_about() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let answer = kitchen.json(&format!("moisture {lot} --weighing 12.0g,112.0g,82.0g"));
    assert!(
        !answer["warnings"].as_array().unwrap().is_empty(),
        "{answer}"
    );
}

/// Dry fraction is the product of the stages: 0.30 × 0.80 = 0.24, so 76 % moisture (arithmetic).
#[test]
fn two_stages_multiply() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let answer = kitchen.json(&format!(
        "moisture {lot} --weighing 0g,1000g,300g --stage2 0g,50g,40g"
    ));
    near(&answer["samples"][0]["wet_basis"], 0.76, 1e-9);
}

#[test]
fn a_laboratory_is_taken_at_its_word() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let answer = kitchen.json(&format!("moisture {lot} --lab 76.4% --lab-sd 0.6%"));
    near(&answer["wet_basis"], 0.764, 0.001);
    near(&answer["standard_uncertainty"], 0.006, 0.0005);
}

#[test]
fn a_struck_test_no_longer_counts() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let before = kitchen.json(&format!("moisture {lot}"));
    kitchen.ok(&format!("moisture {lot} --lab 70%"));
    let entry = kitchen.last_entry("moisture");
    kitchen.ok(&format!("strike {entry} --reason \"another lot\""));
    assert_eq!(kitchen.json(&format!("moisture {lot}")), before);
}

#[test]
fn earlier_lots_of_a_source_say_what_to_expect() {
    let mut kitchen = Kitchen::new();
    for (day, moisture) in [("11", "75.1%"), ("13", "74.6%"), ("16", "75.4%")] {
        let code = kitchen.pickup(&format!("--brewed 2026-11-{day} --wet 5kg"));
        kitchen.ok(&format!("moisture {code} --lab {moisture} --lab-sd 0.5%"));
    }
    kitchen.at("2026-11-20T11:00:00Z");
    let lot = kitchen.lot("5kg");
    let answer = kitchen.json(&format!("moisture {lot}"));
    near(&answer["wet_basis"], 0.75, 0.005);
    assert_ne!(answer["from"], "published default");
    let other = kitchen.json("pickup --source \"Mill Brook\" --brewed today --wet 5kg");
    assert_eq!(
        other["moisture"]["from"], "published default",
        "another brewery is another grain"
    );
}

#[test]
fn options_that_do_not_belong_together_are_refused() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.refused(
        2,
        &format!("moisture {lot} --weighing 0g,100g,24g --lab-sd 5%"),
    );
    kitchen.refused(2, &format!("moisture {lot} --lab 77% --stage2 0g,50g,40g"));
}

#[test]
fn a_negative_moisture_is_refused_as_one() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let said = kitchen.refused(2, &format!("moisture {lot} --lab -5%"));
    assert!(
        said.contains("-5") && said.contains("allowed is more than 0%"),
        "{said}"
    );
}
