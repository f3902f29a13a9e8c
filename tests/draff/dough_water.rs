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
    has(&said, "in case it drinks more than flour");
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
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let share = "hold-back --moisture 77% --share 30% --flour 900g --hydration 70%";
    for words in [share, "batch \"small loaf\" --dough 1kg --moisture 85%"] {
        let said = kitchen.refused(1, words);
        has(&said, "a share of no more than");
        assert!(!said.contains("more flour"), "{said}");
    }
}
