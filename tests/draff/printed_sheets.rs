//! What a done bake records of its sheet is what stood on the paper that the baker worked by: its scale, its lots and weights,
//! and its water where the book has another sheet by now.

use crate::env::{Kitchen, has, one_line};
use serde_json::Value;

const SATURDAY: &str = "2026-11-21T09:00:00Z";

/// A kitchen on Friday with 8 kg of tested grain and a bake on Saturday at 06:00 that names it; gives the lot.
fn kitchen() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 12 --lot {lot}"
    ));
    (kitchen, lot)
}

/// What a line of the final dough shows on a sheet, in grams.
#[track_caller]
fn weighed(sheet: &Value, kind: &str) -> f64 {
    let stages = sheet["stages"].as_array().unwrap();
    let lines = stages.last().unwrap()["lines"].as_array().unwrap();
    let line = lines.iter().find(|line| line["kind"] == kind).unwrap();
    line["weigh_g"].as_f64().unwrap()
}

fn grams(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key} in {of}"))
}

/// The wet grain, the water to pour first and that to hold back as they stand on a sheet.
fn on_paper(kitchen: &Kitchen, options: &str) -> [f64; 3] {
    let sheet = kitchen.json(&format!("sheet B-1S {options}"));
    ["grain", "water", "held back"].map(|kind| weighed(&sheet, kind))
}

/// The same as a done bake has them.
fn recorded(done: &Value) -> [f64; 3] {
    let result = &done["result"];
    [
        grams(&result["draws"][0], "wet_g"),
        grams(result, "said_pour_g"),
        grams(result, "said_hold_back_g"),
    ]
}

/// What follows "Record it: draff" on a sheet, as it is typed where nothing was measured.
fn line_to_record(kitchen: &Kitchen, options: &str) -> String {
    let sheet = one_line(&kitchen.ok(&format!("sheet B-1S {options}")));
    let (_, line) = sheet.split_once("Record it: draff ").expect("a line");
    let (line, _) = line.split_once(" !").expect("cautions");
    line.to_owned()
}

#[test]
fn a_bake_is_recorded_with_the_scale_that_its_sheet_was_asked_with() {
    let (mut kitchen, _) = kitchen();
    let paper = on_paper(&kitchen, "--scale 10g");
    assert!(paper.iter().all(|grams| grams % 10.0 == 0.0), "{paper:?}");
    assert_ne!(paper, on_paper(&kitchen, ""));
    let line = line_to_record(&kitchen, "--scale 10g");
    has(&line, "--came-out WORD --scale 10g");
    assert!(!line_to_record(&kitchen, "").contains("--scale"));
    kitchen.at(SATURDAY);
    let done = kitchen.json("bake done B-1S --scale 10g");
    assert_eq!(recorded(&done), paper);
}

/// What a refusal of `bake done` says to type of grain.
#[track_caller]
fn such_as(refused: &str) -> String {
    let said = one_line(refused);
    let (_, typed) = said.split_once("such as ").expect("an example");
    let words = typed.split(' ').take(2);
    words.collect::<Vec<_>>().join(" ")
}

#[test]
fn the_grain_to_type_of_a_bake_without_named_lots_is_that_of_its_sheet() {
    for scale in ["1g", "5g", "20g", "50g"] {
        let (mut kitchen, lot) = Kitchen::with_tested_lot();
        kitchen.ok(&format!("settings scale {scale}"));
        kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 7");
        let paper = on_paper(&kitchen, "");
        let sheet = kitchen.json("sheet B-1S");
        assert_eq!(sheet["draws"][0]["lot"], Value::from(lot), "{scale}");
        kitchen.at(SATURDAY);
        let used = such_as(&kitchen.refused(1, "bake done B-1S"));
        let done = kitchen.json(&format!("bake done B-1S {used}"));
        assert_eq!(recorded(&done), paper, "{scale}: {used}");
    }
    // A sample that was weighed after the mixing stood on no sheet.
    let (mut kitchen, lot) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 7");
    let paper = on_paper(&kitchen, "");
    kitchen.at(SATURDAY);
    kitchen.ok(&format!("moisture {lot} --lab 72% --lab-sd 0.5%"));
    let used = such_as(&kitchen.refused(1, "bake done B-1S"));
    let done = kitchen.json(&format!("bake done B-1S {used}"));
    assert_eq!(recorded(&done), paper, "{used}");
    // The scale that the sheet was asked with, too.
    let (mut kitchen, _) = Kitchen::with_tested_lot();
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 7");
    let paper = on_paper(&kitchen, "--scale 50g");
    kitchen.at(SATURDAY);
    let used = such_as(&kitchen.refused(1, "bake done B-1S --scale 50g"));
    let done = kitchen.json(&format!("bake done B-1S --scale 50g {used}"));
    assert_eq!(recorded(&done), paper, "{used}");
}
