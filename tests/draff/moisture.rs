//! `moisture`: a test is recorded, or the estimate shown with where it comes from.

use crate::env::{Kitchen, LOAF};
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
    // Another brewery is another grain: its lots say a little, and the range stays wide.
    assert_eq!(other["moisture"]["from"], "lots of other sources");
    let code = other["lot"].as_str().unwrap();
    let of_other = kitchen.json(&format!("moisture {code}"));
    assert!(of_other["expanded_95"].as_f64() > Some(0.05), "{of_other}");
}

/// What each part pulls, and what a test would be worth in the bake that is mixed next.
#[test]
fn why_a_moisture_is_what_it_is_is_told() {
    let mut kitchen = Kitchen::new();
    for (day, moisture) in [("11", "75.1%"), ("13", "74.6%"), ("16", "75.4%")] {
        let code = kitchen.pickup(&format!("--brewed 2026-11-{day} --wet 5kg"));
        kitchen.ok(&format!("moisture {code} --lab {moisture} --lab-sd 0.5%"));
    }
    kitchen.at("2026-11-20T11:00:00Z");
    let lot = kitchen.lot("5kg");
    let text = kitchen.ok(&format!("moisture {lot} --why"));
    assert!(
        text.contains("Pulled by") && text.contains("no bake is planned"),
        "{text}"
    );
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4");
    let why = kitchen.json(&format!("moisture {lot} --why"))["why"].clone();
    let number = |key: &str| why[key].as_f64().unwrap();
    let pulls = number("pull_own") + number("pull_other_sources") + number("pull_published");
    near(&json!(pulls), 1.0, 1e-9);
    assert!(number("pull_own") > 0.8, "{why}");
    assert!(number("held_after_g") < number("held_now_g"));
    assert_eq!(
        (&why["next_bake"], &why["is_worth_a_test"]),
        (&json!("B-1S"), &json!(true))
    );
    // The water that the dough really holds back for its moisture, less what the thirst adds.
    let batch = kitchen.json(&format!(
        "batch \"small loaf\" --pieces 4 --lot {lot} --thirst none"
    ));
    near(
        &batch["hold_back"]["keep_back_g"],
        number("held_now_g"),
        2.0,
    );
    let text = kitchen.ok(&format!("moisture {lot} --why"));
    assert!(text.contains("Test this lot."), "{text}");
    // Once tested, another test is worth less than the oven.
    kitchen.ok(&format!(
        "moisture {lot} --weighing 0g,100g,24.6g --weighing 0g,100g,24.7g"
    ));
    let text = kitchen.ok(&format!("moisture {lot} --why"));
    assert!(text.contains("Skip the test."), "{text}");
    kitchen.refused(2, &format!("moisture {lot} --why --lab 77%"));
}

/// A struck test takes what it taught with it.
#[test]
fn a_struck_test_of_an_earlier_lot_teaches_nothing() {
    let kitchen = Kitchen::new();
    let first = kitchen.pickup("--brewed 2026-11-13 --wet 5kg");
    let next = kitchen.lot("5kg");
    let before = kitchen.json(&format!("moisture {next}"));
    kitchen.ok(&format!("moisture {first} --lab 72%"));
    let learned = kitchen.json(&format!("moisture {next}"));
    assert_eq!(learned["from"], "earlier lots");
    kitchen.ok(&format!(
        "strike {} --reason wrong",
        kitchen.last_entry("moisture")
    ));
    assert_eq!(kitchen.json(&format!("moisture {next}")), before);
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

/// (64.5 − 33) ÷ 50.3 = 62.6 % after the third spell, 73.0 % once constant (arithmetic). The last spell of 3 g is
/// more than 0.1 % of the sample, the end point of AOAC 935.29.
#[test]
fn a_drying_that_has_not_ended_is_at_least_and_no_test() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let before = kitchen.json(&format!("moisture {lot}"));
    let open = kitchen.json(&format!(
        "moisture {lot} --weighing 14.2g,64.5g,40g,36g,33g"
    ));
    assert_eq!(open["wet_basis"], before["wet_basis"], "{open}");
    assert_eq!(open["expanded_95"], before["expanded_95"]);
    assert_eq!(open["from"], "published default");
    assert_eq!(open["unfinished_samples"], 1);
    near(&open["at_least"], 31.5 / 50.3, 1e-9);
    for words in [
        "shelf".to_owned(),
        format!("hold-back {lot} --wet 440g --flour 1kg --hydration 70%"),
    ] {
        let said = kitchen.ok(&words);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("still drying, at least 62.6 %"), "{said}");
    }
    let done = kitchen.json(&format!(
        "moisture {lot} --weighing 14.2g,64.5g,27.8g,27.8g"
    ));
    near(&done["wet_basis"], 36.7 / 50.3, 1e-9);
    assert_eq!(
        (&done["from"], &done["unfinished_samples"]),
        (&json!("test"), &json!(0))
    );
    assert_eq!(done["samples"].as_array().map(Vec::len), Some(1), "{done}");
    assert!(!kitchen.ok("shelf").contains("still drying"));
    // Struck, the sample is in the oven again.
    let entry = kitchen.entries();
    kitchen.ok(&format!("strike {entry} --reason \"another pan\""));
    assert_eq!(
        kitchen.json(&format!("moisture {lot}"))["unfinished_samples"],
        1
    );
}

/// Above the estimate it widens the range, and on its wet side alone: to 78 + 2 × 7 points, from the dry end of the default.
#[test]
fn what_an_unfinished_sample_says_widens_an_estimate_below_it() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let dry_end = 0.78 - 1.959_964 * 0.0375;
    let wet_end = 0.78 + 2.0 * (0.85 - 0.78);
    let open = kitchen.json(&format!("moisture {lot} --weighing 0g,100g,20g,15g"));
    near(&open["wet_basis"], f64::midpoint(dry_end, wet_end), 1e-6);
    near(&open["expanded_95"], (wet_end - dry_end) / 2.0, 1e-6);
}

#[test]
fn a_sample_goes_into_the_oven_and_is_weighed_later() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let open = kitchen.json(&format!(
        "moisture {lot} --method microwave --weighing 14.2g,114.5g"
    ));
    assert_eq!(open["from"], "published default");
    assert_eq!(
        (&open["unfinished_samples"], &open["at_least"]),
        (&json!(1), &json!(null))
    );
    assert!(kitchen.ok("shelf").contains("1 sample still drying"));
    kitchen.at("2026-11-20T10:05:00Z");
    let once = kitchen.json(&format!("moisture {lot} --weighing 14.2g,114.5g,37.2g"));
    assert_eq!(
        (&once["unfinished_samples"], &once["from"]),
        (&json!(1), &json!("published default")),
        "nobody knows yet that it loses no more: {once}"
    );
    kitchen.at("2026-11-20T10:07:00Z");
    let done = kitchen.json(&format!("moisture {lot} --weighing 14.2g,114.5g,37.2g"));
    near(&done["wet_basis"], 77.3 / 100.3, 1e-9);
    assert_eq!(done["unfinished_samples"], 0);
    assert!(kitchen.ok(&format!("moisture {lot}")).contains("microwave"));
    // The same pan again is the same sample once it is finished, too.
    let twice = kitchen.json(&format!("moisture {lot} --weighing 14.2g,114.5g,37.2g"));
    assert_eq!(
        twice["samples"].as_array().map(Vec::len),
        Some(1),
        "{twice}"
    );
    let empty = kitchen.refused(2, &format!("moisture {lot} --weighing 14.2g,14.2g"));
    assert!(empty.contains("no grain in it"), "{empty}");
}

/// Three earlier lots, one tested twice: what both tests say of it counts, not the newer alone.
#[test]
fn every_test_of_an_earlier_lot_counts() {
    let expected = |second: bool| {
        let kitchen = Kitchen::new();
        for (day, dry) in [(13, 23), (14, 23), (15, 23)] {
            let lot = kitchen.pickup(&format!("--brewed 2026-11-{day} --wet 5kg"));
            kitchen.ok(&format!("moisture {lot} --weighing 0g,100g,{dry}g"));
            if second && day == 15 {
                kitchen.ok(&format!(
                    "moisture {lot} --weighing 0g,100g,23.4g --new-dish"
                ));
            }
        }
        let next = kitchen.lot("5kg");
        let found = kitchen.json(&format!("moisture {next}"));
        assert_eq!(found["from"], "earlier lots", "{found}");
        found["wet_basis"].as_f64().unwrap()
    };
    // Pulled a little towards the published 78 %.
    let one = expected(false);
    assert!((0.77..0.7705).contains(&one), "{one}");
    // Were the newer test alone, the third lot would be 76.6 % and the mean lower by 0.13 points.
    let both = expected(true);
    assert!((0.0001..0.0012).contains(&(one - both)), "{one} {both}");
}

/// Duplicates of earlier lots a point apart: the tubs are uneven, so one sample says less than where they agree.
#[test]
fn duplicates_of_earlier_lots_tell_how_even_a_tub_is() {
    let asked = |second: f64| {
        let kitchen = Kitchen::new();
        for day in 10..16 {
            let lot = kitchen.pickup(&format!("--brewed 2026-11-{day} --wet 5kg"));
            kitchen.ok(&format!(
                "moisture {lot} --weighing 0g,100g,23g --weighing 0g,100g,{second}g"
            ));
        }
        let next = kitchen.lot("5kg");
        kitchen.json(&format!("moisture {next} --weighing 0g,100g,23g"))
    };
    let (even, uneven) = (asked(23.0), asked(24.5));
    assert!(
        uneven["expanded_95"].as_f64() > even["expanded_95"].as_f64(),
        "{uneven}"
    );
    assert_eq!(even["samples_enough"], 1);
    assert!(uneven["samples_enough"].as_u64() > Some(2), "{uneven}");
}
