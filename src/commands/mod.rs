//! One file for each command: arguments become a request, the desk answers it, the answer is rendered. This file holds the command line as a whole.

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
mod dough_temperatures;
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
mod report;
mod restore;
mod rules;
mod serve;
mod settings;
mod sheet;
mod shelf;
mod source;
mod strike;
mod ticket;
mod today;
mod trace;
mod treat;
mod treat_plan;
mod typed;
mod usage;
mod use_grain;

use crate::context::{Errand, Options, Surroundings};
use crate::desk::Once;
use crate::error;
use crate::quantity::{Problem, Zone, text};
use crate::render::numbers::Units;
use clap::{Args, FromArgMatches, Parser, Subcommand};
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

/// Record book and dough calculator for baking with wet brewers' grain.
///
/// Local food law and the licensed inspector come first. A date limit is a rule, not proof of safety.
#[derive(Parser)]
#[command(name = "draff", version, max_term_width = 80)]
pub struct CommandLine {
    #[command(flatten)]
    every: Every,

    #[command(subcommand)]
    command: Command,
}

#[derive(clap::Args)]
struct Every {
    /// The book, a single file [default: in your data folder, or DRAFF_BOOK]
    #[arg(long, global = true, value_name = "FILE", help_heading = EVERY)]
    book: Option<PathBuf>,

    /// Take this moment as now [default: the clock, or DRAFF_NOW]
    #[arg(long, global = true, value_name = "WHEN", help_heading = EVERY)]
    now: Option<String>,

    /// Who records this
    #[arg(long, global = true, value_name = "NAME", help_heading = EVERY)]
    by: Option<String>,

    /// For scripts: a command that is run again with the same ID writes nothing twice
    #[arg(long, global = true, value_name = "ID", value_parser = typed::act_id, help_heading = EVERY)]
    once: Option<String>,

    /// Answer as JSON
    #[arg(long, global = true, help_heading = EVERY)]
    json: bool,

    /// Show pounds, ounces and °F
    #[arg(long, global = true, help_heading = EVERY)]
    us: bool,

    /// Leave out explanations, confirmations and a lot's dry grain. What to do, entry numbers, warnings and cautions stay
    #[arg(long, short, global = true, help_heading = EVERY)]
    quiet: bool,
}

/// Each command with its name, its arguments and what runs it.
macro_rules! commands {
    ($($name:literal $variant:ident($arguments:ty) => $run:expr;)*) => {
        #[derive(Subcommand)]
        #[allow(clippy::large_enum_variant, reason = "one is made in a run")]
        enum Command {
            $(#[command(name = $name)] $variant($arguments),)*
        }

        fn dispatch(command: Command, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
            match command {
                $(Command::$variant(arguments) => $run(arguments, errand),)*
            }
        }

        /// The command of that name alone.
        fn command_called(name: &str) -> Option<clap::Command> {
            match name {
                $($name => Some(<$arguments>::augment_args(clap::Command::new($name))),)*
                _ => None,
            }
        }
    };
}

commands! {
    "new-book" NewBook(new_book::Arguments) => new_book::run;
    "demo" Demo(demo::Arguments) => demo::run;
    "pickup" Pickup(pickup::Arguments) => pickup::run;
    "moisture" Moisture(moisture::Arguments) => moisture::run;
    "today" Today(today::Arguments) => today::run;
    "shelf" Shelf(shelf::Arguments) => shelf::run;
    "hold-back" HoldBack(hold_back::Arguments) => hold_back::run;
    "formula" Formula(formula::Arguments) => formula::run;
    "batch" Batch(batch::Arguments) => batch::run;
    "bake" Bake(bake::Arguments) => bake::run;
    "sheet" Sheet(sheet::Arguments) => sheet::run;
    "ticket" Ticket(ticket::Arguments) => ticket::run;
    "plan" Plan(plan::Arguments) => plan::run;
    "fetch" Fetch(fetch::Arguments) => fetch::run;
    "use" Use(use_grain::Arguments) => use_grain::run;
    "give" Give(give::Arguments) => give::run;
    "discard" Discard(discard::Arguments) => discard::run;
    "move" Move(move_lot::Arguments) => move_lot::run;
    "treat" Treat(treat::Arguments) => treat::run;
    "portion" Portion(portion::Arguments) => portion::run;
    "join" Join(join::Arguments) => join::run;
    "count" Count(count::Arguments) => count::run;
    "probe" Probe(probe::Arguments) => probe::run;
    "place" Place(place::Arguments) => place::run;
    "readings" Readings(readings::Arguments) => readings::run;
    "cool" Cool(cool::Arguments) => cool::run;
    "settings" Settings(settings::Arguments) => settings::run;
    "usage" Usage(usage::Arguments) => usage::run;
    "trace" Trace(trace::Arguments) => trace::run;
    "report" Report(report::Arguments) => report::run;
    "log" Log(log::Arguments) => log::run;
    "source" Source(source::Arguments) => source::run;
    "correct" Correct(correct::Arguments) => correct::run;
    "strike" Strike(strike::Arguments) => strike::run;
    "serve" Serve(serve::Arguments) => serve::run;
    "device" Device(device::Arguments) => device::run;
    "check" Check(check::Arguments) => check::run;
    "backup" Backup(backup::Arguments) => backup::run;
    "restore" Restore(restore::Arguments) => restore::run;
    "export-all" ExportAll(export_all::Arguments) => export_all::run;
    "import-all" ImportAll(import_all::Arguments) => import_all::run;
    "rules" Rules(rules::Arguments) => rules::run;
    "cautions" Cautions(cautions::Arguments) => cautions::run;
    "completions" Completions(completions::Arguments) => completions::run;
    "man" Man(completions::ManArguments) => completions::man;
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
    let units = Units::of(line.iter().any(|word| word == "--us"));
    let parsed = parse_at_once(&line).map_or_else(
        || {
            help::command_line()
                .try_get_matches_from(&line)
                .and_then(|matches| CommandLine::from_arg_matches(&matches))
        },
        Ok,
    );
    let parsed = match parsed {
        Ok(parsed) => parsed,
        Err(refusal) => {
            // Help and the version are answers; everything else is talk.
            if refusal.use_stderr() {
                let told = help::meant(&refusal)
                    .or_else(|| help::missing(&refusal))
                    .unwrap_or_else(|| refusal.to_string());
                return error::report_unparsed(&told, units, talk);
            }
            let shown = answer
                .write_all(text::visible(&refusal.to_string()).as_bytes())
                .and_then(|()| answer.flush());
            return match shown {
                Ok(()) => error::DONE,
                Err(failure) => {
                    error::report(&failure.into(), Units::of(false), &Zone::utc(), talk)
                }
            };
        }
    };
    let options = Options {
        book: parsed.every.book,
        now: parsed.every.now,
        by: parsed.every.by,
        once: parsed.every.once.map(|act_id| once(act_id, &line)),
        json: parsed.every.json,
        us: parsed.every.us,
        quiet: parsed.every.quiet,
    };
    let units = Units::of(options.us);
    let (outcome, done, zone) = {
        let mut errand = Errand::new(options, surroundings, answer, talk);
        let outcome = if errand.options.once.is_some() && !parsed.command.is_act() {
            let problem = Problem::new("--once is for commands that write entries or formulas");
            Err(error::usage(problem.hint("leave --once out")))
        } else {
            dispatch(parsed.command, &mut errand)
        };
        // What is wrong is told below what was shown before.
        let flushed = errand.answer().flush();
        let outcome = outcome.and_then(|outcome| {
            flushed?;
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

/// Parses a line by the one command that it names: building all of them takes longer than most answers. Nothing where
/// the line is wrong or asks for help: the whole command line then says so.
fn parse_at_once(line: &[OsString]) -> Option<CommandLine> {
    let called = line
        .iter()
        .skip(1)
        .find_map(|word| command_called(word.to_str()?))?;
    let command = Every::augment_args(clap::Command::new("draff")).subcommand(called);
    let matches = command.try_get_matches_from(line).ok()?;
    CommandLine::from_arg_matches(&matches).ok()
}

#[cfg(test)]
mod tests {
    use super::CommandLine;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        CommandLine::command().debug_assert();
    }

    #[test]
    fn each_command_is_parsed_alone_as_among_the_others() {
        for command in CommandLine::command().get_subcommands() {
            let alone = super::command_called(command.get_name()).unwrap();
            let ids = |command: &clap::Command| -> Vec<String> {
                let mut ids: Vec<String> = command
                    .get_arguments()
                    .map(|one| format!("{one:?}"))
                    .collect();
                ids.extend(command.get_subcommands().map(|one| format!("{one:?}")));
                ids
            };
            assert_eq!(ids(&alone), ids(command), "{}", command.get_name());
        }
    }
}
