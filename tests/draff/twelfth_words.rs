//! What the program said and was not so: a caution that a rejected word hid, a clock that did not run, a remedy that did
//! not fit.

use crate::env::{Kitchen, has};

/// The codes of the cautions beside an answer.
fn cautions(answer: &serde_json::Value) -> Vec<&str> {
    let cautions = answer["cautions"].as_array().expect("cautions");
    let codes = cautions.iter().map(|caution| caution["code"].as_str());
    codes.map(|code| code.expect("a code")).collect()
}

/// No tub cools in 20 minutes (judgement), and grain an hour after its mash scalds.
#[test]
fn a_word_that_does_not_count_hides_no_caution() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:30:00Z");
    for (source, times) in [
        ("Alder Lane", "--mash-out 07:30 --cooled 07:50"),
        ("Birch Yard", "--mash-out 05:00 --cooled 05:20"),
    ] {
        let lot = kitchen.json(&format!(
            "pickup --source \"{source}\" --brewed today {times} --wet 5kg"
        ));
        assert!(cautions(&lot).contains(&"hot-grain"), "{lot}");
        let ticket = kitchen.ok(&format!("ticket {}", lot["lot"].as_str().unwrap()));
        has(&ticket, "Hot grain scalds");
    }
    has(&kitchen.ok("shelf"), "Hot grain scalds");
    let counts = kitchen.json(
        "pickup --source \"Tarn Fell\" --brewed today --mash-out 05:00 --cooled 08:00 --wet 5kg",
    );
    assert!(!cautions(&counts).contains(&"hot-grain"), "{counts}");
}
