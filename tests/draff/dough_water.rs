//! How much water goes with grain: the most grain a dough takes, what is poured first, and what is held back for what.

use crate::env::{Kitchen, LOAF, has, one_line};

/// Less grain than the hydration was found with: its thirst takes water off, and what is held back is for grain that
/// drinks little.
#[test]
fn the_thirst_that_is_in_the_hydration_is_told_in_its_direction() {
    let found_with = "[grain]\nhydration_with = { form = \"whole\", share = \"10%\" }";
    let kitchen = Kitchen::with_less_grain(&LOAF.replace("[grain]", found_with));
    let lot = kitchen.lot("6kg");
    let said = one_line(&kitchen.ok(&format!("batch \"small loaf\" --pieces 4 --lot {lot}")));
    has(&said, "less water, about");
    has(&said, "in case it drinks little");
    assert!(!said.contains("drinks more"), "{said}");
    let more = Kitchen::with_less_grain(LOAF);
    let lot = more.lot("6kg");
    let said = one_line(&more.ok(&format!("batch \"small loaf\" --pieces 4 --lot {lot}")));
    has(&said, "because it drinks more than flour");
}

/// 1 kg at 63 % holds 370 g dry and 630 g of water; 60 % of 680 g and 370 g is 630 g: arithmetic.
#[test]
fn grain_that_brings_exactly_the_water_of_the_dough_is_taken() {
    let kitchen = Kitchen::bare();
    for (moisture, wet, flour, hydration) in [
        ("63%", "1kg", "680g", "60%"),
        ("63%", "400g", "167g", "80%"),
        ("64%", "2500g", "1100g", "80%"),
        ("65%", "800g", "370g", "80%"),
    ] {
        let dough = format!(
            "hold-back --moisture {moisture} --moisture-sd 0% --wet {wet} --flour {flour} --hydration {hydration}"
        );
        let sum = kitchen.json(&dough);
        assert!(sum["add_water_g"].as_f64() < Some(1e-6), "{sum}");
        let said = kitchen.ok(&dough);
        has(&said, "Pour        0 g of water first");
        assert!(
            !said.contains("Warning") && !said.contains("-0 g"),
            "{said}"
        );
    }
}

/// 2 kg at 77 % hold 460 g dry: share 0.7 ÷ (1 ÷ 0.23 − 1), 952 g of water beside 460 g, 1540 g ÷ 0.7 − 460 g.
#[test]
fn what_the_refusal_of_a_dough_says_to_type_is_accepted() {
    let kitchen = Kitchen::bare();
    let said = kitchen.refused(
        1,
        "hold-back --moisture 77% --wet 2kg --flour 900g --hydration 70%",
    );
    for (words, typed) in [
        (
            "a share of no more than 20.9 %",
            "--moisture 77% --share 20.9% --flour 900g",
        ),
        (
            "press it to no more than 67.4 % moisture, then take 1411 g",
            "--moisture 67.4% --wet 1411g --flour 900g",
        ),
        (
            "no less than 1740 g from the bag",
            "--moisture 77% --wet 2kg --flour 1740g",
        ),
    ] {
        has(&said, words);
        kitchen.ok(&format!("hold-back {typed} --hydration 70%"));
    }
}

/// With the share fixed more flour takes more grain: it is no remedy.
#[test]
fn more_flour_is_no_remedy_where_the_share_is_given() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let share = "hold-back --moisture 77% --share 30% --flour 900g --hydration 70%";
    for words in [share, "batch \"small loaf\" --dough 1kg --moisture 85%"] {
        let said = kitchen.refused(1, words);
        has(&said, "a share of no more than");
        assert!(!said.contains("more flour"), "{said}");
    }
}

/// 1.07 g for each gram of flour-equivalent: 100.8 g of it, or 102.5 g were the grain as dry as its range allows.
#[test]
fn the_most_that_grain_drinks_is_what_is_held_back_for_it() {
    let said = Kitchen::bare().ok(
        "hold-back --moisture 77% --moisture-sd 0.2% --share 9% --total-flour 1120g --hydration 70%",
    );
    let said = one_line(&said);
    has(
        &said,
        "dry grain drinks more than flour: 10 g to 110 g more water in this dough, most likely 40 g. Published: ",
    );
    has(
        &said,
        "most likely 40 g. The 110 g is for the driest grain: 103 g dry. These figures",
    );
}

/// The grams of the line of the water: all of it, and its parts.
fn water_of(said: &str) -> (i64, Vec<i64>) {
    let (_, line) = said.split_once(" Water ").expect("the water");
    let (all, parts) = line.split_once(" hydration: ").expect("its parts");
    let (parts, _) = parts.split_once(';').expect("an end");
    let grams = |text: &str| text.split(' ').next().unwrap().parse().unwrap();
    (grams(all), parts.split(", ").map(grams).collect())
}

#[test]
fn what_is_poured_and_what_the_grain_brings_add_up_to_the_water_of_the_hydration() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    for line in [
        format!("hold-back {lot} --wet 440g --flour 1kg --hydration 70%"),
        format!("batch \"small loaf\" --pieces 12 --lot {lot}"),
    ] {
        let said = one_line(&kitchen.ok(&line));
        let (all, parts) = water_of(&said);
        assert_eq!(parts.len(), 3, "{said}");
        assert_eq!(parts.iter().sum::<i64>(), all, "{said}");
    }
}

#[test]
fn a_bake_that_is_done_says_of_its_thirst_what_its_sheet_said() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 1 --lot {lot}"
    ));
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    kitchen.at("2026-11-21T08:00:00Z");
    let done = one_line(&kitchen.ok("bake done B-1S --water 150g"));
    let (before, _) = sheet.split_once(" for it to drink").expect("its thirst");
    let (_, thirst) = before.rsplit_once(" is drier, ").expect("both parts");
    has(&done, &format!("({thirst} of it for the grain to drink)"));
}

#[test]
fn the_water_to_pour_says_for_which_grain_it_is_right() {
    let kitchen = Kitchen::bare();
    let dough =
        "hold-back --moisture 77% --moisture-sd 0.5% --wet 440g --flour 1kg --hydration 70%";
    let said = one_line(&kitchen.ok(dough));
    has(
        &said,
        "g of water first, for this grain at its wettest (78.0 %) Hold back",
    );
    has(
        &said,
        " g of the held-back water; on top of that, most likely 40 g of the held-back water for the grain to drink",
    );
    has(
        &said,
        "Published: for each 100 g of dry grain 10 g to 107 g more water than flour takes, most likely 40 g.",
    );
    let without = one_line(&kitchen.ok(&format!("{dough} --thirst none")));
    has(&without, "for this grain at its wettest (78.0 %) Hold back");
    assert!(!without.contains("on top"), "{without}");
}

/// Weights that are listed below the water add up to more where the grain is thirstier than flour.
#[test]
fn a_batch_says_that_the_water_for_thirst_comes_on_top() {
    let (kitchen, _) = Kitchen::with_loaf("5kg");
    let batch = "batch \"small loaf\" --pieces 4 --moisture 77%";
    let said = one_line(&kitchen.ok(batch));
    has(
        &said,
        "; on top of that, most likely 77 g of the held-back water for the grain to drink Hold back",
    );
    let without = one_line(&kitchen.ok(&format!("{batch} --thirst none")));
    assert!(!without.contains("on top"), "{without}");
}

#[test]
fn the_water_of_a_formula_says_with_which_grain_it_was_found() {
    let kitchen = Kitchen::new();
    let found_with = "[grain]\nhydration_with = { form = \"whole\", share = \"7.3%\" }";
    kitchen.file("loaf.toml", LOAF.replace("[grain]", found_with));
    let said = one_line(&kitchen.ok("formula add loaf.toml"));
    has(
        &said,
        "Water 68 % of total flour, that in the grain included; this figure was found with 7.3 % of brewers' grain (whole) in the dough",
    );
}

#[test]
fn water_for_thirst_that_the_formula_covers_is_for_drier_and_wetter_grain() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    let own = LOAF.replace("small loaf", "own loaf").replace(
        "[grain]",
        "[grain]\nhydration_with = { form = \"whole\", share = \"10%\" }",
    );
    kitchen.file("own.toml", own);
    kitchen.ok("formula add own.toml");
    let said = one_line(&kitchen.ok(&format!("batch \"own loaf\" --pieces 4 --lot {lot}")));
    has(
        &said,
        "27 g in case the grain is drier, 16 g as drier grain drinks more and wetter grain less;",
    );
    has(
        &said,
        "the hydration covers what this much grain usually drinks: it was found with as much grain of this form",
    );
}

#[test]
fn each_amount_of_water_says_for_which_grain_it_is_right() {
    let (kitchen, lot) = Kitchen::with_accepted_plan(24);
    let ask = format!("hold-back {lot} --wet 440g --flour 1kg --hydration 70%");
    let said = one_line(&kitchen.ok(&ask));
    has(
        &said,
        " g of water first, for this grain at its wettest (78.0 %)",
    );
    has(
        &said,
        " g of the held-back water; on top of that, most likely 40 g of the held-back water for the grain to drink",
    );
}

/// As much grain as the hydration was found with drinks 0 g beyond it, and JSON writes no -0.0.
#[test]
fn no_amount_in_json_is_a_negative_zero() {
    let kitchen = Kitchen::bare();
    let found_with = "[grain]\nhydration_with = { form = \"whole\", share = \"10%\" }";
    kitchen.file("loaf.toml", LOAF.replace("[grain]", found_with));
    for pieces in 1..=13 {
        let ask = format!("--json batch ./loaf.toml --pieces {pieces} --moisture 77%");
        let said = kitchen.ok(&ask);
        has(&said, "\"thirst_g\": 0.0");
        assert!(!said.contains("-0.0,"), "{said}");
    }
}
