//! Help by the day: which command belongs to which group, what somebody means who types another word, and what an argument
//! that was left out is.

use super::CommandLine;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Arg, Command, CommandFactory, Error};
use std::fmt::Write;

/// Commands in the order in which a bakery needs them.
pub const GROUPS: [(&str, &[&str]); 4] = [
    (
        "Every day",
        &[
            "today", "shelf", "pickup", "probe", "moisture", "use", "bake", "sheet", "plan", "move",
        ],
    ),
    (
        "Now and then",
        &[
            "hold-back",
            "batch",
            "treat",
            "portion",
            "join",
            "count",
            "give",
            "discard",
            "fetch",
            "cool",
            "readings",
            "ticket",
            "usage",
            "trace",
            "report",
        ],
    ),
    (
        "Putting right",
        &["log", "correct", "strike", "check", "backup", "restore"],
    ),
    (
        "Setting up",
        &[
            "new-book",
            "place",
            "source",
            "settings",
            "formula",
            "rules",
            "device",
            "serve",
            "cautions",
            "demo",
            "export-all",
            "import-all",
            "completions",
            "man",
        ],
    ),
];

/// Words that somebody may try, and the commands that do it.
const MEANT: [(&str, &[&str]); 44] = [
    ("list", &["shelf"]),
    ("ls", &["shelf"]),
    ("stock", &["shelf"]),
    ("inventory", &["shelf"]),
    ("lots", &["shelf"]),
    ("add", &["pickup"]),
    ("temperature", &["probe"]),
    ("temp", &["probe"]),
    ("test", &["moisture"]),
    ("weigh", &["count"]),
    ("freeze", &["move"]),
    ("thaw", &["move"]),
    ("dry", &["treat"]),
    ("press", &["treat"]),
    ("split", &["portion"]),
    ("waste", &["discard"]),
    ("undo", &["strike", "correct"]),
    ("delete", &["strike", "discard"]),
    ("remove", &["strike", "discard"]),
    ("amend", &["correct"]),
    ("edit", &["correct"]),
    ("change", &["correct"]),
    ("sell", &["give"]),
    ("label", &["ticket"]),
    ("print", &["sheet", "ticket"]),
    ("history", &["log"]),
    ("recipe", &["formula"]),
    ("recall", &["trace"]),
    ("due", &["today"]),
    ("todo", &["today"]),
    ("bake cancel", &["bake drop"]),
    ("bake delete", &["bake drop"]),
    ("bake remove", &["bake drop"]),
    ("bake edit", &["bake change"]),
    ("bake new", &["bake add"]),
    ("place delete", &["place close"]),
    ("place remove", &["place close"]),
    ("place edit", &["place change"]),
    ("source edit", &["source rename"]),
    ("source join", &["source merge"]),
    ("formula edit", &["formula add"]),
    ("formula change", &["formula add"]),
    ("device delete", &["device end"]),
    ("device remove", &["device end"]),
];

/// So many commands written nearly like a word are told.
const MOST_NEAR: usize = 3;

/// The command line with its commands listed in groups, one line each.
pub fn command_line() -> Command {
    let command = CommandLine::command();
    let list = grouped(&command);
    command.help_template(format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n\n{list}\nOptions:\n{{options}}{{after-help}}"
    ))
}

fn grouped(command: &Command) -> String {
    let mut list = String::new();
    for (heading, names) in GROUPS {
        let _ = writeln!(list, "{heading}:");
        for name in names {
            let about = command.find_subcommand(name).and_then(Command::get_about);
            let about = about.map(ToString::to_string).unwrap_or_default();
            let _ = writeln!(list, "  {name:<12}{about}");
        }
        list.push('\n');
    }
    list.push_str("`draff help COMMAND` says more of one of them.\n");
    list
}

/// What is told of a word that is no command: what does that job, or what is written nearly so, the nearest first.
pub fn meant(refusal: &Error) -> Option<String> {
    if refusal.kind() != ErrorKind::InvalidSubcommand {
        return None;
    }
    let Some(ContextValue::String(word)) = refusal.get(ContextKind::InvalidSubcommand) else {
        return None;
    };
    let usage = refusal.get(ContextKind::Usage)?.to_string();
    let line = CommandLine::command();
    let (command, before) = command_of(&line, &usage);
    let typed = format!("{before}{word}");
    let names: Vec<String> = match MEANT.iter().find(|(word, _)| *word == typed) {
        Some((_, names)) => names.iter().map(|name| (*name).to_owned()).collect(),
        None => near(command, &before, word),
    };
    let mut told = format!("error: there is no command `{typed}`\n\n");
    for name in &names {
        let mut words = name.split(' ');
        let command = words.try_fold(&line, |command, word| command.find_subcommand(word))?;
        let _ = writeln!(told, "  draff {name}: {}", command.get_about()?);
    }
    if !names.is_empty() {
        told.push('\n');
    }
    let help = format!("draff help {before}");
    let _ = writeln!(told, "`{}` lists all commands.", help.trim_end());
    Some(told)
}

/// The commands written nearly like this word, and those for words that are, the nearest first.
fn near(command: &Command, before: &str, word: &str) -> Vec<String> {
    let may_differ = match word.chars().count() {
        0..3 => 0,
        3..5 => 1,
        _ => 2,
    };
    let typed = format!("{before}{word}");
    let mut found: Vec<(usize, String)> = Vec::new();
    let mut try_out = |spelled: &str, name: String| {
        let apart = strsim::damerau_levenshtein(spelled, &typed);
        if apart <= may_differ {
            found.push((apart, name));
        }
    };
    for inner in command.get_subcommands() {
        let name = format!("{before}{}", inner.get_name());
        try_out(&name, name.clone());
    }
    for (spelled, names) in MEANT {
        for name in names {
            try_out(spelled, (*name).to_owned());
        }
    }
    found.sort_by_key(|(apart, _)| *apart);
    let mut names: Vec<String> = Vec::new();
    for (_, name) in found {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.truncate(MOST_NEAR);
    names
}

/// What is told of arguments that were left out: each with its line of help.
pub fn missing(refusal: &Error) -> Option<String> {
    if refusal.kind() != ErrorKind::MissingRequiredArgument {
        return None;
    }
    let Some(ContextValue::Strings(missing)) = refusal.get(ContextKind::InvalidArg) else {
        return None;
    };
    let usage = refusal.get(ContextKind::Usage)?.to_string();
    let mut line = CommandLine::command();
    line.build();
    let (command, _) = command_of(&line, &usage);
    let mut told = "error: missing from this command:\n".to_owned();
    for spelling in missing {
        let lines: Vec<String> = spelled(command, spelling).map(with_help).collect();
        if lines.is_empty() {
            return None;
        }
        let _ = writeln!(told, "  {}", lines.join("\n  or "));
    }
    let _ = writeln!(told, "\n{usage}\n\nFor more information, try '--help'.");
    Some(told)
}

/// The command of which this is the usage, such as `Usage: draff bake done <BAKE>`, and what is typed for it: `bake done `.
fn command_of<'a>(line: &'a Command, usage: &str) -> (&'a Command, String) {
    let mut command = line;
    let mut typed = String::new();
    for word in usage.split_whitespace().skip(2) {
        match command.find_subcommand(word) {
            Some(inner) => command = inner,
            None => break,
        }
        typed.push_str(word);
        typed.push(' ');
    }
    (command, typed)
}

/// The argument that the parser writes as `<BAKE>`, or those of a choice such as `<--lot <LOT>|--moisture <PERCENT>>`.
fn spelled<'a>(command: &'a Command, spelling: &'a str) -> impl Iterator<Item = &'a Arg> {
    let spelling = bare(spelling);
    command.get_arguments().filter(move |arg| {
        let written = arg.to_string();
        let name = bare(&written);
        name == spelling || spelling.split('|').any(|part| bare(part) == name)
    })
}

/// Without the brackets around it, which say whether an argument is always needed.
fn bare(spelling: &str) -> &str {
    spelling.trim_matches(['<', '>', '[', ']', '.'])
}

fn with_help(arg: &Arg) -> String {
    let written = arg.to_string();
    let name = if arg.is_positional() {
        bare(&written)
    } else {
        written.as_str()
    };
    let help = arg.get_help().map(ToString::to_string).unwrap_or_default();
    format!("{name}: {help}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_command_stands_in_one_group_on_one_line() {
        let command = CommandLine::command();
        let named: Vec<&str> = GROUPS
            .iter()
            .flat_map(|(_, names)| names.iter().copied())
            .collect();
        let there: BTreeSet<&str> = command.get_subcommands().map(Command::get_name).collect();
        assert_eq!(named.iter().copied().collect::<BTreeSet<_>>(), there);
        assert_eq!(named.len(), there.len(), "none stands twice");
        for line in grouped(&command).lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }

    /// What is told of such a line.
    fn told(line: &str) -> String {
        let refusal = command_line()
            .try_get_matches_from(line.split(' '))
            .unwrap_err();
        meant(&refusal).unwrap()
    }

    #[test]
    fn a_guessed_word_leads_to_the_commands() {
        for (typed, names) in MEANT {
            let found = told(&format!("draff {typed}"));
            for name in names {
                assert!(found.contains(&format!("draff {name}: ")), "{found}");
            }
            assert_eq!(told(&format!("draff help {typed}")), found);
        }
    }

    #[test]
    fn a_mistyped_word_leads_to_the_nearest_first() {
        for (typed, nearest) in [
            ("draff shelv", "shelf"),
            ("draff stok", "shelf"),
            ("draff pikup", "pickup"),
            ("draff help recipt", "formula"),
            ("draff bake lst", "bake list"),
            ("draff bake remov", "bake drop"),
        ] {
            let found = told(typed);
            let first = found.lines().nth(2).unwrap();
            assert!(
                first.starts_with(&format!("  draff {nearest}: ")),
                "{found}"
            );
        }
        let shelf = told("draff shelv");
        assert!(shelf.find("draff shelf:") < shelf.find("draff sheet:"));
        let nothing = told("draff bake something");
        assert_eq!(
            nothing,
            "error: there is no command `bake something`\n\n`draff help bake` lists all commands.\n"
        );
    }

    /// Each command, also those inside others, as it is typed.
    fn all(command: &Command, typed: &[String]) -> Vec<Vec<String>> {
        let mut found = vec![typed.to_vec()];
        for inner in command.get_subcommands() {
            found.extend(all(
                inner,
                &[typed, &[inner.get_name().to_owned()]].concat(),
            ));
        }
        found
    }

    #[test]
    fn whatever_is_missing_is_told_with_its_help() {
        let mut explained = 0;
        for typed in all(&CommandLine::command(), &["draff".to_owned()]) {
            let Err(refusal) = command_line().try_get_matches_from(&typed) else {
                continue;
            };
            if refusal.kind() == ErrorKind::MissingRequiredArgument {
                let told = missing(&refusal).unwrap();
                assert!(!told.contains(": \n"), "{told}");
                explained += 1;
            }
        }
        assert!(explained > 20, "{explained}");
    }
}
