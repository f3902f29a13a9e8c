//! Faults that were found in use in moisture and hold-back: the water limit, samples that dry on, samples far apart, lots
//! that are joined away and grain that was dried as planned.

use crate::env::{Kitchen, has, one_line};

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

/// A sample at 88 % that still dries: from the dry end of the default, 70.7 %, and no further than grain can be.
#[test]
fn a_sample_that_dries_on_says_nothing_of_the_dry_end() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let ends = || {
        let found = kitchen.json(&format!("moisture {lot}"));
        let number = |key: &str| found[key].as_f64().unwrap();
        let (value, half) = (number("wet_basis"), number("expanded_95"));
        (value - half, value + half)
    };
    let (driest, wettest) = ends();
    kitchen.ok(&format!("moisture {lot} --weighing 0g,100g,20g,12g"));
    let (dry, wet) = ends();
    assert!((dry - driest).abs() < 1e-9, "{dry} and {driest}");
    assert!(wet > wettest && wet < 0.951, "{wet}");
    let said = kitchen.ok(&format!(
        "hold-back {lot} --wet 300g --flour 1kg --hydration 70%"
    ));
    has(&one_line(&said), "almost surely 70.7 % to 95.0 %");
    // A test knows the dry end better, and the sample leaves it that.
    kitchen.ok(&format!("moisture {lot} 14.2 114.2 37.2 g"));
    let (dry, _) = ends();
    assert!(dry > 0.755, "{dry}");
}

/// 64 % and 99 %, in one test or in two: a typing error that no range covers.
#[test]
fn samples_that_tell_nothing_are_named_with_what_to_type() {
    let (right, wrong) = ("--weighing 0g,100g,36g", "--weighing 0g,100g,1g");
    for tests in [
        vec![format!("{right} {wrong}")],
        vec![right.to_owned(), wrong.to_owned()],
    ] {
        let mut kitchen = Kitchen::new();
        let lot = kitchen.lot("10kg");
        let first = kitchen.entries() + 1;
        for test in &tests {
            kitchen.ok(&format!("moisture {lot} {test}"));
        }
        kitchen.at("2026-11-20T10:30:00Z");
        let last = kitchen.entries();
        let far = format!(
            "two samples lie 35.0 points apart, 64.0 % in entry {first} and 99.0 % in entry {last}"
        );
        let to_do = format!("weigh a third sample: `draff moisture {lot} PAN WET DRY g`");
        let correct = format!("`draff correct {last} --weighing PAN,WET,DRY --reason TEXT`");
        let found = kitchen.ok(&format!("moisture {lot}"));
        assert!(
            !found.contains("One more") && !found.contains("Enough"),
            "{found}"
        );
        for said in [
            found.clone(),
            kitchen.ok("shelf"),
            kitchen.ok(&format!(
                "hold-back {lot} --wet 300g --flour 1kg --hydration 70%"
            )),
        ] {
            let said = one_line(&said);
            for words in [&far, &to_do, &correct] {
                has(&said, words);
            }
            assert!(
                !said.contains("100 %") && !said.contains("100.0 %"),
                "{said}"
            );
        }
        has(&one_line(&found), "to 95 %) of ALD");
        // Put right, nothing is left of it.
        let samples = match tests.len() {
            1 => "--weighing 0g,100g,36g --weighing 0g,100g,36g",
            _ => "--weighing 0g,100g,36g",
        };
        kitchen.ok(&format!(
            "correct {last} {samples} --reason \"a digit lost\""
        ));
        assert!(!kitchen.ok("shelf").contains("points apart"));
    }
}

/// Joined twice: the lot that holds its grain now is named, and there is no range of nothing.
#[test]
fn the_moisture_of_grain_that_was_joined_away_leads_to_its_lot() {
    let mut kitchen = Kitchen::new();
    let lots = ["4kg", "5kg", "6kg"].map(|wet| kitchen.lot(wet));
    kitchen.ok(&format!("moisture {} 14.2 114.2 37.2 g", lots[0]));
    kitchen.at("2026-11-20T11:00:00Z");
    let joined = |one: &str, other: &str| {
        let made = kitchen.json(&format!("join {one} {other}"));
        made["lot"].as_str().unwrap().to_owned()
    };
    let between = joined(&lots[0], &lots[1]);
    let last = joined(&between, &lots[2]);
    for lot in [&lots[0], &lots[1], &between] {
        for why in ["", " --why"] {
            let said = kitchen.ok(&format!("moisture {lot}{why}"));
            let to_ask = format!(
                "Nothing is left of {lot}: it was joined into {last}. Ask for that lot: `draff moisture {last}{why}`"
            );
            has(&one_line(&said), &to_ask);
            for nonsense in ["0 g left", "95 % range", "Worth", "One more", "Enough"] {
                assert!(!said.contains(nonsense), "{said}");
            }
        }
    }
    let said = kitchen.ok(&format!("moisture {}", lots[0]));
    has(&said, "1 sample: 77.00 %");
    let said = kitchen.ok(&format!("moisture {last} --why"));
    has(&one_line(&said), "in the 15 kg left");
}

/// 10 kg at 78 % are 2391 g at 8 %: 2.2 kg dry.
#[test]
fn grain_that_was_dried_as_planned_holds_what_went_in() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let dry = |kitchen: &Kitchen, lot: &str| kitchen.on_shelf(lot)["dry_g"].as_f64().unwrap();
    let before = dry(&kitchen, &lot);
    kitchen.at("2026-11-20T12:00:00Z");
    let made = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 10kg --wet-out 2391g --minutes 60 --temp 65C"
    ));
    let after = dry(&kitchen, made["lot"].as_str().unwrap());
    assert!((after - before).abs() < 1.0, "{before} g and {after} g");
}
