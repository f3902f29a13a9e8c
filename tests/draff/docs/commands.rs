//! `docs/commands.md`: every command with its arguments, options and examples, from the command line itself.

use super::hold_page;
use clap::{Arg, ArgAction, Command, CommandFactory};
use draffbook::commands::CommandLine;

const HEAD: &str = "# Commands\n\n\
    Written from the program's own command line by a test; what each answer holds as JSON or CSV is in\n\
    [formats.md](formats.md), which also says how masses, temperatures and times are typed. `--help` after any\n\
    command prints its part of this page.\n";

#[test]
fn the_command_reference_is_that_of_the_program() {
    let mut line = CommandLine::command();
    line.build();
    let mut page = format!("{HEAD}\n{}\n", paragraphs(&line));
    page.push_str("\n## Options that every command takes\n");
    page.push_str(&table(
        "option",
        line.get_arguments().filter(|option| option.is_global_set()),
    ));
    for command in line
        .get_subcommands_mut()
        .filter(|one| one.get_name() != "help")
    {
        section(&mut page, command, 2);
    }
    hold_page("commands.md", &page);
}

/// A command, and below it the commands that it has itself.
fn section(page: &mut String, command: &mut Command, depth: usize) {
    let usage = command.render_usage().to_string();
    let name = command.get_bin_name().unwrap_or_default().to_owned();
    page.push_str(&format!("\n{} {name}\n\n", "#".repeat(depth)));
    page.push_str(&format!("{}\n\n", paragraphs(command)));
    // Further lines stand below the first, set in by the width of `Usage: `.
    let usage = usage
        .trim_start_matches("Usage: ")
        .replace(&format!("\n{:7}", ""), "\n");
    page.push_str(&format!("```text\n{usage}\n```\n"));
    let own = |arg: &&Arg| !arg.is_global_set() && arg.get_id() != "help";
    let (arguments, options): (Vec<&Arg>, Vec<&Arg>) = command
        .get_arguments()
        .filter(own)
        .partition(|arg| arg.is_positional());
    page.push_str(&table("argument", arguments.into_iter()));
    page.push_str(&table("option", options.into_iter()));
    if let Some(after) = command.get_after_help() {
        page.push_str(&format!("\n```text\n{after}\n```\n"));
    }
    for inner in command
        .get_subcommands_mut()
        .filter(|one| one.get_name() != "help")
    {
        section(page, inner, depth + 1);
    }
}

fn paragraphs(command: &Command) -> String {
    command
        .get_long_about()
        .or(command.get_about())
        .map(ToString::to_string)
        .unwrap_or_default()
}

fn table<'a>(what: &str, args: impl Iterator<Item = &'a Arg>) -> String {
    let rows: String = args
        .map(|arg| format!("| `{}` | {} |\n", cell(&spelling(arg)), cell(&meaning(arg))))
        .collect();
    if rows.is_empty() {
        return rows;
    }
    format!("\n| {what} | meaning |\n|---|---|\n{rows}")
}

/// A stroke would end the cell.
fn cell(words: &str) -> String {
    words.replace('|', "\\|")
}

/// `--wet MASS`, `-q, --quiet`, `LOT`.
fn spelling(arg: &Arg) -> String {
    let values = arg.get_value_names().unwrap_or_default().join(" ");
    let short = arg.get_short().map(|short| format!("-{short}, "));
    match arg.get_long() {
        None => values,
        Some(long) if arg.get_action().takes_values() => format!("--{long} {values}"),
        Some(long) => format!("{}--{long}", short.unwrap_or_default()),
    }
}

fn meaning(arg: &Arg) -> String {
    let mut words = arg.get_help().map(ToString::to_string).unwrap_or_default();
    let defaults = arg.get_default_values();
    if arg.get_action().takes_values() && !defaults.is_empty() {
        words.push_str(&format!(" [default: {}]", defaults[0].display()));
    }
    if arg.is_required_set() {
        words.push_str("; always needed");
    }
    if matches!(arg.get_action(), ArgAction::Append) {
        words.push_str("; may be given more than once");
    }
    words
}
