//! What `bake advise` tells is what `plan` comes to, before a change and after it.

use crate::env::{Kitchen, has, one_line};
use serde_json::Value;

/// A block of 750 g of dry grain in the freezer, a fresh tub of 433 g, and a bake that takes a part of the block.
fn block_and_tub() -> (Kitchen, String) {
    let (kitchen, block) = Kitchen::with_loaf("3kg");
    kitchen.ok(&format!("moisture {block} --lab 75%"));
    kitchen.ok(&format!("move {block} freezer"));
    let tub = kitchen.lot_from("Mill Brook", "--wet 1731g");
    kitchen.ok(&format!("moisture {tub} --lab 75%"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-12-01 10:00\" mix --pieces 14");
    (kitchen, block)
}

const FIGURES: [&str; 3] = ["short_dry_g", "spoiled_dry_g", "preserved_unused_dry_g"];

fn figures(told: &Value) -> [f64; 3] {
    FIGURES.map(|key| told[key].as_f64().unwrap())
}

#[test]
fn the_plan_as_things_stand_is_the_one_that_plan_shows() {
    let (kitchen, _) = block_and_tub();
    let (plan, answer) = (kitchen.json("plan"), kitchen.json("bake advise"));
    assert_eq!(figures(&answer), figures(&plan["aims"]));
    let spare = plan["spare"].as_array().unwrap();
    let told = answer["spare"].as_array().unwrap();
    assert!(!told.is_empty(), "{answer}");
    assert!(told.iter().all(|one| spare.contains(one)), "{answer}");
}

#[test]
fn a_change_that_is_typed_comes_to_the_figures_that_were_told() {
    let (kitchen, _) = block_and_tub();
    let answer = kitchen.json("bake advise");
    let advice = answer["advice"].as_array().unwrap();
    assert!(!advice.is_empty(), "{answer}");
    for one in advice {
        let book = std::fs::read(kitchen.book()).unwrap();
        let command = one["command"].as_str().unwrap();
        kitchen.ok(command.strip_prefix("draff ").unwrap());
        let plan = kitchen.json("plan");
        for (told, found) in figures(one).into_iter().zip(figures(&plan["aims"])) {
            assert!((told - found).abs() < 2.0, "{command}: {told} and {found}");
        }
        std::fs::write(kitchen.book(), book).unwrap();
    }
}

#[test]
fn the_rest_of_a_thawed_block_is_told_as_left_over() {
    let (kitchen, block) = block_and_tub();
    kitchen.ok(&format!("bake change B-1S --lot {block}"));
    let rest = 750.0 - 672.0;
    let answer = kitchen.json("bake advise");
    let spare = answer["spare"].as_array().unwrap();
    let of_block = spare.iter().find(|one| one["lot"] == block.as_str());
    let of_block = of_block.unwrap_or_else(|| panic!("{answer}"));
    assert_eq!(of_block["fate"], "keeps");
    assert!(
        (of_block["dry_g"].as_f64().unwrap() - rest).abs() < 2.0,
        "{answer}"
    );
    let words = one_line(&kitchen.ok("bake advise"));
    has(&words, "is thawed with its block, and no bake needs it yet");
}
