//! `settings scale`: every figure that is weighed out is one that the scale of the house shows, in words; JSON is exact.

use crate::env::{Kitchen, LOAF, has, one_line};

/// With the small loaf, on a scale of 5 g.
fn kitchen() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("settings scale 5g");
    kitchen
}

fn nearest(grams: f64) -> f64 {
    (grams / 5.0).round() * 5.0
}

/// Every number of grams in a part of an answer.
fn grams_in(text: &str) -> Vec<f64> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let followed_by_g = words.windows(2).filter(|pair| {
        let unit = pair[1].trim_end_matches([',', ';', ':', '.', ')']);
        unit == "g"
    });
    followed_by_g
        .filter_map(|pair| pair[0].trim_start_matches('(').parse().ok())
        .collect()
}

#[track_caller]
fn all_on_it(text: &str) {
    let grams = grams_in(text);
    assert!(!grams.is_empty(), "{text}");
    assert!(grams.iter().all(|grams| grams % 5.0 == 0.0), "{text}");
}

/// The paragraph of an answer that begins with a label.
#[track_caller]
fn labelled(answer: &str, label: &str) -> String {
    let mut lines = answer.lines().skip_while(|line| !line.starts_with(label));
    let first = lines
        .next()
        .unwrap_or_else(|| panic!("no {label}: {answer}"));
    let more = lines.take_while(|line| line.starts_with("            "));
    let all: Vec<&str> = std::iter::once(first).chain(more).collect();
    one_line(&all.join(" "))
}

#[test]
fn the_lines_above_the_weights_of_a_batch_say_what_the_weights_say() {
    let kitchen = kitchen();
    let ask = "batch 'small loaf' --pieces 7 --piece 417g --moisture 77.3%";
    let words = kitchen.ok(ask);
    has(&one_line(&words), "7 pieces of 415 g");
    let held = labelled(&words, "Hold back");
    all_on_it(&held);
    let json = kitchen.json(ask);
    let exact = json["hold_back"]["keep_back_g"].as_f64().unwrap();
    has(&held, &format!("Hold back {} g:", nearest(exact)));
    // What it is for adds up to it.
    let grams = grams_in(&held);
    assert_eq!(grams[0], grams[1] + grams[2], "{held}");
    let finer = kitchen.json(&format!("{ask} --scale 1g"));
    assert_eq!(json["hold_back"], finer["hold_back"]);
    has(
        &one_line(&kitchen.ok(&format!("{ask} --scale 1g"))),
        "7 pieces of 417 g",
    );
}

#[test]
fn a_formula_file_is_weighed_on_the_scale_of_the_house_too() {
    let kitchen = kitchen();
    let words = kitchen.ok("batch ./loaf.toml --pieces 7 --piece 417g --moisture 77.3%");
    has(&one_line(&words), "7 pieces of 415 g");
}

#[test]
fn of_several_lots_each_is_weighed_on_it() {
    let kitchen = kitchen();
    let small = kitchen.lot("403g");
    let large = kitchen.lot_from("Tarn Fell", "--wet 10kg");
    for lot in [&small, &large] {
        kitchen.ok(&format!("moisture {lot} --lab 77%"));
    }
    let words = kitchen.ok(&format!(
        "batch 'small loaf' --pieces 9 --lot {small} --lot {large}"
    ));
    let grain = labelled(&words, "Grain");
    let (of_small, of_large) = grain.split_once(" and ").unwrap();
    assert!(grams_in(of_small)[0] <= 403.0, "{grain}");
    assert_eq!(grams_in(of_large)[0] % 5.0, 0.0, "{grain}");
}

#[test]
fn a_dough_without_a_lot_has_its_water_on_it() {
    let kitchen = kitchen();
    let ask = "hold-back --moisture 77% --wet 441g --flour 1kg --hydration 70%";
    let exact = kitchen.json(ask);
    let grams = |key: &str| nearest(exact[key].as_f64().unwrap());
    let words = kitchen.ok(ask);
    has(
        &words,
        &format!("Pour        {} g of water first", grams("pour_first_g")),
    );
    has(
        &words,
        &format!("Hold back   {} g of water", grams("keep_back_g")),
    );
    has(
        &one_line(&words),
        &format!("likely {} g of it", grams("likely_back_g")),
    );
    // What was typed stays.
    has(&words, "441 g of wet grain (no lot) and 1000 g of flour");
    let parts = labelled(&words, "Held back");
    all_on_it(&parts);
    kitchen.ok("settings scale 1g");
    assert_eq!(kitchen.json(ask), exact);
}

#[test]
fn flour_that_follows_from_all_of_it_is_weighed_on_it() {
    let kitchen = kitchen();
    let words = kitchen.ok(
        "hold-back --moisture 77% --share 10% --total-flour 1117g --hydration 70% --thirst none",
    );
    all_on_it(&labelled(&words, "Weigh"));
}

#[test]
fn the_sheet_and_the_calendar_divide_on_it() {
    let kitchen = kitchen();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 7 --piece 417g --lot {lot}"
    ));
    let sheet = kitchen.ok("sheet B-1S");
    let make = labelled(&sheet, "Make");
    has(&make, "7 pieces of 415 g");
    all_on_it(&make);
    let water = one_line(&sheet);
    let (_, held) = water.split_once("HOLD BACK").unwrap();
    let (held, _) = held.split_once(')').unwrap();
    all_on_it(held);
    assert_eq!(kitchen.json("sheet B-1S")["piece_g"], 417.0);
}

/// What stands in an answer from one text to another.
#[track_caller]
fn between<'a>(answer: &'a str, from: &str, to: &str) -> &'a str {
    let (_, rest) = answer
        .split_once(from)
        .unwrap_or_else(|| panic!("no {from}: {answer}"));
    let (part, _) = rest
        .split_once(to)
        .unwrap_or_else(|| panic!("no {to}: {answer}"));
    part
}

#[test]
fn what_a_test_changes_is_told_on_it() {
    let kitchen = kitchen();
    let lot = kitchen.lot("8kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 7 --piece 417g");
    let plan = one_line(&kitchen.ok("plan"));
    all_on_it(between(&plan, "then holds back", "SPARE"));
    let why = one_line(&kitchen.ok(&format!("moisture {lot} --why")));
    all_on_it(between(&why, "for its moisture from", "in B-1S"));
    let today = one_line(&kitchen.ok("today"));
    all_on_it(between(&today, "for its moisture from", "in B-1S"));
}

#[test]
fn a_treatment_stops_at_a_weight_that_it_shows() {
    let kitchen = kitchen();
    let lot = kitchen.lot("8kg");
    for wet in ["941g", "947g"] {
        let plan = format!("treat {lot} --plan press --to 70% --wet-in {wet}");
        all_on_it(&labelled(&kitchen.ok(&plan), "Yield"));
    }
}

#[test]
fn a_done_bake_tells_what_its_sheet_printed() {
    let mut kitchen = kitchen();
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 4 --piece 417g --lot {lot}"
    ));
    kitchen.at("2026-11-21T06:00:00Z");
    let sheet = one_line(&kitchen.ok("sheet B-1S"));
    let thirst = between(&sheet, "in case the grain is drier, ", " for it to drink").to_owned();
    let done = one_line(&kitchen.ok("bake done B-1S"));
    has(&done, &format!("({thirst} of it for the grain to drink)"));
    all_on_it(between(&done, "sheet:", "for the grain to drink"));
}
