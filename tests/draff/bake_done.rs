//! `bake done`: what figures would give and how to add them, figures far from the sheet, and grain that is not
//! taken twice.

use crate::env::{Kitchen, has};

#[test]
fn a_dough_temperature_without_the_others_says_how_to_add_them() {
    let kitchen = Kitchen::new();
    let lot = kitchen.exact_loaf();
    let done = format!("bake done B-1S --used {lot}=957g --dough-temp 26C");
    let told = kitchen.told(&done);
    has(
        &told,
        "To add them, strike the bake and write it down again, such as with --tap 12C --room 21C --grain-temp 4C",
    );
    let entry = kitchen.last_entry("baked");
    has(
        &told,
        &format!("`draff strike {entry} --reason …` undoes it"),
    );
    kitchen.ok(&format!("strike {entry} --reason \"temperatures\""));
    let told = kitchen.told(&format!(
        "{done} --tap 12C --room 21C --grain-temp 20C --water-temp 25C"
    ));
    assert!(!told.contains("not corrected"), "{told}");
    assert!(!told.contains("undoes it"), "{told}");
}

#[test]
fn a_bake_without_figures_says_what_they_would_give_and_how_to_add_them() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4 --piece 800g --lot {lot}"
    ));
    kitchen.at("2026-11-21T09:00:00Z");
    let told = kitchen.told("bake done B-1S");
    has(
        &told,
        "no water and no dough temperature recorded: from them the book learns how much your grain drinks",
    );
    let entry = told.split("`draff correct ").nth(1).unwrap();
    let entry = entry.split(' ').next().unwrap();
    kitchen.ok(&format!("correct {entry} --water 900g --reason added"));
    assert_eq!(kitchen.json("bake show B-1S")["result"]["water_g"], 900.0);
}
