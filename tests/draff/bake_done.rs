//! `bake done`: what figures would give and how to add them, figures far from the sheet, and grain that is not
//! taken twice.

use crate::env::{Kitchen, has, one_line};

#[test]
fn a_dough_temperature_without_the_others_says_how_to_add_them() {
    let kitchen = Kitchen::new();
    let lot = kitchen.exact_loaf();
    let done = format!("bake done B-1S --used {lot}=957g --dough-temp 26C");
    let told = kitchen.told(&done);
    let entry = kitchen.last_entry("baked");
    has(
        &told,
        &format!("To add them: `draff correct {entry} --tap 12C --room 21C --reason TEXT`"),
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
    let (mut kitchen, lot) = Kitchen::with_loaf("10kg");
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

/// The line of a sheet that was asked with temperatures says them again: typed as it stands, mixing heat is learned.
/// Without the word `bake done` would record another hold-back than the sheet said.
#[test]
fn the_line_to_record_a_bake_leaves_the_thirst_out_where_its_sheet_did() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 12 --lot {lot}"
    ));
    let line = |options: &str| one_line(&kitchen.ok(&format!("sheet B-1S {options}")));
    has(
        &line("--thirst none --tap 20C --room 24C"),
        "--came-out WORD --thirst none --tap 20C --room 24C !",
    );
    assert!(!line("--thirst published").contains("--thirst"));
}

#[test]
fn the_line_to_record_a_bake_has_the_temperatures_of_its_sheet() {
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 12 --lot {lot}"
    ));
    let plain = one_line(&kitchen.ok("sheet B-1S"));
    has(&plain, "--came-out WORD !");
    let given = "--tap 20C --room 24C --grain-temp 18.5C";
    let sheet = one_line(&kitchen.ok(&format!("sheet B-1S {given}")));
    has(&sheet, &format!("--came-out WORD {given} !"));
    kitchen.at("2026-11-21T07:00:00Z");
    let (_, line) = sheet.split_once("Record it: draff ").expect("a line");
    let (line, _) = line.split_once(" !").expect("cautions");
    let line = line
        .replacen("MASS", "900g", 1)
        .replace("TEMPERATURE", "27C")
        .replace("NUMBER", "12")
        .replace("MASS", "8.6kg")
        .replace("WORD", "well");
    has(&kitchen.told(&line), "mixing warmed the dough by");
    // Without them nothing is wrong, and it says what they would give.
    let entry = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {entry} --reason again"));
    let ran = kitchen.run("bake done B-1S --water 900g --dough-temp 27C");
    let told = ran.told();
    has(
        &told,
        "the bake is saved. How much mixing warms this dough is not learned from it: that needs the temperatures of tap and room too. You may leave it.",
    );
    assert!(!told.contains("warning"), "{told}");
}

#[test]
fn a_figure_far_from_the_sheet_names_the_entry_to_correct() {
    let done = |options: &str| {
        let (mut kitchen, lot) = Kitchen::with_loaf("4kg");
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"fri 12:00\" mix --lot {lot}"
        ));
        kitchen.at("2026-11-20T15:00:00Z");
        let told = kitchen.told(&format!("bake done B-1S {}", options.replace("LOT", &lot)));
        (kitchen, told)
    };
    let (kitchen, told) = done("--water 9kg");
    let baked = kitchen.last_entry("baked");
    has(
        &told,
        &format!("If that is a slip: `draff correct {baked} --water MASS --reason TEXT`"),
    );
    kitchen.ok(&format!("correct {baked} --water 800g --reason slip"));
    let (kitchen, told) = done("--used LOT=4kg");
    let used = kitchen.last_entry("use");
    has(
        &told,
        &format!("If that is a slip: `draff correct {used} --wet MASS --reason TEXT`"),
    );
    kitchen.ok(&format!("correct {used} --wet 800g --reason slip"));
}

#[test]
fn grain_that_a_done_bake_took_is_not_taken_again_in_silence() {
    let (mut kitchen, lot) = Kitchen::with_loaf("4kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"fri 12:00\" mix --lot {lot}"
    ));
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=800g"));
    let told = kitchen.told(&format!("use {lot} --wet 150g --for rolls"));
    assert!(!told.contains("B-1S"), "{told}");
    for name in ["\"Small Loaf\"", "b1s"] {
        let told = kitchen.told(&format!("use {lot} --wet 100g --for {name}"));
        let again = kitchen.last_entry("use");
        has(
            &told,
            &format!("B-1S, which is done, took 800 g of {lot} on Fri 20 Nov 12:00 already"),
        );
        let strike = format!("strike {again} --reason \"it was B-1S\"");
        has(&told, &format!("`draff {strike}`"));
        kitchen.ok(&strike);
    }
    kitchen.at("2026-11-21T15:00:00Z");
    let told = kitchen.told(&format!("use {lot} --wet 100g --for \"small loaf\""));
    assert!(!told.contains("B-1S"), "{told}");
}
