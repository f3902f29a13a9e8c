//! `bake advise`: which bake to add or make larger so that less grain is left over.

use crate::env::{Kitchen, LOAF, has, one_line};
use serde_json::{Value, json};

/// A kitchen without a freezer, with a formula of 10 % grain and a lot that spoils on Thursday night.
fn kitchen(wet: &str) -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("settings freezer none");
    let lot = kitchen.lot(wet);
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    (kitchen, lot)
}

fn spoiled(answer: &Value) -> f64 {
    answer["spoiled_dry_g"].as_f64().unwrap()
}

#[test]
fn each_command_that_is_advised_does_what_was_said() {
    let (kitchen, lot) = kitchen("4kg");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 6");
    kitchen.ok("bake add \"small loaf\" --at \"mon 10:00\" mix --pieces 6 --share 8%");
    let answer = kitchen.json("bake advise");
    assert!(spoiled(&answer) > 0.0);
    assert_eq!(answer["spare"][0]["lot"], lot.as_str());
    let advice = answer["advice"].as_array().unwrap();
    let kinds: Vec<&str> = advice
        .iter()
        .map(|one| one["change"].as_str().unwrap())
        .collect();
    for kind in ["pieces", "add"] {
        assert!(kinds.contains(&kind), "{answer}");
    }
    let mut saved = f64::INFINITY;
    for one in advice {
        // The best first.
        let saves = one["saved_dry_g"].as_f64().unwrap();
        assert!(saves > 0.0 && saves <= saved + 1.0, "{answer}");
        saved = saves;
        // Typed as it stands, it is taken and the plan then says the same.
        let command = one["command"]
            .as_str()
            .unwrap()
            .strip_prefix("draff ")
            .unwrap();
        let book = std::fs::read(kitchen.book()).unwrap();
        kitchen.ok(command);
        let then = kitchen.json("plan");
        let apart = spoiled(&then) - spoiled(one);
        assert!(apart.abs() < 2.0, "{command}: {apart}");
        std::fs::write(kitchen.book(), book).unwrap();
    }
}

#[test]
fn a_bake_that_takes_the_last_of_a_lot_is_told_so() {
    let (kitchen, lot) = kitchen("1500g");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 6");
    let answer = kitchen.json("bake advise");
    let best = &answer["advice"][0];
    assert_eq!(best["uses_up"], json!([lot]), "{answer}");
    assert_eq!(spoiled(best), 0.0);
    let words = kitchen.ok("bake advise");
    assert!(
        words.lines().all(|line| line.chars().count() <= 80),
        "{words}"
    );
    let line = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        line.contains(&format!("leaves none of {lot} over")),
        "{words}"
    );
    assert!(
        line.contains("0 g instead of ") && line.contains("(dry) spoils"),
        "{words}"
    );
    assert!(line.contains("draff bake change B-1S --pieces"), "{words}");
    assert!(line.contains("Feed law applies"), "{words}");
}

#[test]
fn nothing_that_spoils_needs_no_advice() {
    let (kitchen, _) = kitchen("300g");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 12");
    let answer = kitchen.json("bake advise");
    assert_eq!((spoiled(&answer), &answer["advice"]), (0.0, &json!([])));
    assert!(
        kitchen
            .ok("bake advise")
            .starts_with("Nothing spoils until ")
    );
}

#[test]
fn without_a_bake_one_is_advised() {
    let (kitchen, _) = kitchen("1kg");
    let answer = kitchen.json("bake advise");
    assert_eq!(answer["advice"][0]["change"], "add", "{answer}");
    let before = kitchen.files();
    kitchen.ok("bake advise");
    assert!(before == kitchen.files(), "nothing is written");
}

#[test]
fn a_greater_share_is_advised_only_up_to_what_the_formula_takes() {
    let (kitchen, _) = kitchen("4kg");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 6 --share 8%");
    let answer = kitchen.json("bake advise");
    let share = |answer: &Value| {
        let advice = answer["advice"].as_array().unwrap().clone();
        advice.into_iter().find(|one| one["change"] == "share")
    };
    let richer = share(&answer).unwrap_or_else(|| panic!("{answer}"));
    let most = richer["grain_share"].as_f64().unwrap();
    assert!(most > 0.08);
    kitchen.ok(richer["command"]
        .as_str()
        .unwrap()
        .strip_prefix("draff ")
        .unwrap());
    assert_eq!(
        share(&kitchen.json("bake advise")),
        None,
        "it is at the most now"
    );
}

#[test]
fn grain_that_may_not_be_used_is_not_advised() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("settings freezer none");
    kitchen.pickup("--brewed 2026-11-10 --mash-out 07:30 --cooled 09:00 --wet 5kg");
    let refused = kitchen.refused(3, "bake advise");
    assert!(
        refused.contains("no lot on hand may go into a dough"),
        "{refused}"
    );
    let lot = kitchen.lot("300g");
    kitchen.ok("bake add \"small loaf\" --at \"sun 10:00\" mix --pieces 12");
    let answer = kitchen.json("bake advise");
    assert_eq!(answer["spare"], json!([]), "{lot}: {answer}");
    assert_eq!(answer["advice"], json!([]));
    let words = kitchen.ok("bake advise");
    assert!(
        words.contains("Baking does not make spoiled grain safe"),
        "{words}"
    );
}

#[test]
fn a_book_without_grain_has_no_advice() {
    let kitchen = Kitchen::new();
    let refused = kitchen.refused(3, "bake advise");
    assert!(refused.contains("no grain is on hand"), "{refused}");
}

/// The search leaves milligrams over, which show as 0 g before and after.
#[test]
fn an_effect_that_shows_no_difference_is_not_told() {
    let kitchen = Kitchen::bare();
    kitchen.ok("demo");
    let words = one_line(
        &kitchen.ok("--book draffbook-demo/book.draff --now \"2026-11-20 18:20\" bake advise"),
    );
    has(&words, "more in B-5K");
    assert!(!words.contains("spoils instead of"), "{words}");
}
