//! Words that said something else than what was so: layers, drying samples, thirst, gaps of a logger, sums of a sheet.

use crate::env::{Kitchen, has, one_line};
use serde_json::{Value, json};
use std::fmt::Write;

const LOAF: &str = include_str!("formula/loaf.toml");

/// The loaf with half as much grain, so that untested grain is not too wet for it.
fn with_formula(text: &str) -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        text.replace("wanted = \"10%\"", "wanted = \"5%\"")
            .replace("share = \"70%\"", "share = \"75%\""),
    );
    kitchen.ok("formula add loaf.toml");
    kitchen
}

/// Readings every ten minutes from Friday 20 November 2026, 10:00, for so many minutes.
fn logged(minutes: usize, celsius: impl Fn(usize) -> f64) -> String {
    let mut rows = String::from("time,temp C\n");
    for passed in (0..=minutes).step_by(10) {
        let all = 600 + passed;
        let (day, hour, minute) = (20 + all / 1440, all / 60 % 24, all % 60);
        writeln!(
            rows,
            "2026-11-{day} {hour:02}:{minute:02},{}",
            celsius(passed)
        )
        .unwrap();
    }
    rows
}

/// Grain that lies there already and is said to lie thinner counts as thin as is said, in every answer.
#[test]
fn a_layer_that_is_stated_later_is_told_everywhere() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21 10:00");
    let mild = |passed| if passed % 120 == 60 { 4.6 } else { 3.5 };
    kitchen.file("f.csv", logged(1440, mild));
    kitchen.ok("readings fridge --csv f.csv");
    has(&one_line(&kitchen.ok("shelf")), "states another");
    kitchen.at("2026-11-21 11:00");
    kitchen.ok("place change fridge --layer 1cm");
    let told = one_line(&kitchen.ok("shelf"));
    has(&told, "a layer of 1 cm that cools like one of 2 cm");
    assert!(!told.contains("states another"), "{told}");
    assert_eq!(kitchen.on_shelf(&lot)["layer_cm"], json!(1.0));
    assert_eq!(
        kitchen.json("readings fridge --summary")["layer_cm"],
        json!(1.0)
    );
    let summary = one_line(&kitchen.ok("readings fridge --summary"));
    has(&summary, "a layer of 1 cm that cools like one of 2 cm");
    assert!(!summary.contains("for want of a stated one"), "{summary}");
}

/// (114.2 − 38.2) ÷ 100 = 76 % so far: arithmetic.
#[test]
fn a_sample_that_is_drying_is_named_wherever_the_estimate_is() {
    let kitchen = with_formula(LOAF);
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} 14.2 114.2 45 41 38.2 g"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 15:00\" mix --pieces 4 --lot {lot}"
    ));
    let batch = format!("batch \"small loaf\" --pieces 4 --lot {lot}");
    let sum = format!("hold-back {lot} --share 5% --flour 1kg --hydration 68%");
    let known = [
        kitchen.on_shelf(&lot)["moisture"].clone(),
        kitchen.json(&sum)["moisture"].clone(),
        kitchen.json(&batch)["hold_back"]["moisture"].clone(),
        kitchen.json("sheet B-1S")["hold_back"]["moisture"].clone(),
    ];
    for moisture in known {
        assert_eq!(
            (&moisture["unfinished_samples"], &moisture["at_least"]),
            (&json!(1), &json!(0.76)),
            "{moisture}"
        );
    }
    for words in [batch.as_str(), "sheet B-1S"] {
        let said = one_line(&kitchen.ok(words));
        has(
            &said,
            &format!("{lot}: 1 sample still drying, at least 76 %"),
        );
    }
}

/// Less grain than the hydration was found with: its thirst takes water off, and what is held back is for grain that
/// drinks little.
#[test]
fn the_thirst_that_is_in_the_hydration_is_told_in_its_direction() {
    let found_with = "[grain]\nhydration_with = { form = \"whole\", share = \"10%\" }";
    let kitchen = with_formula(&LOAF.replace("[grain]", found_with));
    let lot = kitchen.lot("6kg");
    let said = one_line(&kitchen.ok(&format!("batch \"small loaf\" --pieces 4 --lot {lot}")));
    has(&said, "less water, about");
    has(&said, "in case it drinks little");
    assert!(!said.contains("drinks more"), "{said}");
    let more = with_formula(LOAF);
    let lot = more.lot("6kg");
    let said = one_line(&more.ok(&format!("batch \"small loaf\" --pieces 4 --lot {lot}")));
    has(&said, "in case it drinks more than flour");
}

#[test]
fn json_and_words_agree_when_samples_are_enough() {
    let kitchen = Kitchen::new();
    let agree = |words: &str| {
        let found: Value = kitchen.json(words);
        let lot = found["lot"].as_str().unwrap();
        let said = one_line(&kitchen.ok(&format!("moisture {lot}")));
        let enough = &found["samples_enough"];
        assert_eq!(enough.is_u64(), said.contains("enough"), "{found} {said}");
        enough.clone()
    };
    // One more narrows a laboratory's figure, and no test narrows what a drying sample widens.
    let lot = kitchen.lot("6kg");
    assert_eq!(agree(&format!("moisture {lot} --lab 76%")), json!(null));
    let lot = kitchen.lot("6kg");
    assert_eq!(agree(&format!("moisture {lot} 14.2 114.2 37 g")), json!(1));
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!("moisture {lot} 14.2 114.2 40 35 30.2 g"));
    assert_eq!(
        agree(&format!("moisture {lot} 13.9 113.9 37 g")),
        json!(null)
    );
}

#[test]
fn grain_does_not_thaw_in_minutes() {
    let kitchen = Kitchen::new();
    let refused = kitchen.refused(2, "settings thaw 10min");
    has(&refused, "thaw is `10min`: allowed is 1h to 96h");
    has(&refused, "write it like");
    kitchen.ok("settings thaw 1h");
}

/// Two readings five hours apart, of a probe that stands in the grain.
#[test]
fn a_gap_says_what_to_do_next_and_speaks_of_no_air() {
    let mut kitchen = Kitchen::new();
    kitchen.ok("place change fridge --probe-in grain --at 2026-11-01");
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20 17:00");
    kitchen.file(
        "f.csv",
        "time,temp C\n2026-11-20 10:00,3.5\n2026-11-20 11:00,3.5\n2026-11-20 16:00,3.5\n",
    );
    kitchen.ok("readings fridge --csv f.csv");
    let found = kitchen.on_shelf(&lot);
    assert_eq!(found["verdict"], "unknown", "{found}");
    let limit = found["binding"]["limit"].as_str().unwrap();
    assert!(
        limit.contains("readings of its place") && !limit.contains("air"),
        "{limit}"
    );
    let shelf = one_line(&kitchen.ok("shelf"));
    has(
        &shelf,
        "read in a file of its logger that covers that time: draff readings",
    );
    has(
        &shelf,
        &format!("throw it away: draff discard {lot} --reason unknown"),
    );
    let summary = one_line(&kitchen.ok("readings fridge --summary"));
    has(&summary, "In grain");
    assert!(
        !summary.contains("Air") && !summary.contains("air "),
        "{summary}"
    );
}

#[test]
fn a_pan_with_next_to_nothing_in_it_is_no_test() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let before = kitchen.entries();
    for weighed in ["50.0g,50.1g,50.05g", "50.0g,50.1g"] {
        let ran = kitchen.run(&format!("moisture {lot} --weighing {weighed}"));
        assert_ne!(ran.code, 0, "{}", ran.out);
        has(&ran.told(), "0.1 g of grain in the pan");
        has(&ran.told(), "which tells nothing");
        has(&ran.told(), "weigh about 100 g");
    }
    assert_eq!(kitchen.entries(), before);
    // A fine balance tells something of little grain.
    kitchen.ok(&format!(
        "moisture {lot} --weighing 50.00g,51.00g,50.23g --readability 0.01g"
    ));
}

/// What the scale's step asks for beyond a lot is not there: the line of the grain is the sum of its lots.
#[test]
fn the_lots_on_a_sheet_add_up_to_its_grain() {
    let grain = |wet: &str| {
        let kitchen = with_formula(LOAF);
        kitchen.ok("settings scale 5g");
        let lot = kitchen.lot(wet);
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-20 15:00\" mix --pieces 4 --lot {lot}"
        ));
        let sheet = kitchen.json("sheet B-1S");
        let stages = sheet["stages"].as_array().unwrap();
        let lines = stages
            .iter()
            .flat_map(|stage| stage["lines"].as_array().unwrap());
        let grain = lines.filter(|line| line["kind"] == "grain");
        let line: f64 = grain.map(|line| line["weigh_g"].as_f64().unwrap()).sum();
        let draws = sheet["draws"].as_array().unwrap().iter();
        let drawn: f64 = draws.map(|draw| draw["wet_g"].as_f64().unwrap()).sum();
        (line, drawn)
    };
    let (wanted, drawn) = grain("6kg");
    assert_eq!(wanted, drawn);
    let left = wanted - 2.0;
    assert_eq!(grain(&format!("{left}g")), (left, left));
}
