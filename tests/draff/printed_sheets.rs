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

/// The bake of [`kitchen`] with a sheet that was printed on Friday and a test of Saturday morning, an hour before its dough was
/// weighed out; gives the lot and what stands on the paper.
fn tested_after_printing() -> (Kitchen, String, [f64; 3]) {
    let (mut kitchen, lot) = kitchen();
    let paper = on_paper(&kitchen, "");
    kitchen.at("2026-11-21T05:00:00Z");
    kitchen.ok(&format!("moisture {lot} --lab 70% --lab-sd 0.5%"));
    assert_ne!(on_paper(&kitchen, ""), paper);
    kitchen.at(SATURDAY);
    (kitchen, lot, paper)
}

/// `--said` with the water of a sheet.
fn said([_, pour, hold]: [f64; 3]) -> String {
    format!("--said {pour}g,{hold}g")
}

/// A done bake that was weighed by another sheet than the book's: what is known of that sheet, and nothing else.
#[track_caller]
fn weighed_by_paper(kitchen: &Kitchen, lot: &str, paper: [f64; 3]) {
    let shown = kitchen.json("bake show B-1S");
    assert_eq!(recorded(&shown), paper);
    assert_eq!(shown["result"]["said_thirst_g"], Value::Null);
    let [_, pour, hold] = paper;
    let log = one_line(&kitchen.ok("log B-1S"));
    has(&log, &format!("sheet: pour {pour} g, hold back {hold} g;"));
    let report = one_line(&kitchen.ok("report"));
    has(&report, "Water is compared with its sheet for 1 of 1 bake.");
    // For how much grain that sheet said its flour is not known, so the dough says nothing of thirst.
    let sum = kitchen.json(&format!(
        "hold-back {lot} --wet 100g --flour 900g --hydration 70%"
    ));
    assert_eq!(sum["thirst_bakes"], 0, "{sum}");
    has(&kitchen.ok("check"), "The book is whole");
}

#[test]
fn a_bake_by_an_older_sheet_is_recorded_with_what_that_said() {
    let (kitchen, lot, paper) = tested_after_printing();
    let told = kitchen.told(&format!(
        "bake done B-1S --used {lot}={}g --water 600g {}",
        paper[0],
        said(paper)
    ));
    assert!(!told.contains("printed before"), "{told}");
    weighed_by_paper(&kitchen, &lot, paper);
}

#[test]
fn a_test_after_the_sheet_was_printed_is_told_with_what_that_sheet_said() {
    let (kitchen, lot, paper) = tested_after_printing();
    let told = kitchen.told(&format!(
        "bake done B-1S --used {lot}={}g --water 600g",
        paper[0]
    ));
    has(
        &told,
        &format!("the moisture of `{lot}` changed at Sat 21 Nov 05:00: a sheet printed before"),
    );
    let entry = kitchen.last_entry("baked");
    let correct = format!("correct {entry} {} --reason TEXT", said(paper));
    has(&told, &format!("`draff {correct}`"));
    kitchen.ok(&correct);
    weighed_by_paper(&kitchen, &lot, paper);
    let entry = kitchen.last_entry("baked");
    let again = format!("correct {entry} {} --reason again", said(paper));
    has(&kitchen.refused(1, &again), "says that already");
    // Other figures of the bake leave the sheet as it was.
    kitchen.ok(&format!("correct {entry} --pieces 11 --reason counted"));
    weighed_by_paper(&kitchen, &lot, paper);
}

#[test]
fn what_a_bake_by_an_older_sheet_said_is_typed_again_after_a_strike() {
    let (kitchen, lot, paper) = tested_after_printing();
    kitchen.ok(&format!(
        "bake done B-1S --used {lot}={}g --water 600g {}",
        paper[0],
        said(paper)
    ));
    let entry = kitchen.last_entry("baked");
    let told = kitchen.told(&format!("strike {entry} --reason \"other bake\""));
    has(&told, &said(paper));
    let (_, command) = told.split_once("`draff bake done").expect("a command");
    let (command, _) = command.split_once('`').unwrap();
    kitchen.ok(&format!("bake done{command}"));
    weighed_by_paper(&kitchen, &lot, paper);
}

#[test]
fn a_bake_that_was_changed_after_its_sheet_was_printed_is_told() {
    let (mut kitchen, lot) = kitchen();
    let paper = on_paper(&kitchen, "");
    kitchen.at("2026-11-21T05:00:00Z");
    kitchen.ok("bake change B-1S --pieces 10");
    kitchen.at(SATURDAY);
    let told = kitchen.told(&format!("bake done B-1S --used {lot}=2kg --water 600g"));
    has(&told, "the plan of B-1S changed at Sat 21 Nov 05:00");
    has(&told, &said(paper));
}

#[test]
fn grain_that_was_counted_after_the_sheet_was_printed_is_told_where_the_sheet_takes_all_of_it() {
    for (wet, is_told) in [("2.2kg", true), ("8kg", false)] {
        let (mut kitchen, lot) = Kitchen::with_bakes(wet, &[]);
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 12 --lot {lot}"
        ));
        kitchen.at("2026-11-21T05:00:00Z");
        let counted = if is_told { "2kg" } else { "7.8kg" };
        kitchen.ok(&format!("count {lot} --wet {counted}"));
        kitchen.at(SATURDAY);
        let told = kitchen.told(&format!("bake done B-1S --used {lot}=2kg --water 600g"));
        let weight = format!("the weight of `{lot}` changed at Sat 21 Nov 05:00");
        assert_eq!(told.contains(&weight), is_told, "{told}");
        assert_eq!(told.contains("--said POUR,HOLD"), is_told, "{told}");
    }
}

#[test]
fn what_changes_no_water_of_a_sheet_is_not_told() {
    let (mut kitchen, lot) = kitchen();
    kitchen.at("2026-11-20T18:00:00Z");
    kitchen.ok(&format!("probe {lot} 3C"));
    kitchen.at(SATURDAY);
    let told = kitchen.told(&format!("bake done B-1S --used {lot}=2505g --water 600g"));
    assert!(!told.contains("printed before"), "{told}");
    // Nor what is typed after the mixing, which stood on no sheet, or what came more than a day before it.
    for (bake_at, tested_at) in [
        ("2026-11-21 06:00", "2026-11-21T08:00:00Z"),
        ("2026-11-22 12:00", "2026-11-21T08:00:00Z"),
    ] {
        let (mut kitchen, lot) = Kitchen::with_tested_lot();
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"{bake_at}\" mix --pieces 12 --lot {lot}"
        ));
        kitchen.at(tested_at);
        kitchen.ok(&format!("moisture {lot} --lab 70% --lab-sd 0.5%"));
        kitchen.at("2026-11-22T13:00:00Z");
        let told = kitchen.told(&format!("bake done B-1S --used {lot}=2kg --water 600g"));
        assert!(!told.contains("printed before"), "{told}");
    }
}

#[test]
fn the_water_of_a_sheet_is_both_amounts_or_none() {
    let (mut kitchen, _) = kitchen();
    kitchen.at(SATURDAY);
    for typed in ["626g", "626g,", "626,438", "626g,438g,1g", ""] {
        let refused = kitchen.run_words(["bake", "done", "B-1S", "--said", typed]);
        assert_eq!(refused.code, 2, "{typed}: {}", refused.err);
    }
    kitchen.ok("bake done B-1S --said 626g,0");
    let result = &kitchen.json("bake show B-1S")["result"];
    assert_eq!(grams(result, "said_hold_back_g"), 0.0);
}

#[test]
fn how_warm_the_water_of_an_older_sheet_was_to_be_is_not_known() {
    for (water, is_learned) in [("", false), ("--water-temp 24C", true)] {
        let (kitchen, lot, paper) = tested_after_printing();
        let told = kitchen.told(&format!(
            "bake done B-1S --used {lot}={}g --dough-temp 27C --tap 20C --room 21C {water} {}",
            paper[0],
            said(paper)
        ));
        let learned = told.contains("mixing warmed the dough");
        assert_eq!(learned, is_learned, "{told}");
        assert_eq!(
            told.contains("Say what the water had"),
            !is_learned,
            "{told}"
        );
    }
}
