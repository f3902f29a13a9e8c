//! Every command's help has an example, each example works on a book that it fits, and the help says plainly what it means.

use crate::device;
use crate::env::{Kitchen, has, one_line};
use std::fs;

/// A book with the lots, entries, bakes, places, devices and files that the examples name.
fn fitting() -> Kitchen {
    let mut kitchen = Kitchen::bare();
    let formula = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/demo-data/formulas/pan-loaf.toml"
    );
    let formula = fs::read_to_string(formula)
        .unwrap()
        .replace("Quern pan loaf", "pan loaf");
    kitchen.file("pan-loaf.toml", &formula);
    kitchen.file(
        "fridge.csv",
        "time,temp C\n2026-11-16 08:00,3.9\n2026-11-16 08:10,4.0\n",
    );
    kitchen.file(
        "log.csv",
        "Stamp,Probe\n2026-11-16 08:00,-0.4\n2026-11-16 08:10,-0.2\n",
    );
    kitchen.at("2026-11-16T07:00:00Z");
    kitchen.ok("new-book --name \"Mill Street\"");
    kitchen.ok("place add old-fridge --kind fridge");
    kitchen.at("2026-11-18T12:00:00Z");
    let pickup = |kitchen: &Kitchen, source: &str, options: &str| {
        kitchen.ok(&format!(
            "pickup --source \"{source}\" --brewed today --mash-out 07:30 --cooled 09:00 {options}"
        ))
    };
    pickup(
        &kitchen,
        "Alder Lane",
        "--wet 12kg --grist \"wheat malt 100%\"",
    );
    pickup(&kitchen, "Tarn Fell", "--wet 2kg");
    pickup(&kitchen, "Tarn Fel", "--wet 2kg --new-source");
    kitchen.at("2026-11-20T10:00:00Z");
    kitchen.ok("formula add pan-loaf.toml");
    device::pair(&kitchen, "Ada", [1; 32]);
    pickup(
        &kitchen,
        "Alder Lane",
        "--wet 20kg --grist \"pale barley malt 100%\"",
    );
    pickup(&kitchen, "Alder Lane", "--wet 6kg");
    kitchen.ok("bake add \"pan loaf\" --at \"sat 07:30\" ready --lot ALD-261120-1T");
    kitchen.ok("use ALD-261118-15 500g --for \"pan loaf\"");
    kitchen.file(
        "pan-loaf.toml",
        formula.replace("pieces = 12", "pieces = 14"),
    );
    kitchen.at("2026-11-20T14:00:00Z");
    kitchen
}

/// What has to be done before an example makes sense.
const BEFORE: [(&str, &str); 3] = [
    ("import-all", "export-all book-as-csv"),
    ("restore", "backup book-friday.draff"),
    ("plan", "bake add \"pan loaf\" --at \"sun 07:30\" ready"),
];

/// The examples in the help of a command, each as one line.
fn examples(help: &str) -> Vec<String> {
    let Some((_, after)) = help.split_once("Example") else {
        return Vec::new();
    };
    let after = after.trim_start_matches('s').trim_start_matches(':');
    let mut found: Vec<String> = Vec::new();
    for line in after.split("\n\n").next().unwrap_or_default().lines() {
        let typed = line.trim();
        if let Some(words) = typed.strip_prefix("draff ") {
            found.push(words.to_owned());
        } else if let Some(last) = found.last_mut() {
            last.push(' ');
            last.push_str(typed);
        }
    }
    found
}

fn commands(kitchen: &Kitchen) -> Vec<String> {
    let help = kitchen.ok("--help");
    help.lines()
        .filter_map(|line| line.strip_prefix("  "))
        .filter(|line| line.starts_with(|first: char| first.is_ascii_lowercase()))
        .filter_map(|line| line.split_whitespace().next())
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_command_has_an_example_that_works() {
    let mut wrong = Vec::new();
    for (command, help) in all_helps() {
        let found = examples(&help);
        if found.is_empty() {
            wrong.push(format!("{command} has no example"));
        }
        for example in found {
            // It goes on until it is told to stop; `tests/page/` asks its pages.
            if command == "serve" {
                continue;
            }
            let kitchen = fitting();
            for (of, before) in BEFORE {
                if of == command {
                    kitchen.ok(before);
                }
            }
            // Where an answer goes into a file, the shell does that.
            let typed = example.split(" > ").next().unwrap_or_default();
            let ran = kitchen.run(typed);
            if ran.code != 0 {
                wrong.push(format!("{typed}\n{}", ran.err));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The help of a command and of those below it, each under what is typed for it.
fn helps(kitchen: &Kitchen, command: &str, found: &mut Vec<(String, String)>) {
    let help = kitchen.ok(&format!("{command} --help"));
    if let Some((_, listed)) = help.split_once("Commands:\n") {
        for line in listed.lines().take_while(|line| !line.is_empty()) {
            let name = line.split_whitespace().next().unwrap();
            if line.starts_with("  ") && !line.starts_with("   ") && name != "help" {
                helps(kitchen, &format!("{command} {name}"), found);
            }
        }
    }
    found.push((command.to_owned(), help));
}

/// Those of all commands.
fn all_helps() -> Vec<(String, String)> {
    let kitchen = Kitchen::bare();
    let mut found = Vec::new();
    for command in commands(&kitchen) {
        helps(&kitchen, &command, &mut found);
    }
    assert!(
        found.len() > 55,
        "those below commands too: {}",
        found.len()
    );
    found
}

#[test]
fn every_help_fits_a_terminal_of_80_columns() {
    let found = all_helps();
    let wide: Vec<String> = found
        .iter()
        .flat_map(|(command, help)| {
            let lines = help.lines().filter(|line| line.chars().count() > 80);
            lines.map(move |line| format!("{command}: {line}"))
        })
        .collect();
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

#[test]
fn help_is_understood_at_the_first_reading() {
    let kitchen = Kitchen::bare();
    for (page, said) in [
        (
            "moisture",
            "Such a sample does not count until two dried weights in a row agree.",
        ),
        (
            "correct",
            "you are told where grain that was used turns out to have been past its date.",
        ),
        (
            "correct",
            "To change how much grain went into a bake, correct its `use` entry; grain that was left out is added with draff use LOT --wet MASS --for BAKE. If you change the time of a bake, or which bake was done, its grain moves with it.",
        ),
        (
            "correct",
            "Mash-out and the statement that it was cold move by as many days; their clock times stay",
        ),
        (
            "bake",
            "Behind the clock time of a bake, type mix, in-oven or ready",
        ),
        ("moisture", "draff knows a dish by its pan and wet weight."),
        ("pickup", "a time typed without a day means the brew day"),
        ("use", "Several lots: if one is refused, none is taken."),
        (
            "hold-back",
            "All water, also that in the grain, per 100 of flour plus dry grain",
        ),
    ] {
        has(&one_line(&kitchen.ok(&format!("help {page}"))), said);
    }
}
