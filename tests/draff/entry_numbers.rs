//! What an act wrote is told by its number, so that a slip that is seen at once needs no look into the log.

use crate::env::{Kitchen, LOAF, has, one_line};
use clap::CommandFactory;
use draffbook::commands::CommandLine;
use serde_json::{Value, json};

/// Acts that follow each other. LOT and OTHER are lots; DISCARD and GIVE are the entries of that kind.
const ACTS: [&str; 27] = [
    "pickup --source Threnby --brewed today --mash-out 08:00 --cooled 09:30 --wet 4kg",
    "pickup --csv pickups.csv",
    "moisture LOT --lab 76.5%",
    "use LOT --wet 1kg --for bread",
    "use LOT 500g OTHER 500g --for bread",
    "give LOT --wet 100g --to Ada",
    "discard LOT --wet 100g --reason burnt",
    "correct DISCARD --wet 90g --reason slip",
    "strike GIVE --reason slip",
    "move LOT --wet 1kg --to freezer",
    "treat LOT --step press --wet-in 1kg --wet-out 800g",
    "portion LOT --into 3x300g",
    "count LOT --wet 3kg",
    "probe LOT 4C",
    "place add cellar --kind fridge",
    "place change fridge --temp 3C",
    "place close counter",
    "readings fridge --csv air.csv",
    "settings tap 12C",
    "source rename \"Corrow Weir\" --to Corrow",
    "source merge Threnby --into \"Alder Lane\"",
    "bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4",
    "bake change B-1S --pieces 5",
    "plan --accept",
    "bake done B-1S --used LOT=400g --at now",
    "bake drop B-2Q",
    "join LOT OTHER --to fridge",
];

/// Commands that write no entry into a book that is there.
const WRITE_NONE: [&str; 38] = [
    "new-book",
    "demo",
    "today",
    "shelf",
    "hold-back",
    "formula add",
    "formula list",
    "formula show",
    "formula export",
    "formula propose",
    "formula from-masses",
    "batch",
    "bake list",
    "bake show",
    "bake advise",
    "bake calendar",
    "sheet",
    "ticket",
    "fetch",
    "place list",
    "cool",
    "usage",
    "trace",
    "report",
    "log",
    "source list",
    "source show",
    "serve",
    "device list",
    "device end",
    "check",
    "backup",
    "restore",
    "export-all",
    "import-all",
    "rules",
    "cautions",
    "completions",
];

/// Acts whose own words and JSON name their entries.
const NAMED: [&str; 4] = ["moisture", "readings", "correct", "strike"];

/// A kitchen with two lots and two bakes to come; gives what stands for LOT and OTHER too.
fn kitchen() -> (Kitchen, String, String) {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    let other = kitchen.lot_from("Corrow Weir", "--wet 3kg");
    kitchen.file(
        "pickups.csv",
        "source,brewed,wet\nHollow,today,1kg\nHollow,today,2kg\n",
    );
    kitchen.file("air.csv", "time,temp C\n2026-11-20 09:00,4\n");
    (kitchen, lot, other)
}

/// Does all acts one after the other, with an option before each. Hands on each act, its answer and the entries that the log
/// shows since, which are some.
fn each_act(option: &str, check: impl Fn(&str, &str, &[Value])) {
    let (kitchen, lot, other) = kitchen();
    for act in ACTS {
        // The second bake.
        if act.starts_with("bake change") {
            kitchen.ok("bake add \"small loaf\" --at \"sun 08:00\" mix --pieces 4");
        }
        let mut line = act.replace("LOT", &lot).replace("OTHER", &other);
        for kind in ["discard", "give"] {
            let name = kind.to_uppercase();
            if line.contains(&name) {
                line = line.replace(&name, &kitchen.last_entry(kind).to_string());
            }
        }
        let before = kitchen.entries();
        let answer = kitchen.ok(&format!("{option} {line}"));
        let log = kitchen.json("log");
        let mut written = log["entries"].as_array().unwrap().clone();
        written.retain(|entry| entry["entry"].as_i64().unwrap() > before);
        assert!(!written.is_empty(), "{line}");
        check(act, &answer, &written);
    }
}

#[test]
fn every_act_that_writes_entries_is_tried() {
    let mut unknown = Vec::new();
    for command in CommandLine::command().get_subcommands() {
        let name = command.get_name();
        let mut names = vec![name.to_owned()];
        if command.has_subcommands() {
            let below = command.get_subcommands();
            names = below
                .map(|below| format!("{name} {}", below.get_name()))
                .collect();
        }
        unknown.extend(names.into_iter().filter(|name| {
            let is_tried = ACTS.iter().any(|act| act.starts_with(&format!("{name} ")));
            name != "man" && !is_tried && !WRITE_NONE.contains(&name.as_str())
        }));
    }
    assert_eq!(unknown, Vec::<String>::new(), "do they write entries?");
}

#[test]
fn every_act_tells_the_numbers_that_the_log_shows() {
    for option in ["", "--quiet"] {
        each_act(option, |act, answer, written| {
            let (first, last) = (&written[0]["entry"], &written[written.len() - 1]["entry"]);
            if NAMED.iter().any(|name| act.starts_with(name)) {
                has(&one_line(answer), &format!("entry {first}"));
                return;
            }
            let line = answer.lines().last().unwrap();
            if written.len() == 1 {
                let what_for = match option {
                    "" => ". If wrong: draff correct or strike NUMBER",
                    _ => "",
                };
                assert_eq!(line, format!("Entry {first}{what_for}."), "{act}");
                return;
            }
            let said: Vec<&str> = line
                .split(|letter: char| !letter.is_ascii_digit())
                .filter(|number| !number.is_empty())
                .collect();
            assert!(line.starts_with("Entries "), "{act}: {line}");
            assert_eq!(said[0], first.to_string(), "{act}: {line}");
            assert_eq!(said[said.len() - 1], last.to_string(), "{act}: {line}");
        });
    }
}

#[test]
fn every_act_has_the_number_of_its_first_entry_in_json() {
    each_act("--json", |act, answer, written| {
        let answer: Value = serde_json::from_str(answer).unwrap();
        let key = match act.split(' ').next() {
            Some("correct") => "corrected_by",
            Some("strike") => "struck_by",
            _ => "entry",
        };
        assert_eq!(answer[key], written[0]["entry"], "{act}: {answer}");
    });
}

const NUMBERS: &str = "If wrong: draff correct or strike NUMBER";

/// Of a pickup with its temperature the number to correct is that of the pickup; of a done bake its grain stands first.
#[test]
fn entries_of_several_kinds_are_told_apart() {
    let (kitchen, lot) = Kitchen::with_tested_lot();
    let booked = kitchen.ok(
        "pickup --source \"Alder Lane\" --brewed today --mash-out 08:00 --cooled 09:30 --wet 4kg",
    );
    let first = kitchen.last_entry("pickup");
    let told = format!(
        "Entries {first} (pickup), {} (cooled). {NUMBERS}.",
        first + 1
    );
    assert_eq!(booked.lines().last(), Some(told.as_str()), "{booked}");
    kitchen.ok(&format!("correct {first} --wet 4.2kg --reason slip"));
    kitchen.ok("bake add \"small loaf\" --at \"today 10:00\" mix --pieces 2");
    let done = kitchen.ok(&format!("bake done B-1S --used {lot}=400g --at now"));
    let baked = kitchen.last_entry("baked");
    let told = format!(
        "Entries {} (use), {baked} (bake done). {NUMBERS}.",
        baked - 1
    );
    assert_eq!(done.lines().last(), Some(told.as_str()), "{done}");
}

#[test]
fn what_wrote_no_entry_tells_no_number() {
    let (kitchen, lot, _) = kitchen();
    kitchen.ok("readings fridge --csv air.csv");
    kitchen.file("other.toml", LOAF.replace("small loaf", "other loaf"));
    let entries = kitchen.entries();
    let added = kitchen.ok("formula add other.toml");
    assert!(!added.contains("\nEntr"), "{added}");
    for line in [
        "readings fridge --csv air.csv",
        "shelf",
        "today",
        "settings",
        "place",
        "source",
        &format!("moisture {lot}"),
    ] {
        let answer = kitchen.ok(line);
        assert!(!answer.contains("\nEntr"), "{line}: {answer}");
        let answer = kitchen.json(line);
        assert_eq!(answer["entry"], json!(null), "{line}: {answer}");
    }
    assert_eq!(kitchen.entries(), entries);
}

#[test]
fn a_plan_that_is_accepted_into_a_file_tells_its_number_too() {
    let (kitchen, _) = Kitchen::with_two_bakes(4);
    let told = kitchen.ok("plan --accept --html plan.html");
    let entry = kitchen.last_entry("plan");
    assert_eq!(
        told,
        format!("Entry {entry}. If wrong: draff correct or strike NUMBER.\n")
    );
    let page = kitchen.ok("plan --accept --html -");
    assert!(page.trim_end().ends_with("</html>"), "{page}");
}
