//! `usage`: what was taken from lots, as words, JSON or CSV.

use super::Outcome;
use super::gather::Gatherer;
use crate::context::Session;
use crate::error::usage;
use crate::grain::Estimate;
use crate::ledger::{UsageFilter, View};
use crate::quantity::when::{self, Weekdays};
use crate::quantity::{Instant, Problem, Zone};
use crate::render::{self, numbers::Units};
use crate::report::usage::UsageLine;
use std::collections::HashMap;
use std::io::Write;
use std::path::Path;

/// List what was taken from lots, or write it as CSV
#[derive(clap::Args)]
pub struct Arguments {
    /// From this time on
    #[arg(long, value_name = "WHEN")]
    from: Option<String>,

    /// Up to and including this day or moment
    #[arg(long, value_name = "WHEN")]
    to: Option<String>,

    /// Only from this lot
    #[arg(long, value_name = "LOT")]
    lot: Option<String>,

    /// Only from lots of this source
    #[arg(long, value_name = "NAME")]
    source: Option<String>,

    /// Write CSV to a file, or to stdout with -
    #[arg(long, value_name = "FILE")]
    csv: Option<String>,
}

pub fn run(arguments: Arguments, session: &mut Session<'_>) -> anyhow::Result<Outcome> {
    let book = session.open_book()?;
    let view = book.view();
    let zone = &view.about().zone;
    let now = session.now(zone)?;
    let lot = arguments
        .lot
        .as_deref()
        .map(|code| view.lot(code))
        .transpose()?;
    let filter = UsageFilter {
        from: arguments
            .from
            .as_deref()
            .map(|from| session.past(from, "--from", zone))
            .transpose()?,
        before: arguments
            .to
            .as_deref()
            .map(|to| end_of(to, now, zone))
            .transpose()?,
        lot: lot.as_ref(),
        source: arguments.source.as_deref(),
    };
    let lines = lines(view, &filter)?;
    match arguments.csv.as_deref() {
        Some("-") => {
            let text = render::csv::usage(&lines, zone)?;
            session.print(&text)?;
        }
        Some(path) => {
            refuse_the_book(Path::new(path), &view.about().path)?;
            write_whole(Path::new(path), &render::csv::usage(&lines, zone)?)?;
            session.say(&format!(
                "wrote {} to {path}",
                crate::quantity::text::count(lines.len(), "line")
            ));
        }
        None if session.options.json => {
            let text = render::json::text(&render::json::listing::Usage::new(&lines, zone))?;
            session.print(&text)?;
        }
        None => {
            let text = render::usage::text(&lines, Units::of(session.options.us), now, zone);
            session.print(&text)?;
        }
    }
    Ok(Outcome::Done)
}

/// The first moment after `--to`: a bare day is meant to its end.
fn end_of(typed: &str, now: Instant, zone: &Zone) -> anyhow::Result<Instant> {
    match when::date(typed, now, zone, Weekdays::Past) {
        Ok(date) => Ok(zone.end_of_day(date)),
        Err(_) => when::moment(typed, now, zone, Weekdays::Past)
            .map(|at| at + chrono::Duration::seconds(1))
            .map_err(|problem| usage(problem.within("--to"))),
    }
}

/// Works out each line with the moisture of its lot as known today.
fn lines(view: View<'_>, filter: &UsageFilter<'_>) -> anyhow::Result<Vec<UsageLine>> {
    let mut gatherer = Gatherer::new(view)?;
    let mut estimates: HashMap<String, Estimate> = HashMap::new();
    let mut lines = Vec::new();
    for record in view.usage(filter)? {
        let code = record.lot.code.to_string();
        let estimate = match estimates.get(&code) {
            Some(estimate) => *estimate,
            None => {
                let estimate = gatherer.facts(record.lot.clone())?.estimate()?;
                estimates.insert(code, estimate);
                estimate
            }
        };
        lines.push(UsageLine::new(record, &estimate));
    }
    Ok(lines)
}

/// Refuses to write over the book itself, however it is called.
fn refuse_the_book(path: &Path, book: &Path) -> Result<(), Problem> {
    let is_same = match (path.canonicalize(), book.canonicalize()) {
        (Ok(path), Ok(book)) => path == book,
        _ => false,
    };
    if is_same {
        return Err(
            Problem::new(format!("`{}` is the book itself", path.display()))
                .hint("it was not touched; name another file after --csv"),
        );
    }
    Ok(())
}

/// Writes a file under another name first, so that a full disk leaves the old one.
fn write_whole(path: &Path, text: &str) -> anyhow::Result<()> {
    let refuse = |error: std::io::Error| {
        Problem::new(format!("`{}` cannot be written: {error}", path.display()))
    };
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = Path::new(&beside);
    let written = std::fs::File::create(beside).and_then(|mut file| {
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
        std::fs::rename(beside, path)
    });
    if written.is_err() {
        let _ = std::fs::remove_file(beside);
    }
    Ok(written.map_err(refuse)?)
}
