//! What the program said and was not so: a caution that a rejected word hid, a clock that did not run, a remedy that did
//! not fit.

use crate::env::{Kitchen, has, one_line};

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

/// Grain that had cooled and came in warm: its warm time counts from the cooling, and no more from mash-out.
#[test]
fn only_the_time_to_cool_is_said_to_count_from_mash_out() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:30:00Z");
    let pickup = |source: &str, times: &str| {
        kitchen.run(&format!(
            "pickup --source \"{source}\" --brewed today {times} --temp 30C --wet 5kg"
        ))
    };
    let cooled = pickup("Alder Lane", "--mash-out 00:30 --cooled 05:00");
    has(&one_line(&cooled.out), "3 h 30 min warm so far");
    let told = cooled.told();
    assert!(!told.contains("from mash-out"), "{told}");
    // Neither no word nor one that the thermometer contradicts shows that it cooled.
    for (source, times) in [
        ("Birch Yard", "--mash-out 06:45"),
        ("Tarn Fell", "--mash-out 06:40 --cooled 08:00"),
    ] {
        let told = pickup(source, times).told();
        has(
            &told,
            "30 °C is below 60 °C: the time to cool counts from mash-out",
        );
        assert!(!told.contains("warm time"), "{told}");
    }
}
