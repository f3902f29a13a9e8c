//! One file for each command: arguments become a request, the ledger and the domain answer it, a
//! report is rendered. This file holds the command line as a whole.

mod backup;
mod bake;
mod bake_advise;
mod bake_calendar;
mod bake_done;
mod bake_setting;
mod batch;
mod cautions;
mod check;
mod completions;
mod cool;
mod correct;
mod count;
mod demo;
mod device;
mod discard;
mod export;
mod export_all;
mod fetch;
mod first_act;
mod formula;
mod formula_from_masses;
mod give;
pub mod help;
mod hold_back;
mod import_all;
mod join;
mod log;
mod moisture;
mod move_lot;
mod new_book;
mod pickup;
mod pickup_file;
mod place;
mod plan;
mod portion;
mod probe;
mod readings;
mod restore;
mod rules;
mod serve;
mod settings;
mod sheet;
mod shelf;
mod source;
mod strike;
mod today;
mod trace;
mod treat;
mod treat_plan;
mod typed;
mod usage;
mod use_grain;
mod warmth;

use crate::context::{Errand, Options, Surroundings};
use crate::desk::Once;
use crate::error;
use crate::quantity::{Problem, text};
use crate::render::numbers::Units;
use clap::{FromArgMatches, Parser, Subcommand};
use sha2::{Digest, Sha256};
use std::ffi::OsString;
use std::io::Write;
use std::path::PathBuf;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Done.
    Done,
    /// Done, and something was found that a scheduled check asked for.
    Found,
}

/// Heading of the options that every command takes.
const EVERY: &str = "Options of every command";

/// The book and the reckoner for baking with wet brewers' grain.
///
/// Local food law and the licensed inspector come first. A date limit is a rule, not proof of safety.
#[derive(Parser)]
#[command(name = "draff", version, max_term_width = 80)]
pub struct CommandLine {
    /// The book, a single file [default: in your data folder, or DRAFF_BOOK]
    #[arg(long, global = true, value_name = "FILE", help_heading = EVERY)]
    book: Option<PathBuf>,

    /// Take this moment as now [default: the clock, or DRAFF_NOW]
    #[arg(long, global = true, value_name = "WHEN", help_heading = EVERY)]
    now: Option<String>,

    /// Who records this
    #[arg(long, global = true, value_name = "NAME", help_heading = EVERY)]
    by: Option<String>,

    /// Do this act once, however often the same line is sent under this id
    #[arg(long, global = true, value_name = "ID", value_parser = typed::act_id, help_heading = EVERY)]
    once: Option<String>,

    /// Answer as JSON
    #[arg(long, global = true, help_heading = EVERY)]
    json: bool,

    /// Show pounds, ounces and °F
    #[arg(long, global = true, help_heading = EVERY)]
    us: bool,

    /// Leave out talk on stderr; warnings and cautions stay
    #[arg(long, short, global = true, help_heading = EVERY)]
    quiet: bool,

    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    NewBook(new_book::Arguments),
    Demo(demo::Arguments),
    Pickup(pickup::Arguments),
    Moisture(moisture::Arguments),
    Today(today::Arguments),
    Shelf(shelf::Arguments),
    HoldBack(hold_back::Arguments),
    Formula(formula::Arguments),
    Batch(batch::Arguments),
    Bake(Box<bake::Arguments>),
    Sheet(sheet::Arguments),
    Plan(plan::Arguments),
    Fetch(fetch::Arguments),
    Use(use_grain::Arguments),
    Give(give::Arguments),
    Discard(discard::Arguments),
    Move(move_lot::Arguments),
    Treat(treat::Arguments),
    Portion(portion::Arguments),
    Join(join::Arguments),
    Count(count::Arguments),
    Probe(probe::Arguments),
    Place(place::Arguments),
    Readings(readings::Arguments),
    Cool(cool::Arguments),
    Settings(settings::Arguments),
    Usage(usage::Arguments),
    Trace(trace::Arguments),
    Log(log::Arguments),
    Source(source::Arguments),
    Correct(Box<correct::Arguments>),
    Strike(strike::Arguments),
    Serve(serve::Arguments),
    Device(device::Arguments),
    Check(check::Arguments),
    Backup(backup::Arguments),
    Restore(restore::Arguments),
    ExportAll(export_all::Arguments),
    ImportAll(import_all::Arguments),
    Rules(rules::Arguments),
    Cautions(cautions::Arguments),
    Completions(completions::Arguments),
    Man(completions::ManArguments),
}

impl Command {
    /// Whether it may be an act at the desk, which an id keeps from being done twice.
    const fn is_act(&self) -> bool {
        matches!(
            self,
            Self::Pickup(_)
                | Self::Moisture(_)
                | Self::Formula(_)
                | Self::Bake(_)
                | Self::Plan(_)
                | Self::Use(_)
                | Self::Give(_)
                | Self::Discard(_)
                | Self::Move(_)
                | Self::Treat(_)
                | Self::Portion(_)
                | Self::Join(_)
                | Self::Count(_)
                | Self::Probe(_)
                | Self::Place(_)
                | Self::Readings(_)
                | Self::Settings(_)
                | Self::Source(_)
                | Self::Correct(_)
                | Self::Strike(_)
        )
    }
}

/// Parses a command line, runs it and returns the exit code.
pub fn run(
    line: impl IntoIterator<Item = OsString>,
    surroundings: &Surroundings,
    answer: &mut dyn Write,
    talk: &mut dyn Write,
) -> u8 {
    let line: Vec<OsString> = line.into_iter().collect();
    let parsed = help::command_line()
        .try_get_matches_from(&line)
        .and_then(|matches| CommandLine::from_arg_matches(&matches));
    let parsed = match parsed {
        Ok(parsed) => parsed,
        Err(refusal) => {
            // Help and the version are answers; everything else is talk.
            if refusal.use_stderr() {
                let told = help::meant(&refusal).unwrap_or_else(|| refusal.to_string());
                return error::report_unparsed(&told, talk);
            }
            let _ = write!(answer, "{}", text::visible(&refusal.to_string()));
            return error::DONE;
        }
    };
    let options = Options {
        book: parsed.book,
        now: parsed.now,
        by: parsed.by,
        once: parsed.once.map(|act_id| once(act_id, &line)),
        json: parsed.json,
        us: parsed.us,
        quiet: parsed.quiet,
    };
    let units = Units::of(options.us);
    let (outcome, done, zone) = {
        let mut errand = Errand::new(options, surroundings, answer, talk);
        let outcome = dispatch(parsed.command, &mut errand);
        let outcome = outcome.and_then(|outcome| {
            errand.answer().flush()?;
            Ok(outcome)
        });
        (outcome, errand.take_done(), errand.zone().clone())
    };
    match (outcome, done) {
        (Err(failure), Some(done)) => error::report_unshown(&failure, &done, talk),
        (Ok(Outcome::Done), _) => error::DONE,
        (Ok(Outcome::Found), _) => error::FOUND,
        (Err(failure), None) => error::report(&failure, units, &zone, talk),
    }
}

/// The id of an act with the digest of the line that asks for it: all its words but the id.
fn once(act_id: String, line: &[OsString]) -> Once {
    let mut digest = Sha256::new();
    let mut words = line.iter().skip(1);
    while let Some(word) = words.next() {
        let word = word.as_encoded_bytes();
        if word == b"--once" {
            words.next();
        } else if !word.starts_with(b"--once=") {
            digest.update((word.len() as u64).to_be_bytes());
            digest.update(word);
        }
    }
    Once {
        act_id,
        request: digest.finalize().into(),
    }
}

fn dispatch(command: Command, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    if errand.options.once.is_some() && !command.is_act() {
        let problem = Problem::new("--once is for commands that write entries or formulas");
        return Err(error::usage(problem.hint("leave --once out")));
    }
    match command {
        Command::NewBook(arguments) => new_book::run(arguments, errand),
        Command::Demo(arguments) => demo::run(arguments, errand),
        Command::Pickup(arguments) => pickup::run(arguments, errand),
        Command::Moisture(arguments) => moisture::run(arguments, errand),
        Command::Today(arguments) => today::run(arguments, errand),
        Command::Shelf(arguments) => shelf::run(arguments, errand),
        Command::HoldBack(arguments) => hold_back::run(arguments, errand),
        Command::Formula(arguments) => formula::run(arguments, errand),
        Command::Batch(arguments) => batch::run(arguments, errand),
        Command::Bake(arguments) => bake::run(*arguments, errand),
        Command::Sheet(arguments) => sheet::run(arguments, errand),
        Command::Plan(arguments) => plan::run(arguments, errand),
        Command::Fetch(arguments) => fetch::run(arguments, errand),
        Command::Use(arguments) => use_grain::run(arguments, errand),
        Command::Give(arguments) => give::run(arguments, errand),
        Command::Discard(arguments) => discard::run(arguments, errand),
        Command::Move(arguments) => move_lot::run(arguments, errand),
        Command::Treat(arguments) => treat::run(arguments, errand),
        Command::Portion(arguments) => portion::run(arguments, errand),
        Command::Join(arguments) => join::run(arguments, errand),
        Command::Count(arguments) => count::run(arguments, errand),
        Command::Probe(arguments) => probe::run(arguments, errand),
        Command::Place(arguments) => place::run(arguments, errand),
        Command::Readings(arguments) => readings::run(arguments, errand),
        Command::Cool(arguments) => cool::run(arguments, errand),
        Command::Settings(arguments) => settings::run(arguments, errand),
        Command::Usage(arguments) => usage::run(arguments, errand),
        Command::Trace(arguments) => trace::run(arguments, errand),
        Command::Log(arguments) => log::run(arguments, errand),
        Command::Source(arguments) => source::run(arguments, errand),
        Command::Correct(arguments) => correct::run(*arguments, errand),
        Command::Strike(arguments) => strike::run(arguments, errand),
        Command::Serve(arguments) => serve::run(arguments, errand),
        Command::Device(arguments) => device::run(arguments, errand),
        Command::Check(arguments) => check::run(arguments, errand),
        Command::Backup(arguments) => backup::run(arguments, errand),
        Command::Restore(arguments) => restore::run(arguments, errand),
        Command::ExportAll(arguments) => export_all::run(arguments, errand),
        Command::ImportAll(arguments) => import_all::run(arguments, errand),
        Command::Rules(arguments) => rules::run(arguments, errand),
        Command::Cautions(arguments) => cautions::run(arguments, errand),
        Command::Completions(arguments) => completions::run(arguments, errand),
        Command::Man(arguments) => completions::man(arguments, errand),
    }
}

#[cfg(test)]
mod tests {
    use super::CommandLine;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        CommandLine::command().debug_assert();
    }
}
