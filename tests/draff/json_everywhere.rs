//! `--json` is never left unheard: every command that answers answers in JSON, beside a file that it writes too.

use crate::env::{Kitchen, LOAF};
use serde_json::json;

/// A kitchen with a lot, a formula and a bake of it.
fn kitchen() -> (Kitchen, String, String) {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let loaf = LOAF;
    kitchen.file("loaf.toml", loaf);
    kitchen.ok("formula add loaf.toml");
    let name = loaf
        .lines()
        .find_map(|line| line.strip_prefix("name = "))
        .unwrap();
    kitchen.ok(&format!(
        "bake add {name} --at \"sat 08:00\" mix --pieces 4 --piece 800g"
    ));
    kitchen.file("air.csv", "time,temp C\n2026-11-20 09:00,4\n");
    (kitchen, lot, name.to_owned())
}

const MASSES: &str = "formula from-masses --name tin --grain 435g --moisture 77% --flour \"bread flour=600g\" --water 65g";

#[test]
fn every_command_answers_in_json() {
    let (kitchen, lot, name) = kitchen();
    for words in [
        "today",
        "shelf",
        "bake list",
        "bake show B-1S",
        "sheet B-1S",
        "sheet B-1S --html sheet.html",
        &format!("ticket {lot}"),
        &format!("ticket {lot} --html label.html"),
        "bake calendar --ics bakes.ics",
        "formula list",
        &format!("formula show {name}"),
        &format!("formula export {name}"),
        &format!("formula propose {name}"),
        MASSES,
        &format!("batch {name} --pieces 4 --moisture 77%"),
        &format!("moisture {lot}"),
        "readings fridge --csv air.csv",
        "readings fridge --summary",
        "readings fridge --summary --html air.html --svg air.svg",
        &format!("use {lot} --wet 1kg --for bread"),
        "usage",
        "usage --csv usage.csv",
        "report",
        &format!("trace {lot} --csv trace.csv --svg trace.svg"),
        "plan",
        "plan --html plan.html",
        "log",
        "place",
        "settings",
        "device",
        "source show \"Alder Lane\"",
        "check",
        "backup copy.draff",
        "export-all tables",
    ] {
        let found = kitchen.json(words);
        assert!(found.is_object(), "{words}: {found}");
    }
}

#[test]
fn a_sheet_holds_what_the_bench_weighs() {
    let (kitchen, lot, _) = kitchen();
    let sheet = kitchen.json("sheet B-1S");
    let batch = &sheet["stages"];
    assert_eq!(sheet["bake"], "B-1S");
    assert_eq!(sheet["draws"][0]["lot"], json!(lot));
    assert_eq!(
        (&sheet["pieces"], &sheet["piece_g"]),
        (&json!(4), &json!(800.0))
    );
    assert_eq!(sheet["mix_at"], "2026-11-21T08:00:00+00:00");
    assert!(!batch.as_array().unwrap().is_empty());
    assert!(sheet["hold_back"]["pour_first_g"].is_number());
    let calendar = kitchen.json("bake calendar --ics bakes.ics");
    assert_eq!(calendar["bakes"][0]["bake"], "B-1S");
    assert_eq!(calendar["bakes"][0]["mix_at"], sheet["mix_at"]);
    assert_eq!(calendar["bakes"][0]["dropped"], json!(false));
    assert_eq!(calendar["tasks"], json!([]));
}

#[test]
fn the_text_of_a_formula_is_the_same_as_without() {
    let (kitchen, _, name) = kitchen();
    for words in [MASSES, &format!("formula export {name}")] {
        assert_eq!(kitchen.json(words)["toml"], json!(kitchen.ok(words)));
    }
}

#[test]
fn two_answers_do_not_share_stdout() {
    let (kitchen, lot, _) = kitchen();
    for words in [
        "--json usage --csv -",
        "--json sheet B-1S --html -",
        "--json bake calendar --ics -",
        "--json plan --html -",
        &format!("--json trace {lot} --csv -"),
        "--json readings fridge --summary --svg -",
        "readings fridge --summary --svg - --html -",
    ] {
        let said = kitchen.refused(2, words);
        assert!(said.contains("stdout takes one answer"), "{words}: {said}");
    }
}
