//! `fetch`: how much grain to take at the next pickup.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::Value;

/// A kitchen with a formula of 10 % grain and no grain on hand, Friday morning.
fn kitchen() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen
}

fn number(answer: &Value, key: &str) -> f64 {
    answer[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key}: {answer}"))
}

/// What the amount of so much wet grain comes to.
fn amount(answer: &Value, wet_g: f64) -> Value {
    let amounts = answer["amounts"].as_array().unwrap();
    let found = amounts.iter().find(|one| one["wet_g"] == wet_g);
    found.unwrap_or_else(|| panic!("{wet_g}: {answer}")).clone()
}

#[test]
fn a_kitchen_without_any_grain_is_told_what_its_bakes_want() {
    let kitchen = kitchen();
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 40");
    let answer = kitchen.json("fetch --at \"sat 12:00\"");
    let (take, wanted) = (
        number(&answer, "take_wet_g"),
        number(&answer, "wanted_dry_g"),
    );
    assert_eq!(answer["source"], Value::Null);
    assert_eq!(answer["from"], "published default");
    assert_eq!(answer["pickup_at"], "2026-11-21T12:00:00+00:00");
    // About what is wanted, at 78 % moisture, and never so little that the firm bake lacks grain on average.
    assert!(
        take * 0.22 > 0.9 * wanted && take * 0.22 < 1.6 * wanted,
        "{answer}"
    );
    let taken = amount(&answer, take);
    assert!(number(&taken, "short_dry_g") < 0.01 * wanted);
    let nothing = amount(&answer, 0.0);
    assert!(number(&nothing, "short_dry_g") > 0.3 * wanted);
    assert_eq!(number(&nothing, "given_dry_g"), 0.0);
    // Two kilograms more are left over: what is given and what is not come to all there is.
    let more = amount(&answer, take + 2000.0);
    assert!(number(&more, "spoiled_dry_g") + number(&more, "preserved_unused_dry_g") > 200.0);
}

#[test]
fn what_is_on_hand_is_counted_and_enough_is_enough() {
    let kitchen = kitchen();
    let none = {
        kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 40");
        number(&kitchen.json("fetch --at \"sat 12:00\""), "take_wet_g")
    };
    let lot = kitchen.lot("1kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    let some = kitchen.json("fetch --at \"sat 12:00\"");
    assert!(number(&some, "take_wet_g") < none);
    assert_eq!(some["source"], "Alder Lane");
    assert_eq!(some["like_lot"], lot.as_str());
    kitchen.lot("12kg");
    let enough = kitchen.json("fetch --at \"sat 12:00\"");
    assert_eq!(number(&enough, "take_wet_g"), 0.0);
    assert_eq!(enough["because"], "covered");
    let words = kitchen.ok("fetch --at \"sat 12:00\"");
    assert!(words.starts_with("Fetch nothing from Alder Lane, Sat 21 Nov 12:00: what is on hand"));
}

#[test]
fn nothing_is_an_answer_with_a_reason() {
    let kitchen = kitchen();
    let because = |words: &str| {
        let answer = kitchen.json(words);
        assert_eq!(number(&answer, "take_wet_g"), 0.0);
        answer["because"].as_str().unwrap().to_owned()
    };
    assert_eq!(because("fetch"), "no-bakes");
    assert!(kitchen.ok("fetch").contains("draff bake add FORMULA"));
    kitchen.ok("bake add \"small loaf\" --at \"sat 10:00\" mix");
    assert_eq!(because("fetch --at \"sat 12:00\""), "bakes-before-pickup");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --free-of wheat");
    // Nobody knows what will be mashed.
    assert_eq!(because("fetch --at \"sat 12:00\""), "fits-no-bake");
    let words = kitchen.ok("fetch --at \"sat 12:00\"");
    let line: Vec<&str> = words.split_whitespace().collect();
    assert!(
        line.join(" ")
            .contains("it may hold a cereal that they must not have"),
        "{words}"
    );
}

#[test]
fn optional_bakes_count_by_their_chance() {
    let kitchen = kitchen();
    for at in ["sun 08:00", "sun 09:00", "sun 10:00", "sun 11:00"] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at}\" mix --pieces 40 --optional"
        ));
    }
    let take = |chance: &str| {
        let answer = kitchen.json(&format!("fetch --at \"sat 12:00\" --chance {chance}"));
        number(&answer, "take_wet_g")
    };
    let (never, half, always) = (take("0%"), take("50%"), take("100%"));
    assert!(
        never == 0.0 && never < half && half < always,
        "{never} {half} {always}"
    );
}

#[test]
fn the_same_book_has_the_same_answer_and_words_say_what_was_assumed() {
    let kitchen = kitchen();
    kitchen.ok("settings grain-worth 1.50");
    kitchen.lot("1kg");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 40");
    kitchen.ok("bake add \"small loaf\" --at \"mon 10:00\" mix --pieces 30 --optional");
    let words = kitchen.ok("fetch");
    assert_eq!(words, kitchen.ok("fetch"));
    for words in [&words, &kitchen.ok("fetch --us --days 60")] {
        let is_short = |line: &str| line.chars().count() <= 80;
        assert!(words.lines().all(is_short), "{words}");
    }
    let line = words.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "Fetch ",
        " from Alder Lane, Sat 21 Nov 12:00.",
        "no --at was given: tomorrow at noon",
        "no --from was given",
        "we assume that it is mashed out at the pickup",
        "tried out 200 times, with good and bad luck (--seed 1 draws the same again)",
        "1 of them optional, each with a chance of 50 % to be baked",
        "Why (on average): If you fetched ",
        "above what they want, dry",
        "below what they want, dry",
        "worth",
        "Food law comes first",
    ] {
        assert!(line.contains(said), "{said}: {words}");
    }
    // It is a calculation: nothing is written.
    let before = kitchen.files();
    kitchen.ok("fetch --seed 2 --samples 50");
    assert!(before == kitchen.files());
}

#[test]
fn grain_that_was_mashed_earlier_keeps_less_long() {
    let kitchen = kitchen();
    kitchen.lot("1kg");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 40");
    let until = |words: &str| {
        let answer = kitchen.json(words);
        answer["keep_until"].as_str().unwrap().to_owned()
    };
    let late = until("fetch --at \"sat 12:00\"");
    let early = until("fetch --at \"sat 12:00\" --mash-out \"2026-11-20 09:00\"");
    assert!(late.starts_with("2026-11-27T23:59:59") && early.starts_with("2026-11-26T23:59:59"));
}

#[test]
fn what_cannot_be_is_refused() {
    let kitchen = kitchen();
    kitchen.lot("1kg");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix");
    for (code, words, said) in [
        (1, "fetch --from Elsewhere", "known are Alder Lane"),
        (1, "fetch --at \"2026-11-01 10:00\"", "is past"),
        (
            1,
            "fetch --at \"2026-12-20 10:00\"",
            "--days NUMBER looks further ahead",
        ),
        (
            1,
            "fetch --at \"sat 10:00\" --mash-out \"sat 11:00\"",
            "after the grain is fetched",
        ),
        (2, "fetch --at soon", "--at"),
        (2, "fetch --chance 120%", "allowed is 0% to 100%"),
    ] {
        let refused = kitchen.refused(code, words);
        assert!(refused.contains(said), "{words}: {refused}");
    }
    kitchen.refused(2, "fetch --samples 5");
    kitchen.refused(2, "fetch --days 0");
}

#[test]
fn what_the_scale_does_and_what_fetch_counts_on_are_said_as_they_are() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        LOAF.replace("highest = \"10%\"", "highest = \"20%\""),
    );
    kitchen.ok("formula add loaf.toml");
    kitchen.lot("6kg");
    let said = one_line(&kitchen.ok("batch \"small loaf\" --pieces 4 --moisture 77%"));
    has(&said, "Rounding instant yeast from ");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 12:00\" mix --pieces 12");
    let said = one_line(&kitchen.ok("fetch --at \"2026-11-21 10:00\""));
    has(&said, "above the usual share if there is too much grain");
}

#[test]
fn fetch_says_first_how_much_then_why_then_what_other_amounts_come_to() {
    let (kitchen, _) = Kitchen::with_two_bakes(24);
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 60");
    let words = kitchen.ok("fetch --at \"sat 12:00\"");
    let mut lines = words.lines();
    let first = lines.next().unwrap();
    assert!(
        first.starts_with("Fetch ") && first.ends_with(" kg from Alder Lane, Sat 21 Nov 12:00."),
        "{words}"
    );
    let second = lines.next().unwrap();
    assert!(
        second.starts_with("Why (on average): If you fetched "),
        "{words}"
    );
    let others = words.find("What each amount comes to on average");
    assert!(others > words.find("Calculated"), "{words}");
}

/// What bakes get is what they want, and what is too much, without what is too little.
#[test]
fn an_amount_to_fetch_says_what_is_too_much_and_what_is_too_little() {
    let (kitchen, _) = Kitchen::with_bakes("1kg", &[("2026-11-22 06:00", 24)]);
    let words = kitchen.ok("fetch --at \"sat 12:00\"");
    has(
        &one_line(&words),
        "in your money: 0.05 for each kg frozen, 0.30 for each kg of water dried out.",
    );
    has(
        &one_line(&words),
        "Calculated tried out 200 times, with good and bad luck (--seed 1 draws the same again); amounts in steps of ",
    );
    let grams = |label: &str| -> f64 {
        let row = words.lines().find(|line| line.starts_with(label)).unwrap();
        let first = row[label.len()..].trim_start().split(' ').next().unwrap();
        first.parse().unwrap()
    };
    let (got, over, under) = (
        grams("bakes get, dry"),
        grams("  above what they want, dry"),
        grams("  below what they want, dry"),
    );
    assert!(under > 900.0 && over == 0.0, "{words}");
    assert!((got - 1152.0 + under).abs() <= 1.0, "{words}");
}

#[test]
fn fetch_names_the_one_or_two_differences_that_matter() {
    let (kitchen, _) = Kitchen::with_tested_lot();
    for (at, pieces) in [("2026-11-22 06:00", 24), ("2026-11-23 06:00", 60)] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{at}\" mix --pieces {pieces}"
        ));
    }
    let said = one_line(&kitchen.ok("fetch --at \"sat 12:00\""));
    let (_, why) = said.split_once("Why (on average): ").expect("a reason");
    let (why, _) = why.split_once(" Bakes ").expect("what it rests on");
    assert!(!why.contains("under 1 g"), "{why}");
    let sentences: Vec<&str> = why.trim_end_matches('.').split(". ").collect();
    assert!(sentences.len() <= 2, "{why}");
    for sentence in sentences {
        assert!(sentence.starts_with("If you fetched "), "{why}");
        assert!(sentence.matches(" would ").count() <= 2, "{why}");
    }
}
