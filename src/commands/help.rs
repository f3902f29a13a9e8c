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
            "serve",
            "device",
            "formula",
            "rules",
            "cautions",
            "demo",
            "export-all",
            "import-all",
            "completions",
            "man",
        ],
    ),
];

/// Words that somebody may try, and the command that does it.
const MEANT: [(&str, &str); 23] = [
    ("list", "shelf"),
    ("stock", "shelf"),
    ("lots", "shelf"),
    ("add", "pickup"),
    ("temperature", "probe"),
    ("temp", "probe"),
    ("test", "moisture"),
    ("weigh", "count"),
    ("freeze", "move"),
    ("thaw", "move"),
    ("dry", "treat"),
    ("press", "treat"),
    ("split", "portion"),
    ("waste", "discard"),
    ("undo", "strike"),
    ("delete", "strike"),
    ("amend", "correct"),
    ("sell", "give"),
    ("history", "log"),
    ("recipe", "formula"),
    ("recall", "trace"),
    ("due", "today"),
    ("todo", "today"),
];

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

/// What is told of a word that is no command, where its sense is known.
pub fn meant(refusal: &Error) -> Option<String> {
    if refusal.kind() != ErrorKind::InvalidSubcommand {
        return None;
    }
    let Some(ContextValue::String(typed)) = refusal.get(ContextKind::InvalidSubcommand) else {
        return None;
    };
    let (_, name) = MEANT.iter().find(|(word, _)| word == typed)?;
    let command = CommandLine::command();
    let about = command.find_subcommand(name)?.get_about()?.to_string();
    Some(format!(
        "error: there is no command `{typed}`\n\n  draff {name}: {about}\n\n`draff help` lists all commands.\n"
    ))
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
    let command = command_of(&line, &usage);
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

/// The command of which this is the usage, such as `Usage: draff bake done <BAKE>`.
fn command_of<'a>(line: &'a Command, usage: &str) -> &'a Command {
    let mut command = line;
    for word in usage.split_whitespace().skip(2) {
        match command.find_subcommand(word) {
            Some(inner) => command = inner,
            None => break,
        }
    }
    command
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

    #[test]
    fn a_guessed_word_leads_to_the_command() {
        for (word, name) in MEANT {
            let refusal = command_line()
                .try_get_matches_from(["draff", word])
                .unwrap_err();
            let told = meant(&refusal).unwrap();
            assert!(told.contains(&format!("draff {name}: ")), "{told}");
        }
        let other = command_line().try_get_matches_from(["draff", "shelff"]);
        assert_eq!(meant(&other.unwrap_err()), None);
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
