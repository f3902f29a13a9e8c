//! Faults that were found in use in moisture and hold-back: the water limit, samples that dry on, samples far apart, lots
//! that are joined away and grain that was dried as planned.

use crate::env::{Kitchen, has};

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
        let said = kitchen.ok(&format!("{dough} --thirst none"));
        has(&said, "0 g of water first");
        assert!(!said.contains("Warning"), "{said}");
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
