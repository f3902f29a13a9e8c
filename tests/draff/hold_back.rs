//! `hold-back`: with a lot, and with no book at all.

use crate::env::{Kitchen, one_line};
use serde_json::Value;

fn grams(sum: &Value, key: &str) -> f64 {
    sum[key]
        .as_f64()
        .unwrap_or_else(|| panic!("no number under {key}: {sum}"))
}

fn near(sum: &Value, key: &str, wanted: f64, within: f64) {
    let found = grams(sum, key);
    assert!(
        (found - wanted).abs() <= within,
        "{key} is {found}, not {wanted}"
    );
}

/// 900 g of flour and 100 g of dry grain as 77 % wet grain at 70 % on 1000 g: arithmetic.
#[test]
fn dry_grain_counts_as_flour_and_its_water_as_dough_water() {
    let kitchen = Kitchen::bare();
    let sum = kitchen.json(
        "hold-back --moisture 77% --moisture-sd 1% --share 10% --total-flour 1kg --hydration 70%",
    );
    near(&sum, "wet_g", 434.783, 0.001);
    near(&sum, "carried_water_g", 334.783, 0.001);
    near(&sum, "add_water_g", 365.217, 0.001);
    near(&sum, "flour_g", 900.0, 1e-6);
    near(&sum, "dry_g", 100.0, 1e-6);
    assert_eq!(sum["fixed"], "share");
}

/// The same dough with drier and wetter grain: arithmetic.
#[test]
fn wetter_grain_needs_less_water() {
    let kitchen = Kitchen::bare();
    for (moisture, wet, add) in [("75%", 400.0, 400.0), ("80%", 500.0, 300.0)] {
        let sum = kitchen.json(&format!(
            "hold-back --moisture {moisture} --share 10% --total-flour 1kg --hydration 70%"
        ));
        near(&sum, "wet_g", wet, 1e-6);
        near(&sum, "add_water_g", add, 1e-6);
    }
}

/// Counted at 14 % flour moisture, 100 g of dry grain is 116.279 g of flour and 318.504 g of its water is
/// free. With 700 g of water in the whole dough, 381.496 g are to add: arithmetic.
#[test]
fn on_the_flour_basis_some_water_belongs_to_the_flour() {
    let kitchen = Kitchen::bare();
    let hydration = 700.0 / (900.0 + 100.0 / 0.86) * 100.0;
    let sum = kitchen.json(&format!(
        "hold-back --moisture 77% --wet 434.783g --flour 900g --hydration {hydration:.9}% --flour-basis 14%"
    ));
    near(&sum, "carried_water_g", 318.504, 0.002);
    near(&sum, "add_water_g", 381.496, 0.002);
    near(&sum, "flour_equivalent_g", 116.279, 0.001);
}

/// 435 g at 77 %: 100.05 g dry, 334.95 g of water; 70 % of 1000.05 g is 700.035 g. One point of moisture
/// moves the water by 435 × 1.7 ÷ 100 g, and 95 % is 1.96 of them each way (normal distribution).
#[test]
fn the_water_to_hold_back_spans_the_range_of_the_moisture() {
    let kitchen = Kitchen::bare();
    let sum = kitchen
        .json("hold-back --moisture 77% --moisture-sd 1% --wet 435g --flour 900g --hydration 70%");
    near(&sum, "dry_g", 100.05, 1e-6);
    near(&sum, "total_flour_g", 1000.05, 1e-6);
    near(&sum, "total_water_g", 700.035, 1e-6);
    near(&sum, "add_water_g", 365.085, 1e-6);
    let half = 1.959_964 * 7.395;
    near(&sum, "pour_first_g", 365.085 - half, 0.01);
    let for_moisture = grams(&sum, "keep_back_g") - grams(&sum, "keep_back_thirst_g");
    assert!((for_moisture - 2.0 * half).abs() <= 0.01, "{sum}");
    assert_eq!(sum["fixed"], "wet");
}

/// The promise of the answer, recomputed from its own numbers.
#[test]
fn the_dough_has_the_hydration_that_was_asked_for() {
    let kitchen = Kitchen::bare();
    for basis in ["0%", "14%"] {
        let sum = kitchen.json(&format!(
            "hold-back --moisture 78.3% --wet 1lb3oz --flour 4lb --hydration 68% --flour-basis {basis}"
        ));
        let water = grams(&sum, "carried_water_g") + grams(&sum, "add_water_g");
        let flour = grams(&sum, "flour_g") + grams(&sum, "flour_equivalent_g");
        assert!((water / flour - 0.68).abs() < 1e-9, "{sum}");
        near(
            &sum,
            "grain_share",
            grams(&sum, "flour_equivalent_g") / flour,
            1e-9,
        );
        near(
            &sum,
            "wet_g",
            grams(&sum, "flour_equivalent_g") + grams(&sum, "carried_water_g"),
            1e-5,
        );
    }
}

#[test]
fn no_book_is_needed_and_none_is_made() {
    let kitchen = Kitchen::bare();
    let ran = crate::env::Ran::of(
        kitchen
            .command()
            .env_remove("HOME")
            .env_remove("DRAFF_BOOK")
            .args([
                "hold-back",
                "--moisture",
                "77%",
                "--wet",
                "435g",
                "--flour",
                "900g",
                "--hydration",
                "70%",
            ]),
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    let lines: Vec<&str> = ran.out.lines().take(3).collect();
    assert!(lines[0].starts_with("Weigh"), "{}", ran.out);
    assert!(lines[1].starts_with("Pour"), "{}", ran.out);
    assert!(lines[2].starts_with("Hold back"), "{}", ran.out);
    assert!(kitchen.files().is_empty(), "nothing was made");
}

#[test]
fn a_lot_brings_its_own_moisture() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let dough = "--wet 435g --flour 900g --hydration 70%";
    let before = kitchen.json(&format!("hold-back {lot} {dough}"));
    assert_eq!(before["moisture"]["from"], "published default");
    near(&before, "dry_g", 95.7, 1e-6);
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.3%"));
    let after = kitchen.json(&format!("hold-back {lot} {dough}"));
    let for_moisture = |sum| grams(sum, "keep_back_g") - grams(sum, "keep_back_thirst_g");
    assert!(
        for_moisture(&after) < for_moisture(&before) / 5.0,
        "{after}"
    );
    near(&after, "dry_g", 100.05, 0.2);
}

/// 2 kg at 77 % carry 1540 g; 70 % on 900 + 460 g takes 952 g. The ways out are arithmetic: share no more
/// than 0.7 ÷ (1 ÷ 0.23 − 1) = 20.9 %; flour no less than 1540 ÷ 0.7 − 460 = 1740 g; at most
/// 952 g of water beside 460 g dry, 67.4 %.
#[test]
fn grain_that_brings_too_much_water_is_refused_with_three_ways_out() {
    let kitchen = Kitchen::bare();
    let said = kitchen.refused(
        1,
        "hold-back --moisture 77% --moisture-sd 1% --wet 2kg --flour 900g --hydration 70%",
    );
    for words in ["1540 g", "952 g", "20.9 %", "67.4 %", "1740 g"] {
        assert!(said.contains(words), "{words}\n{said}");
    }
}

/// Each way out, taken, gives a dough that needs (next to) no water.
#[test]
fn the_ways_out_lead_out() {
    let kitchen = Kitchen::bare();
    for dough in [
        "--moisture 77% --share 20.8% --flour 900g",
        "--moisture 77% --wet 2kg --flour 1741g",
        "--moisture 67.4% --wet 1411g --flour 900g",
    ] {
        let sum = kitchen.json(&format!(
            "hold-back {dough} --moisture-sd 0% --hydration 70%"
        ));
        let add = grams(&sum, "add_water_g");
        assert!((0.0..=5.0).contains(&add), "{dough}: {add}");
    }
}

#[test]
fn a_lot_that_is_past_or_unknown_gets_no_sum() {
    let mut kitchen = Kitchen::new();
    let unknown = kitchen.pickup("--brewed 2026-11-20 --wet 5kg");
    let past = kitchen.lot("5kg");
    kitchen.at("2026-11-27T00:00:00Z");
    for (lot, verdict) in [(unknown, "unknown"), (past, "past")] {
        let said = kitchen.refused(
            1,
            &format!("hold-back {lot} --wet 435g --flour 900g --hydration 70%"),
        );
        assert!(
            said.contains(&format!("is {verdict}, so it may not be used as food")),
            "{said}"
        );
        assert!(
            said.contains("Baking does not make spoiled grain safe"),
            "{said}"
        );
    }
}

/// Ignoring it would give a sum that the baker did not ask for.
#[test]
fn a_spread_given_beside_a_lot_is_refused() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.refused(
        2,
        &format!("hold-back {lot} --moisture-sd 5% --wet 435g --flour 900g --hydration 70%"),
    );
}

/// Of 1120 g of total flour 9 % is dry grain, 100.8 g. The trials ask 0.10 to 1.07 points for each percent (Stojceska &
/// Ainsworth 2008; Dreese & Hoseney 1982): 10.1 to 107.9 g more water, 40.3 g at 0.4 points (International Journal of
/// Food Science 2022:8704684). Arithmetic; the ends of moisture and thirst are added.
#[test]
fn the_thirst_of_the_grain_is_held_back_too() {
    let kitchen = Kitchen::bare();
    let dough = "hold-back --moisture 77% --moisture-sd 0.2% --share 9% --total-flour 1120g --hydration 70%";
    let sum = kitchen.json(dough);
    let without = kitchen.json(&format!("{dough} --thirst none"));
    near(&sum, "thirst_low_g", 10.08, 1e-6);
    near(&sum, "thirst_g", 40.32, 1e-6);
    near(&sum, "thirst_high_g", 107.856, 1e-6);
    for same in ["add_water_g", "pour_first_g", "total_water_g"] {
        near(&sum, same, grams(&without, same), 1e-9);
    }
    // At the driest grain there is 0.392 points more of it in the same wet amount.
    let driest = grams(&sum, "wet_g") * (0.23 + 1.959_964 * 0.002);
    near(&sum, "keep_back_thirst_g", 1.07 * driest, 1e-3);
    near(
        &sum,
        "keep_back_g",
        grams(&without, "keep_back_g") + 1.07 * driest,
        1e-3,
    );
    let likely = grams(&sum, "add_water_g") - grams(&sum, "pour_first_g") + 40.32;
    near(&sum, "likely_back_g", likely, 1e-5);
    assert!(without["thirst_g"].is_null() && without["thirst_high_g"].is_null());
    near(&without, "keep_back_thirst_g", 0.0, 0.0);
    let said = kitchen.ok(dough);
    let said = one_line(&said);
    assert!(said.contains("because it drinks more than flour"), "{said}");
    assert!(
        said.contains("dry grain drinks more than flour: 10 g to 11"),
        "{said}"
    );
    assert!(
        said.contains("Add from it little by little: likely "),
        "{said}"
    );
    assert!(said.contains("bran without hulls"), "{said}");
    assert!(said.contains("2008, stiff doughs;"), "{said}");
}

#[test]
fn what_thirst_may_be_is_said() {
    let kitchen = Kitchen::bare();
    let said = kitchen.refused(
        2,
        "hold-back --moisture 77% --share 9% --total-flour 1kg --hydration 70% --thirst much",
    );
    assert!(said.contains("published, none"), "{said}");
}

/// Of 1 g and of 5 g: the nearest step. What was typed stays as it is.
#[test]
fn the_water_goes_on_the_scale_of_the_house() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    let ask = format!("hold-back {lot} --wet 441g --flour 1kg --hydration 70% --thirst none");
    let exact = kitchen.json(&ask);
    let grams = |key: &str| exact[key].as_f64().unwrap();
    let nearest = |key: &str, step: f64| (grams(key) / step).round() * step;
    for (step, typed) in [(1.0, "1g"), (5.0, "5g")] {
        kitchen.ok(&format!("settings scale {typed}"));
        let words = kitchen.ok(&ask);
        let pour = format!(
            "Pour        {} g of water first",
            nearest("pour_first_g", step)
        );
        let hold = format!("Hold back   {} g of water", nearest("keep_back_g", step));
        assert!(words.contains(&pour) && words.contains(&hold), "{words}");
        assert!(words.contains("441 g of wet grain"), "{words}");
        assert_eq!(kitchen.json(&ask)["pour_first_g"], exact["pour_first_g"]);
    }
}

/// Bakes of one formula at different shares that took more water than the sum, the more the more grain was in them, narrow
/// the range of thirst; a struck one takes its lesson with it, and one setting holds the published range.
#[test]
fn recorded_water_narrows_the_thirst_of_grain() {
    let (mut kitchen, lot) = Kitchen::with_loaf("20kg");
    kitchen.ok(&format!(
        "moisture {lot} --weighing 0g,100g,23g --weighing 0g,100g,23g"
    ));
    let asked = |kitchen: &Kitchen| {
        kitchen.json(&format!(
            "hold-back {lot} --wet 460g --flour 900g --hydration 70%"
        ))
    };
    let range = |sum: &serde_json::Value| {
        sum["thirst_high_g"].as_f64().unwrap() - sum["thirst_low_g"].as_f64().unwrap()
    };
    let published = asked(&kitchen);
    assert_eq!(published["thirst_bakes"], 0);
    let mut widths = vec![range(&published)];
    for (number, share) in [5.0, 7.0, 10.0, 5.0, 10.0, 7.0, 5.0, 10.0]
        .into_iter()
        .enumerate()
    {
        let hour = 11 + number;
        let added = kitchen.json(&format!(
            "bake add \"small loaf\" --at \"today {hour}:00\" mix --pieces 8 --share {share}% --lot {lot}"
        ));
        let code = added["bake"].as_str().unwrap().to_owned();
        // What the sum says, and 0.7 points of total flour for each percent of dry grain.
        let words =
            format!("batch \"small loaf\" --pieces 8 --share {share}% --lot {lot} --thirst none");
        let sum = kitchen.json(&words)["hold_back"].clone();
        let grams = |key: &str| sum[key].as_f64().unwrap();
        let water = grams("add_water_g") + 0.7 * grams("flour_equivalent_g");
        kitchen.at(&format!("2026-11-20T{hour}:30:00Z"));
        kitchen.ok(&format!("bake done {code} --water {water:.0}g"));
        let sum = asked(&kitchen);
        assert_eq!(sum["thirst_bakes"], number + 1);
        widths.push(range(&sum));
        if number == 0 {
            // One share alone: the hydration may be what is off.
            near(
                &sum,
                "thirst_low_g",
                published["thirst_low_g"].as_f64().unwrap(),
                0.1,
            );
            near(
                &sum,
                "thirst_high_g",
                published["thirst_high_g"].as_f64().unwrap(),
                0.1,
            );
        }
    }
    assert!(widths[8] < 0.85 * widths[0], "{widths:?}");
    let learned = asked(&kitchen);
    let points =
        learned["thirst_g"].as_f64().unwrap() / learned["flour_equivalent_g"].as_f64().unwrap();
    assert!((0.5..0.75).contains(&points), "{points}");
    let text = kitchen.ok(&format!(
        "hold-back {lot} --wet 460g --flour 900g --hydration 70%"
    ));
    let line = one_line(&text);
    assert!(line.contains("learned from 8 bakes"), "{text}");
    kitchen.ok(&format!(
        "strike {} --reason wrong",
        kitchen.last_entry("baked")
    ));
    assert_eq!(asked(&kitchen)["thirst_bakes"], 7);
    kitchen.ok("settings thirst published");
    assert_eq!(asked(&kitchen), published);
}
