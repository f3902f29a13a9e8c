//! `report`: what a period came to.

use super::{Outcome, usage};
use crate::context::Errand;
use crate::error;
use crate::quantity::{Instant, Period, Problem, Zone, period};
use crate::render;
use crate::render::report::table::Reader;

/// Show what a period came to: grain, flour saved, bakes, temperatures, corrections
///
/// Without a period it is the whole book. Moistures are as known today, so an old month may change by a new test.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff report --month 2026-11\n  draff report --from 2026-11-01 --to today"
)]
pub struct Arguments {
    /// From this time on
    #[arg(long, value_name = "WHEN", conflicts_with_all = ["month", "season"])]
    from: Option<String>,

    /// Up to and including this day or moment
    #[arg(long, value_name = "WHEN", conflicts_with_all = ["month", "season"])]
    to: Option<String>,

    /// A calendar month, such as 2026-11
    #[arg(long, value_name = "MONTH", conflicts_with = "season")]
    month: Option<String>,

    /// The three months of a season that hold this month: March to May, June to August and so on [default: now]
    #[arg(long, value_name = "MONTH", num_args = 0..=1, default_missing_value = "now")]
    season: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let desk = errand.desk()?;
    let (units, now, zone) = (errand.units(), desk.now(), desk.zone());
    let period = asked(&arguments, errand, now, zone)?;
    let answer = desk.report(period)?;
    let reader = Reader { units, now, zone };
    errand.show(
        &answer,
        |report| render::report::Report::new(report, reader),
        |report| render::report::text(report, reader),
    )?;
    Ok(Outcome::Done)
}

fn asked(
    arguments: &Arguments,
    errand: &Errand<'_>,
    now: Instant,
    zone: &Zone,
) -> anyhow::Result<Period> {
    let within =
        |option: &'static str| move |problem: Problem| error::usage(problem.within(option));
    if let Some(month) = &arguments.month {
        return Period::month(month, zone).map_err(within("--month"));
    }
    match arguments.season.as_deref() {
        Some("now") => return Ok(Period::season(zone.date(now), zone)),
        Some(month) => {
            let day = period::first_of_month(month).map_err(within("--season"))?;
            return Ok(Period::season(day, zone));
        }
        None => {}
    }
    let from = arguments.from.as_deref();
    let to = arguments.to.as_deref();
    let period = Period {
        from: from
            .map(|from| errand.past(from, "--from", zone))
            .transpose()?,
        before: to.map(|to| usage::end_of(to, now, zone)).transpose()?,
    };
    if let (Some(from), Some(before)) = (period.from, period.before)
        && from >= before
    {
        return Err(error::usage(
            Problem::new("--from lies after --to").hint("the earlier one comes after --from"),
        ));
    }
    Ok(period)
}
