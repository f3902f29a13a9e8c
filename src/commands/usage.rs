//! `usage`: what was taken from lots, as words, JSON or CSV.

use super::gather::Gatherer;
use super::{Outcome, export};
use crate::context::Errand;
use crate::error::usage;
use crate::grain::Estimate;
use crate::ledger::{UsageFilter, View};
use crate::quantity::text::count;
use crate::quantity::when;
use crate::quantity::{Instant, Problem, Zone};
use crate::render::{self, numbers::Units};
use crate::report::usage::UsageLine;
use std::collections::HashMap;

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

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let book = errand.open_book()?;
    let view = book.view();
    let zone = &view.about().zone;
    let now = errand.now(zone)?;
    let lot = arguments
        .lot
        .as_deref()
        .map(|code| view.lot(code))
        .transpose()?;
    if let Some(source) = &arguments.source {
        view.refuse_unknown_source(source)?;
    }
    let filter = UsageFilter {
        from: arguments
            .from
            .as_deref()
            .map(|from| errand.past(from, "--from", zone))
            .transpose()?,
        before: arguments
            .to
            .as_deref()
            .map(|to| end_of(to, now, zone))
            .transpose()?,
        lot: lot.as_ref(),
        source: arguments.source.as_deref(),
    };
    if let (Some(from), Some(before)) = (filter.from, filter.before)
        && from >= before
    {
        return Err(usage(
            Problem::new("--from lies after --to").hint("the earlier one comes after --from"),
        ));
    }
    let lines = lines(view, &filter)?;
    match arguments.csv.as_deref() {
        Some(path) => {
            let text = render::csv::usage(&lines, zone)?;
            let wrote = format!("wrote {} to", count(lines.len(), "line"));
            export::put(errand, path, &view.about().path, &text, &wrote)?;
        }
        None if errand.options.json => {
            let text = render::json::text(&render::json::listing::Usage::new(&lines, zone))?;
            errand.print(&text)?;
        }
        None => {
            let text = render::usage::text(&lines, Units::of(errand.options.us), now, zone);
            errand.print(&text)?;
        }
    }
    Ok(Outcome::Done)
}

/// The first moment after `--to`: a bare day is meant to its end.
fn end_of(typed: &str, now: Instant, zone: &Zone) -> anyhow::Result<Instant> {
    match when::date(typed, now, zone) {
        Ok(date) => Ok(zone.end_of_day(date)),
        Err(_) => when::moment(typed, now, zone)
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
            Some(estimate) => estimate.clone(),
            None => {
                let estimate = gatherer.estimate(record.lot.clone())?;
                estimates.insert(code, estimate.clone());
                estimate
            }
        };
        lines.push(UsageLine::new(record, &estimate));
    }
    Ok(lines)
}
