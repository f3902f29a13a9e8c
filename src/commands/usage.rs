//! `usage`: what was taken from lots, as words, JSON or CSV.

use super::{Outcome, export};
use crate::context::Errand;
use crate::desk::UsageOf;
use crate::error::usage;
use crate::quantity::text::count;
use crate::quantity::{Period, period::Named};
use crate::render;

/// List what was taken from lots, or write it as CSV
#[derive(clap::Args)]
#[command(after_help = "Example: draff usage --from 2026-11-01 --to 2026-11-30 --csv november.csv")]
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

    /// Write CSV to a file, or to the terminal with -
    #[arg(long, value_name = "FILE")]
    csv: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    export::refuse_two_answers(errand, [arguments.csv.as_deref()])?;
    let desk = errand.desk()?;
    let (units, now, about) = (errand.units(), desk.now(), desk.about());
    let zone = &about.zone;
    let named = Named {
        mark: "--",
        from: arguments.from.as_deref(),
        to: arguments.to.as_deref(),
        ..Named::default()
    };
    let period = Period::named(named, now, zone).map_err(usage)?;
    let request = UsageOf {
        from: period.from,
        before: period.before,
        lot: arguments.lot.as_deref(),
        source: arguments.source.as_deref(),
    };
    let answer = desk.usage(request)?;
    if let Some(path) = &arguments.csv {
        export::put_long(errand, path, &about.path, |out| {
            let lines = render::csv::usage(&answer.answer, zone, out)?;
            Ok(format!("wrote {} to", count(lines, "line")))
        })?;
        if !errand.options.json {
            return Ok(Outcome::Done);
        }
    }
    errand.show_long(
        &answer,
        |usage, broken_off| render::json::listing::Usage::new(usage, zone, broken_off),
        |usage, out| render::usage::text(usage, units, now, zone, out),
    )?;
    Ok(Outcome::Done)
}
