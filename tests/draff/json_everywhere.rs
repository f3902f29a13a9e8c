//! `--json` is never left unheard: every command that answers answers in JSON, beside a file that it writes too.

use crate::env::{Kitchen, LOAF};
use clap::CommandFactory;
use draffbook::commands::CommandLine;
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

/// Commands without an answer, and `device end`, for which the page has to pair a device first.
const NOT_ASKED: [&str; 6] = [
    "new-book",
    "demo",
    "serve",
    "completions",
    "man",
    "device end",
];

/// Every command as it is typed, those below another with both names.
fn commands() -> Vec<String> {
    let mut found = Vec::new();
    for command in CommandLine::command().get_subcommands() {
        let name = command.get_name();
        if !command.has_subcommands() {
            found.push(name.to_owned());
        }
        for below in command.get_subcommands() {
            found.push(format!("{name} {}", below.get_name()));
        }
    }
    found.retain(|command| !NOT_ASKED.contains(&command.as_str()));
    found
}

#[test]
fn every_command_answers_in_json() {
    let (kitchen, lot, name) = kitchen();
    kitchen.file("other.toml", LOAF.replace("small loaf", "other loaf"));
    let asked = [
        "cautions",
        "rules",
        "rules strict",
        "hold-back --moisture 77% --wet 1kg --flour 1kg --hydration 70%",
        "cool --from 60C --fridge 4C --depth 5cm",
        "today",
        "shelf",
        "bake list",
        "bake show B-1S",
        "sheet B-1S",
        "sheet B-1S --html sheet.html",
        &format!("ticket {lot}"),
        &format!("ticket {lot} --html label.html"),
        "bake calendar",
        "bake calendar B-1S",
        "bake calendar --ics bakes.ics",
        "bake advise",
        "fetch --samples 20",
        "formula add other.toml",
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
        "place list",
        "place add cellar --kind fridge",
        "place change fridge --kind fridge",
        "place close counter",
        "settings",
        "device",
        "device list",
        "source list",
        "source show \"Alder Lane\"",
        "pickup --source Corrow --brewed today --wet 2kg",
        "source rename Corrow --to \"Corrow Weir\"",
        "source merge \"Corrow Weir\" --into \"Alder Lane\"",
        &format!("move {lot} --wet 1kg --to freezer"),
        &format!("portion {lot} --into 2x500g"),
        &format!("give {lot} --wet 100g --to Ada"),
        &format!("discard {lot} --wet 100g --reason burnt"),
        &format!("probe {lot} 4C"),
        &format!("treat {lot} --step press --wet-in 1kg --wet-out 800g"),
        &format!("count {lot} --wet 1kg"),
        "bake add \"small loaf\" --at \"sun 08:00\" mix --pieces 4",
        "bake change B-1S --pieces 5",
        "bake drop B-2Q",
        &format!("bake done B-1S --used {lot}=400g --at now"),
        &format!("join {lot} ALD-261120-2R --to fridge"),
        "correct 5 --mash-out \"2026-11-20 07:20\" --reason slip",
        "strike 6 --reason slip",
        "check",
        "backup copy.draff",
        "export-all tables",
        "--book second.draff import-all tables",
        "restore copy.draff",
    ];
    for words in asked {
        let found = kitchen.json(words);
        assert!(found.is_object(), "{words}: {found}");
    }
    for command in commands() {
        let is_of = |words: &&str| {
            let typed = words.strip_prefix("--book second.draff ").unwrap_or(words);
            format!("{typed} ").starts_with(&format!("{command} "))
        };
        assert!(asked.iter().any(is_of), "no `{command}`");
    }
}

/// The bakes and tasks are an answer of their own; without JSON only a file shows them.
#[test]
fn a_calendar_in_json_needs_no_file() {
    let (kitchen, ..) = kitchen();
    assert_eq!(
        kitchen.json("bake calendar"),
        kitchen.json("bake calendar --ics bakes.ics")
    );
    let said = kitchen.refused(2, "bake calendar");
    assert!(said.contains("--ics FILE"), "{said}");
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
fn a_file_that_is_shown_is_the_same_text_as_without() {
    let (kitchen, _, name) = kitchen();
    for words in [
        MASSES,
        "rules",
        "rules strict",
        &format!("formula export {name}"),
    ] {
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
