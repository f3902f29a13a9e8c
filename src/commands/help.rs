//! Help by the day: which command belongs to which group, and what somebody means who types another word.

use super::CommandLine;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Command, CommandFactory, Error};
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
}
