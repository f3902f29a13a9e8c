//! `batch`: a whole dough from whichever amount is fixed, with lots of the book or without a book.

use crate::env::{Kitchen, LOAF};
use serde_json::Value;

fn kitchen() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen
}

fn number(answer: &Value, key: &str) -> f64 {
    answer[key]
        .as_f64()
        .unwrap_or_else(|| panic!("no number under {key}: {answer}"))
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
}

/// Exact grams of one line.
#[track_caller]
fn exact(batch: &Value, stage: &str, name: &str) -> f64 {
    let stage = batch["stages"]
        .as_array()
        .unwrap()
        .iter()
        .find(|found| found["stage"] == stage)
        .unwrap();
    let lines = stage["lines"].as_array().unwrap();
    let line = lines.iter().find(|line| line["name"] == name);
    number(
        line.unwrap_or_else(|| panic!("no {name}: {stage}")),
        "exact_g",
    )
}

/// All dough water and total flour, added up from the lines: the grain's share of both by its moisture.
fn water_and_flour(batch: &Value) -> (f64, f64) {
    let moisture = batch["hold_back"]["moisture"]["wet_basis"]
        .as_f64()
        .unwrap();
    let (mut water, mut flour) = (0.0, 0.0);
    for stage in batch["stages"].as_array().unwrap() {
        for line in stage["lines"].as_array().unwrap() {
            let grams = number(line, "exact_g");
            match line["kind"].as_str().unwrap() {
                "grain" => {
                    water += grams * moisture;
                    flour += grams * (1.0 - moisture);
                }
                "flour" => flour += grams,
                "water" => water += grams,
                _ => {}
            }
        }
    }
    // What is poured first is less than the estimate by what may have to be left out.
    let sum = &batch["hold_back"];
    (
        water + number(sum, "add_water_g") - number(sum, "pour_first_g"),
        flour,
    )
}

/// One dough, by hand: 1000 g of total flour are 900 g from the bag and 100 g of dry grain, 400 g wet at
/// 75 %. With 680 g of water, 20 g of salt and 0.5 g of yeast that is 1700.5 g of dough, of which 2 % stays
/// behind: 1666.49 g; 10 % bakes away: 1499.841 g.
#[test]
fn every_size_leads_to_the_same_dough() {
    let kitchen = kitchen();
    for size in [
        "--flour 900g",
        "--grain 400g",
        "--dough 1700.5g",
        "--baked 1499.841g",
        "--pieces 2 --piece 833.245g",
    ] {
        let batch = kitchen.json(&format!("batch \"small loaf\" {size} --moisture 75%"));
        near(number(&batch, "dough_g"), 1700.5, 0.01);
        near(number(&batch, "divided_g"), 1666.49, 0.01);
        near(number(&batch, "baked_g"), 1499.841, 0.01);
        for (stage, name, grams) in [
            ("sponge", "bread flour", 300.0),
            ("sponge", "water", 300.0),
            ("sponge", "instant yeast", 0.5),
            ("final dough", "sponge", 600.5),
            ("final dough", "wet grain", 400.0),
            ("final dough", "bread flour", 400.0),
            ("final dough", "wholemeal", 200.0),
            ("final dough", "salt", 20.0),
        ] {
            near(exact(&batch, stage, name), grams, 0.01);
        }
        // 680 − 300 in the sponge − 300 in the grain.
        near(number(&batch["hold_back"], "add_water_g"), 80.0, 0.01);
    }
    // Without --piece the formula says what one weighs: 4 × 800 g = 3200 g reach the tins.
    let four = kitchen.json("batch \"small loaf\" --pieces 4 --moisture 75%");
    near(number(&four, "divided_g"), 3200.0, 1e-6);
}

#[test]
fn a_file_needs_no_book() {
    let kitchen = Kitchen::bare();
    kitchen.file("loaf.toml", LOAF);
    let before = kitchen.files();
    let shown = kitchen.ok("batch loaf.toml --flour 900g --moisture 75%");
    assert!(before == kitchen.files());
    assert!(shown.starts_with("small loaf: 1700 g of dough"), "{shown}");
}

/// The promise of the whole program: grain of 72 % and of 82 % makes the same dough.
#[test]
fn lots_of_different_moisture_come_to_the_same_hydration_and_weight() {
    let kitchen = kitchen();
    let mut doughs = Vec::new();
    for moisture in ["72%", "82%"] {
        let lot = kitchen.lot("10kg");
        kitchen.ok(&format!("moisture {lot} --lab {moisture} --lab-sd 0.1%"));
        let batch = kitchen.json(&format!(
            "batch \"small loaf\" --pieces 4 --share 7% --lot {lot}"
        ));
        let (water, flour) = water_and_flour(&batch);
        near(water / flour, 0.68, 1e-6);
        near(number(&batch["hold_back"], "grain_share"), 0.07, 1e-9);
        doughs.push((
            number(&batch, "dough_g"),
            number(&batch, "baked_g"),
            flour,
            exact(&batch, "final dough", "wet grain"),
        ));
    }
    near(doughs[0].0, doughs[1].0, 1e-6);
    near(doughs[0].1, doughs[1].1, 1e-6);
    near(doughs[0].2, doughs[1].2, 1e-3);
    // The wetter lot weighs (1 − 0.72) ÷ (1 − 0.82) = 1.556 times as much; the estimates lie near 72 and 82.
    near(doughs[1].3 / doughs[0].3, 0.28 / 0.18, 0.02);
}

#[test]
fn two_lots_are_used_up_in_the_order_given() {
    let kitchen = kitchen();
    let (small, large) = (kitchen.lot("500g"), kitchen.lot("10kg"));
    for (lot, moisture) in [(&small, "75%"), (&large, "80%")] {
        kitchen.ok(&format!("moisture {lot} --lab {moisture} --lab-sd 0.1%"));
    }
    let words = format!("batch \"small loaf\" --flour 3kg --share 7% --lot {small} --lot {large}");
    let shown = kitchen.ok(&words);
    assert!(
        shown.contains(&format!("500 g of {small}, good")),
        "{shown}"
    );
    assert!(shown.contains(&format!("g of {large}, good")), "{shown}");
    let batch = kitchen.json(&words);
    let moisture = number(&batch["hold_back"]["moisture"], "wet_basis");
    assert!((0.75..0.80).contains(&moisture), "{moisture}");
    let (water, flour) = water_and_flour(&batch);
    near(water / flour, 0.68, 1e-6);
    // 7 % of 3000 ÷ 0.93 g of total flour, whichever lots it comes from.
    near(number(&batch["hold_back"], "dry_g"), 225.806, 0.001);
    // Nothing was drawn: a batch is a sum.
    assert_eq!(kitchen.on_shelf(&small)["wet_g"], 500.0);
}

#[test]
fn one_lot_says_the_largest_batch_and_a_short_one_warns() {
    let kitchen = kitchen();
    let lot = kitchen.lot("1kg");
    kitchen.ok(&format!("moisture {lot} --lab 75% --lab-sd 0.1%"));
    let shown = kitchen.ok(&format!("batch \"small loaf\" --flour 900g --lot {lot}"));
    assert!(shown.contains("Lot         enough for "), "{shown}");
    let ran = kitchen.run(&format!("batch \"small loaf\" --flour 9kg --lot {lot}"));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("fall short by"), "{}", ran.err);
}

#[test]
fn a_lot_that_is_past_or_unknown_gets_no_sum() {
    let mut kitchen = kitchen();
    let unknown = kitchen.pickup("--brewed 2026-11-20 --wet 5kg");
    let past = kitchen.lot("5kg");
    kitchen.at("2026-11-27T00:00:00Z");
    for (lot, verdict) in [(&unknown, "unknown"), (&past, "past")] {
        let said = kitchen.refused(1, &format!("batch \"small loaf\" --pieces 4 --lot {lot}"));
        let words = format!("lot `{lot}` is {verdict}, so it may not be used as food");
        assert!(said.contains(&words), "{said}");
        assert!(
            said.contains("Baking does not make spoiled grain safe"),
            "{said}"
        );
    }
    // A good lot beside it changes nothing.
    let good = {
        let lot = kitchen.json(
            "pickup --source \"Alder Lane\" --brewed 2026-11-26 --mash-out \"2026-11-26 07:30\" --cooled \"2026-11-26 09:00\" --collected \"2026-11-26 10:00\" --wet 5kg",
        );
        lot["lot"].as_str().unwrap().to_owned()
    };
    kitchen.ok(&format!(
        "batch \"small loaf\" --pieces 4 --share 5% --lot {good}"
    ));
    kitchen.refused(
        1,
        &format!("batch \"small loaf\" --pieces 4 --share 5% --lot {good} --lot {past}"),
    );
}

#[test]
fn what_makes_no_batch_is_refused() {
    let kitchen = kitchen();
    let lot = kitchen.lot("5kg");
    let loaf = "batch \"small loaf\"";
    for (code, words, said) in [
        (
            1,
            "batch \"big loaf\" --pieces 4 --moisture 75%".to_owned(),
            "is not in the book",
        ),
        (
            1,
            "batch missing.toml --pieces 4 --moisture 75%".to_owned(),
            "cannot be read",
        ),
        (2, format!("{loaf} --moisture 75%"), "--pieces"),
        (2, format!("{loaf} --pieces 4"), "--moisture"),
        (
            2,
            format!("{loaf} --pieces 4 --dough 1kg --moisture 75%"),
            "cannot be used with",
        ),
        (
            2,
            format!("{loaf} --pieces 4 --moisture 75% --lot {lot}"),
            "cannot be used with",
        ),
        (
            2,
            format!("{loaf} --dough -1kg --moisture 75%"),
            "is not more than nothing",
        ),
        (2, format!("{loaf} --dough 1 --moisture 75%"), "has no unit"),
        (
            2,
            format!("{loaf} --dough 1kg --moisture 100%"),
            "less than 100%",
        ),
        (
            1,
            format!("{loaf} --pieces 0 --moisture 75%"),
            "number of pieces is 0",
        ),
        (
            1,
            format!("{loaf} --dough 1kg --share 20% --moisture 75%"),
            "takes 5.0 % to 10.0 %",
        ),
        (
            1,
            format!("{loaf} --dough 1kg --moisture 85%"),
            "brings more water than the dough takes",
        ),
        (
            1,
            format!("{loaf} --dough 1kg --lot ALD-261120-1X"),
            "ALD-261120-1T",
        ),
        (
            2,
            format!("{loaf} --grain 1kg --lot {lot} --lot {lot}"),
            "several lots",
        ),
    ] {
        let refused = kitchen.refused(code, &words);
        assert!(refused.contains(said), "{words}\n{refused}");
    }
}

/// Both say so of a lot that is used up, in the same words.
#[test]
fn a_used_up_lot_is_named_as_such() {
    let kitchen = kitchen();
    let lot = kitchen.lot("1kg");
    kitchen.ok(&format!("discard {lot} --reason spilt"));
    let words =
        format!("error: nothing is left of lot `{lot}` `draff trace {lot}` shows where it went");
    let batch = kitchen.refused(1, &format!("batch \"small loaf\" --pieces 4 --lot {lot}"));
    let sum = format!("hold-back {lot} --wet 400g --flour 1kg --hydration 70%");
    let hold_back = kitchen.refused(1, &sum);
    assert_eq!(
        (batch.as_str(), hold_back.as_str()),
        (words.as_str(), words.as_str())
    );
}

/// 900 g of flour make dough for so many pieces; what no whole piece takes is named.
#[test]
fn flour_says_how_many_pieces_it_makes_and_what_is_over() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        include_str!("../../demo-data/formulas/pan-loaf.toml"),
    );
    let said = kitchen.ok("batch ./loaf.toml --flour 2kg --moisture 77%");
    let dough = kitchen.json("batch ./loaf.toml --flour 2kg --moisture 77%")["divided_g"]
        .as_f64()
        .unwrap();
    let pieces = (dough / 880.0).floor();
    let over = format!(
        "{pieces} pieces of 880 g and {:.0} g over",
        dough - pieces * 880.0
    );
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains(&over), "{over}: {said}");
}

#[test]
fn a_lot_of_another_form_than_the_formula_wants_is_pointed_out() {
    let kitchen = Kitchen::new();
    let loaf = include_str!("../../demo-data/formulas/pan-loaf.toml");
    let pressed = loaf.replace("colour = \"pale\"", "form = \"pressed\"");
    kitchen.file("loaf.toml", &pressed);
    let lot = kitchen.lot("10kg");
    let ran = kitchen.run(&format!("batch ./loaf.toml --pieces 2 --lot {lot}"));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("wants pressed grain"), "{}", ran.err);
}

/// What the settings say of the scale holds in every answer, and `bake done` records the water that the sheet said.
#[test]
fn the_scale_of_the_settings_holds_on_batch_and_sheet() {
    let kitchen = kitchen();
    kitchen.ok("settings scale 5g");
    let weights = |answer: &Value| -> Vec<f64> {
        let stages = answer["stages"].as_array().unwrap().clone();
        let lines = stages
            .iter()
            .flat_map(|stage| stage["lines"].as_array().unwrap().clone());
        let heavy = lines.filter(|line| number(line, "exact_g") > 100.0 && line["kind"] != "stage");
        heavy.map(|line| number(&line, "weigh_g")).collect()
    };
    let by_moisture = kitchen.json("batch 'small loaf' --pieces 7 --moisture 77.3%");
    let all = weights(&by_moisture);
    assert!(all.len() >= 4, "{by_moisture}");
    assert!(all.iter().all(|grams| grams % 5.0 == 0.0), "{all:?}");
    let finer = weights(&kitchen.json("batch 'small loaf' --pieces 7 --moisture 77.3% --scale 1g"));
    assert!(finer.iter().any(|grams| grams % 5.0 != 0.0), "{finer:?}");
}
