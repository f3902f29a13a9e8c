//! Which dish a weight is of: a mistyped one is not taken for another sample, and one that dries on counts once.

use crate::env::{Kitchen, commands_in, has, one_line};
use serde_json::json;

/// A kitchen with a lot of which a sample was booked at 10:00.
fn with_sample(weights: &str) -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} {weights}"));
    (kitchen, lot)
}

fn samples(kitchen: &Kitchen, lot: &str) -> (usize, u64) {
    let found = kitchen.json(&format!("moisture {lot}"));
    let all = found["samples"].as_array().unwrap().len();
    (all, found["unfinished_samples"].as_u64().unwrap())
}

#[test]
fn a_dried_weight_of_a_dish_that_is_not_in_the_oven_is_refused() {
    let (mut kitchen, lot) = with_sample("14.2 114.5 g");
    kitchen.ok(&format!("moisture {lot} 13.9 113.9 g"));
    kitchen.at("2026-11-20T11:00:00Z");
    let before = kitchen.entries();
    for wrong in ["14.2 115.4 50 g", "14.3 114.5 50 g", "14.2 115.4 50 50 g"] {
        let said = one_line(&kitchen.refused(1, &format!("moisture {lot} {wrong}")));
        has(&said, "pan 14.2 g, with wet grain 114.5 g");
        has(&said, &format!("draff moisture {lot} 14.2 114.5 DRY g"));
        has(&said, &format!("draff moisture {lot} 13.9 113.9 DRY g"));
        has(&said, "add --new-dish");
    }
    assert_eq!(kitchen.entries(), before);
    kitchen.ok(&format!("moisture {lot} 14.2 115.4 50 g --new-dish"));
    assert_eq!(samples(&kitchen, &lot), (1, 2));
    kitchen.ok(&format!("moisture {lot} 14.2 114.5 50 g"));
    assert_eq!(samples(&kitchen, &lot), (2, 2));
}

#[test]
fn another_dish_may_come_with_all_that_are_in_the_oven_and_days_later() {
    let (mut kitchen, lot) = with_sample("14.2 114.5 g");
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!(
        "moisture {lot} --weighing 14.2g,114.5g,40g --weighing 13.9g,113.9g,37g"
    ));
    assert_eq!(samples(&kitchen, &lot), (2, 1));
    let (mut kitchen, lot) = with_sample("14.2 114.5 g");
    kitchen.at("2026-11-23T11:00:00Z");
    kitchen.ok(&format!("moisture {lot} 13.9 113.9 37 g"));
    assert_eq!(samples(&kitchen, &lot), (1, 1));
}

#[test]
fn a_correction_makes_no_second_sample_of_a_dish() {
    let (mut kitchen, lot) = with_sample("14.2 114.5 g");
    let open = kitchen.entries();
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!("moisture {lot} 14.2 115.4 50 g --new-dish"));
    let wrong = kitchen.entries();
    let correct = format!("correct {wrong} --weighing 14.2g,114.5g,50g --reason swapped");
    let said = one_line(&kitchen.refused(1, &correct));
    has(
        &said,
        &format!("the same pan and wet weight as entry {open}"),
    );
    has(&said, &format!("draff strike {wrong} --reason TEXT"));
    has(&said, &format!("draff moisture {lot} 14.2 114.5 DRY g"));
    kitchen.ok(&format!("strike {wrong} --reason swapped"));
    kitchen.ok(&format!("moisture {lot} 14.2 114.5 50 g"));
    assert_eq!(samples(&kitchen, &lot), (1, 1));
    // Of two dishes that weigh the same, each is corrected.
    kitchen.ok(&format!("moisture {lot} 14.2 114.5 37 g --new-dish"));
    let same = kitchen.entries();
    kitchen.ok(&format!(
        "correct {same} --weighing 14.2g,114.5g,38g --reason misread"
    ));
    assert_eq!(samples(&kitchen, &lot), (2, 1));
}

#[test]
fn a_sample_in_the_oven_is_shown_with_the_weights_to_type_again() {
    let (kitchen, lot) = with_sample("14.2 114.5 g");
    let opened = one_line(&kitchen.ok(&format!("moisture {lot} 13.9 113.9 g")));
    let (first, second) = (
        "pan 14.2 g, with wet grain 114.5 g",
        "pan 13.9 g, with wet grain 113.9 g",
    );
    has(&opened, second);
    for question in ["moisture LOT", "moisture LOT --why", "log LOT", "today"] {
        let said = one_line(&kitchen.ok(&question.replace("LOT", &lot)));
        has(&said, first);
        has(&said, second);
    }
    has(
        &one_line(&kitchen.ok("today")),
        &format!("draff moisture {lot} 13.9 113.9 DRY g"),
    );
    let due = kitchen.json("today")["due"].clone();
    let mut drying: Vec<_> = due
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| one["task"] == "weigh-again")
        .map(|one| one["drying"].clone())
        .collect();
    drying.sort_by_key(ToString::to_string);
    assert_eq!(
        drying,
        [
            json!([{"pan_g": 13.9, "with_wet_g": 113.9}]),
            json!([{"pan_g": 14.2, "with_wet_g": 114.5}])
        ]
    );
}

/// (114 − 36) ÷ 100 = 78 %: arithmetic.
#[test]
fn a_dish_that_was_typed_in_full_and_dries_on_is_one_sample() {
    let (mut kitchen, lot) = with_sample("14 114 64.5 g");
    for (hour, dried, is_drying) in [(11, "40", 1), (12, "36", 1), (13, "36", 0)] {
        kitchen.at(&format!("2026-11-20T{hour}:00:00Z"));
        let ran = kitchen.run(&format!("moisture {lot} 14 114 {dried} g"));
        assert_eq!(ran.code, 0, "{}", ran.err);
        let is_told = ran.told().contains("taken as the same dish");
        assert_eq!(is_told, hour == 11, "{}", ran.err);
        assert_eq!(samples(&kitchen, &lot), (1, is_drying));
        // Neither a third sample nor a strike is asked for.
        let said = one_line(&ran.out);
        assert!(!said.contains("third sample"), "{said}");
    }
    let found = kitchen.json(&format!("moisture {lot}"));
    assert!((found["wet_basis"].as_f64().unwrap() - 0.78).abs() < 1e-9);
}

/// The middle weighing of three taken out would leave two ends of one dish, each a test of its own.
#[test]
fn a_weighing_that_was_weighed_on_is_not_struck_from_between() {
    let (mut kitchen, lot) = with_sample("14 114 36 g");
    let mut entries = Vec::new();
    for hour in ["12", "13"] {
        kitchen.at(&format!("2026-11-20T{hour}:00:00Z"));
        kitchen.ok(&format!("moisture {lot} 14 114 36 g"));
        entries.push(kitchen.last_entry("moisture"));
    }
    let before = kitchen.json(&format!("moisture {lot}"));
    assert_eq!(samples(&kitchen, &lot), (1, 0));
    let said = kitchen.refused(1, &format!("strike {} --reason typo", entries[0]));
    has(&said, &format!("weighed on, by entry {}", entries[1]));
    assert_eq!(kitchen.json(&format!("moisture {lot}")), before);
    kitchen.ok(&format!(
        "strike {} {} --reason typo",
        entries[1], entries[0]
    ));
    assert_eq!(samples(&kitchen, &lot), (1, 0));
}

#[test]
fn two_dishes_that_weigh_the_same_are_two_where_that_is_said() {
    let (mut kitchen, lot) = with_sample("14 114 37 g");
    kitchen.at("2026-11-20T12:00:00Z");
    let told = kitchen.told(&format!("moisture {lot} 14 114 36.9 g"));
    let commands = commands_in(&told);
    let strike = commands.iter().find(|one| one.starts_with("strike"));
    kitchen.ok(strike.unwrap());
    let again = commands.iter().find(|one| one.starts_with("moisture"));
    let again = again.unwrap().replace("PAN WET DRY", "14 114 36.9");
    let ran = kitchen.run(&again);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(!ran.told().contains("same pan"), "{}", ran.err);
    assert_eq!(samples(&kitchen, &lot), (2, 0));
}

/// In a microwave oven 1 g of 100 g is dry enough: were it two dishes, they would be known less well than one.
#[test]
fn dry_weights_that_may_be_of_two_dishes_make_no_range_narrower() {
    let width = |line: &str| {
        let (mut kitchen, lot) = with_sample("14 114 37 g --method microwave");
        kitchen.at("2026-11-20T10:30:00Z");
        kitchen.ok(&format!(
            "moisture {lot} 14 114 36.2 g --method microwave{line}"
        ));
        kitchen.json(&format!("moisture {lot}"))["expanded_95"].clone()
    };
    assert_eq!(width(""), width(" --new-dish"));
}
