//! What a failure becomes: a message with hints on stderr, and an exit code.
//!
//! | code | meaning |
//! |---|---|
//! | 0 | done |
//! | 1 | refused, nothing written |
//! | 2 | wrong command line |
//! | 3 | `--fail-on` found something, `check` found damage, or there is nothing to plan with |
//! | 70 | a defect of the program |
//! | 130 | ended by Ctrl-C: not chosen here, but by the shell, or by `context/terminal_watch.rs` during a search |

use crate::desk::Refusal;
use crate::ledger::failure;
use crate::quantity::text::visible;
use crate::quantity::{Problem, Zone};
use crate::render::numbers::Units;
use crate::render::refusal;
use crate::render::words::{WIDTH, wrapped};
use std::io::Write;

/// Done.
pub const DONE: u8 = 0;
/// Refused, nothing written.
pub const REFUSED: u8 = 1;
/// Wrong command line.
pub const USAGE: u8 = 2;
/// A scheduled check found something.
pub const FOUND: u8 = 3;
/// A defect of the program.
pub const INTERNAL: u8 = 70;

/// A wrong command line, found after parsing.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
struct Usage(Problem);

/// What was done and stays done whatever happens to its answer.
#[derive(Debug, Clone)]
pub enum Done {
    /// An act is in the book.
    Act,
    /// Files were made or replaced, as these words say.
    Files(String),
}

/// Marks a problem as one of the command line.
pub fn usage(problem: Problem) -> anyhow::Error {
    Usage(problem).into()
}

/// Writes a failure to stderr and says how to exit. Refusals of the desk are worded in these units and this zone.
pub fn report(error: &anyhow::Error, units: Units, zone: &Zone, talk: &mut dyn Write) -> u8 {
    if let Some(found) = Refusal::of(error) {
        if let Refusal::Book(crate::ledger::BookRefusal::DoneBefore { .. }) = found {
            let told = refusal::words(&found, units, zone);
            let _ = writeln!(talk, "{told}");
            return DONE;
        }
        let code = match &found {
            Refusal::NoPlan(_) => FOUND,
            other if other.is_about_the_request() => USAGE,
            _ => REFUSED,
        };
        return write(&refusal::words(&found, units, zone), units, talk, code);
    }
    for cause in error.chain() {
        if let Some(Usage(problem)) = cause.downcast_ref() {
            return write(problem, units, talk, USAGE);
        }
        if let Some(problem) = cause.downcast_ref::<Problem>() {
            return write(problem, units, talk, REFUSED);
        }
        if let Some(problem) = failure::explain(cause) {
            return write(&problem, units, talk, REFUSED);
        }
        if let Some(found) = cause.downcast_ref::<std::io::Error>() {
            // A reader that has gone away is no failure of ours.
            return match found.kind() {
                std::io::ErrorKind::BrokenPipe => DONE,
                _ => write(
                    &Problem::new(format!("the answer cannot be written: {found}")),
                    units,
                    talk,
                    REFUSED,
                ),
            };
        }
    }
    let words = visible(&format!("{error:#}"));
    let _ = writeln!(talk, "error: this should not have happened: {words}");
    let _ = writeln!(
        talk,
        "  nothing of this act was written; please report it with the command you typed"
    );
    INTERNAL
}

/// Writes what is wrong with a command line that could not be parsed. The parser wraps help and not this.
pub fn report_unparsed(refusal: &str, units: Units, talk: &mut dyn Write) -> u8 {
    let mut text = String::new();
    for line in refusal.lines() {
        let line = units.in_words(line);
        let line = line.as_str();
        let words = line.trim_start();
        let indent = &line[..line.len() - words.len()];
        if line.chars().count() <= WIDTH {
            text.push_str(line);
            text.push('\n');
        } else {
            // Under the first way of calling it stand the others.
            let under = if words.starts_with("Usage: ") {
                7
            } else {
                indent.len()
            };
            wrapped(&mut text, indent, &" ".repeat(under + 2), words);
        }
    }
    let _ = talk.write_all(visible(&text).as_bytes());
    USAGE
}

/// Says what was done although its answer could not be shown: it must not be done again.
pub fn report_unshown(error: &anyhow::Error, done: &Done, talk: &mut dyn Write) -> u8 {
    let (what, advice) = match done {
        Done::Act => (
            "the act is in the book",
            "do not enter it again; `draff log --last 3` shows it",
        ),
        Done::Files(words) => (words.as_str(), "it is done: do not do it again"),
    };
    let mut text = String::new();
    let words = format!("{what}; only the answer could not be shown: {error:#}");
    wrapped(&mut text, "warning: ", "  ", &words);
    wrapped(&mut text, "  ", "    ", advice);
    let _ = talk.write_all(visible(&text).as_bytes());
    DONE
}

fn write(problem: &Problem, units: Units, talk: &mut dyn Write, code: u8) -> u8 {
    let mut text = String::new();
    let told = units.in_words(&problem.to_string());
    wrapped(&mut text, "error: ", "  ", &told);
    for hint in problem.hints() {
        wrapped(&mut text, "  ", "    ", &units.in_words(hint));
    }
    let _ = talk.write_all(visible(&text).as_bytes());
    code
}
