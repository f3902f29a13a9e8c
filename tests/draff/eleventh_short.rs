//! Sentences that a baker with wet hands had to read twice: plans, moves, moisture, amounts to fetch, help.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

const LOAF: &str = include_str!("formula/loaf.toml");

/// So much tested grain and a firm bake of Sunday that takes up to 5.009 kg of it.
fn planned(wet: &str) -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot(wet);
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 24");
    (kitchen, lot)
}

#[test]
fn a_bake_without_grain_names_the_bakes_that_take_it() {
    for (wet, said) in [
        (
            "5kg",
            "no grain left: what fits, 1150 g dry in all, goes into B-1S",
        ),
        (
            "8kg",
            "all grain that fits comes to 1840 g dry, and part of it goes into B-1S",
        ),
    ] {
        let (kitchen, _) = planned(wet);
        kitchen.ok("bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 200 --optional");
        has(&one_line(&kitchen.ok("plan")), said);
        let plan = kitchen.json("plan");
        assert_eq!(plan["bakes"][1]["short_because"], "too-little");
    }
}

#[test]
fn a_bake_that_was_promised_nothing_gets_its_grain_as_new() {
    let (kitchen, lot) = planned("8kg");
    kitchen.ok("plan --accept");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 07:00\" mix --pieces 12");
    has(
        &one_line(&kitchen.ok("plan")),
        &format!(
            "Changed from what was promised Fri 20 Nov 10:00: new since then: B-2Q gets 2.505 kg of {lot}"
        ),
    );
}

#[test]
fn a_part_that_was_moved_says_which_mass_has_which_code() {
    let (kitchen, lot) = planned("8kg");
    let ran = kitchen.run(&format!("move {lot} --wet 4kg --to freezer"));
    has(
        &ran.told(),
        "4 kg moved: its new code is ALD-261120-2R, write it on the bag or tub. The other 4 kg keeps the code ALD-261120-1T",
    );
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], json!(4000.0));
}

/// A test that is under way is finished before another one is begun.
#[test]
fn a_sample_in_the_oven_is_the_test_that_narrows() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let shown = || one_line(&kitchen.ok(&format!("moisture {lot}")));
    has(
        &shown(),
        "One more test of a 100 g sample would narrow ± 7.3 to ± 1.1 points",
    );
    kitchen.ok(&format!("moisture {lot} --weighing 12g,112g"));
    let drying = shown();
    has(
        &drying,
        "Finish the sample that is drying: one of 100 g would narrow ± 7.3 to ± 1.1 points",
    );
    assert!(!drying.contains("One more"), "{drying}");
    kitchen.ok(&format!("moisture {lot} --weighing 14g,115g"));
    has(&shown(), "Finish the samples that are drying: one of 100 g");
}

#[test]
fn the_doubt_of_the_oven_and_the_use_of_a_test_are_said_plainly() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!(
        "moisture {lot} --weighing 14.2g,114.5g,37.2g --weighing 13.8g,114.1g,37.0g"
    ));
    let why = one_line(&kitchen.ok(&format!("moisture {lot} --why")));
    has(
        &why,
        "the oven, which shifts all samples alike, so more of them do not help: ",
    );
    has(&why, "no bake is planned, so a test helps no dough now");
}

/// 1.07 g for each gram of flour-equivalent: 100.8 g of it, or 102.5 g were the grain as dry as its range allows.
#[test]
fn the_most_that_grain_drinks_is_one_figure_and_the_driest_grain_another_sentence() {
    let said = Kitchen::bare().ok(
        "hold-back --moisture 77% --moisture-sd 0.2% --share 9% --total-flour 1120g --hydration 70%",
    );
    has(
        &one_line(&said),
        "dry grain takes up 10 g to 108 g more water than flour would, likely 40 g. If the grain is as dry as its range allows, it takes up to 110 g more: that much is held back for it. Published: ",
    );
}

#[test]
fn the_water_to_pour_says_for_which_grain_it_is_right() {
    let kitchen = Kitchen::bare();
    let dough =
        "hold-back --moisture 77% --moisture-sd 0.5% --wet 440g --flour 1kg --hydration 70%";
    let said = one_line(&kitchen.ok(dough));
    has(
        &said,
        "g of water first: right if the grain is as wet as 78.0 % Hold back",
    );
    has(
        &said,
        "g to add if it is exactly 77.0 % water; the water for the grain's thirst comes on top",
    );
    has(
        &said,
        "Published: per 100 g of total flour, for each 1 % of it that is dry grain, 0.1 to 1.07 g more water, most likely 0.4.",
    );
    let without = one_line(&kitchen.ok(&format!("{dough} --thirst none")));
    has(&without, "right if the grain is as wet as 78.0 % Hold back");
    assert!(!without.contains("on top"), "{without}");
}

/// Weights that are listed below the water add up to more where the grain is thirstier than flour.
#[test]
fn a_batch_says_that_the_water_for_thirst_comes_on_top() {
    let (kitchen, _) = planned("5kg");
    let batch = "batch \"small loaf\" --pieces 4 --moisture 77%";
    let said = one_line(&kitchen.ok(batch));
    has(
        &said,
        "; the water for the grain's thirst comes on top Hold back",
    );
    let without = one_line(&kitchen.ok(&format!("{batch} --thirst none")));
    assert!(!without.contains("on top"), "{without}");
}

#[test]
fn a_bake_says_which_grain_alone_it_takes() {
    for (wishes, free_of, said) in [
        ("colour = \"pale\"", "", "only grain of pale malt"),
        ("form = \"whole\"", "", "only whole grain"),
        (
            "form = \"whole\"\ncolour = \"pale\"",
            " --free-of wheat",
            "only whole grain of pale malt and free of wheat",
        ),
    ] {
        let kitchen = Kitchen::new();
        let formula = LOAF.replace("[grain]", &format!("[grain]\n{wishes}"));
        kitchen.file("loaf.toml", formula);
        kitchen.ok("formula add loaf.toml");
        let add = "bake add \"small loaf\" --at \"2026-11-22 06:00\" mix --pieces 24";
        let added = one_line(&kitchen.ok(&format!("{add}{free_of}")));
        has(&added, &format!("% of total flour; {said}"));
    }
}

#[test]
fn cooling_counts_from_mash_out_until_a_reading_shows_it_hot() {
    let kitchen = Kitchen::new();
    let because = |temp: &str| {
        kitchen.pickup(&format!(
            "--brewed today --mash-out 09:30 --wet 9kg --temp {temp}"
        ))
    };
    let lot = because("58C");
    let cooling = |lot: &str| kitchen.on_shelf(lot)["binding"]["limit"].clone();
    assert_eq!(
        cooling(&lot),
        "cooling to 21 °C within 2 h of mash-out is not shown"
    );
    let hot = because("63C");
    assert_eq!(
        cooling(&hot),
        "cooling to 21 °C within 2 h of leaving 60 °C is not shown"
    );
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

/// What bakes get is what they want, and what is too much, without what is too little.
#[test]
fn an_amount_to_fetch_says_what_is_too_much_and_what_is_too_little() {
    let (kitchen, _) = planned("1kg");
    let words = kitchen.ok("fetch --at \"sat 12:00\"");
    has(
        &one_line(&words),
        "in your money: 0.05 for each kg frozen, 0.30 for each kg of water dried out.",
    );
    has(
        &one_line(&words),
        "Calculated tried out 200 times, with luck good and bad (--seed 1 draws the same again), in steps of ",
    );
    let grams = |label: &str| -> f64 {
        let row = words.lines().find(|line| line.starts_with(label)).unwrap();
        let first = row[label.len()..].trim_start().split(' ').next().unwrap();
        first.parse().unwrap()
    };
    let (got, over, under) = (
        grams("bakes get, dry"),
        grams("too much for what bakes want, dry"),
        grams("too little for what bakes want, dry"),
    );
    assert!(under > 900.0 && over == 0.0, "{words}");
    assert!((got - 1152.0 + under).abs() <= 1.0, "{words}");
}

#[test]
fn help_is_understood_at_the_first_reading() {
    let kitchen = Kitchen::bare();
    for (page, said) in [
        (
            "moisture",
            "Such a sample does not count until two dried weights in a row agree.",
        ),
        (
            "correct",
            "you are told where grain that was used turns out to have been past its date.",
        ),
        (
            "correct",
            "To change how much grain went into a bake, correct its `use` entry. If you change the time of a bake, its grain moves with it.",
        ),
        (
            "correct",
            "Mash-out and the statement that it was cold move by as many days; their clock times stay",
        ),
        (
            "bake",
            "Behind the clock time of a bake, type mix, in-oven or ready",
        ),
        (
            "moisture",
            "draff knows a sample by its pan and wet weight.",
        ),
        ("pickup", "a time typed without a day means the brew day"),
        ("use", "Several lots: if one is refused, none is taken."),
        (
            "hold-back",
            "All water, also that in the grain, per 100 of flour plus dry grain",
        ),
    ] {
        has(&one_line(&kitchen.ok(&format!("help {page}"))), said);
    }
}
