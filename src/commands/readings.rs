//! `readings`: a logger's file of the air of a place.

use super::gather::{self, Judged};
use super::readings_sheet::{self, Reading};
use super::{Outcome, typed};
use crate::context::Errand;
use crate::error::usage;
use crate::ledger::NewReadings;
use crate::quantity::text::{self, one_of};
use crate::quantity::{Problem, Scale, Zone};
use crate::render::{self, numbers::Units};
use crate::report::readings::{Changed, ReadingsAnswer};
use std::path::{Path, PathBuf};

/// Read in what a logger measured of the air of a place
///
/// The readings hold for every lot while it is there: they stand in for the temperature that the place is stated
/// to hold, and may make a verdict worse. Air is not grain: they never show that hot grain has cooled.
/// The first line of the file names its columns; cells stand between commas, semicolons or tabs.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff readings fridge --csv fridge.csv\n  draff readings freezer --csv log.csv --time-column Stamp --temp-column Probe --unit F --zone UTC"
)]
pub struct Arguments {
    /// The place's name
    #[arg(value_name = "PLACE")]
    place: String,

    /// The logger's file
    #[arg(long, value_name = "FILE")]
    csv: PathBuf,

    /// The column of moments [default: the one that begins with time or date]
    #[arg(long, value_name = "NAME")]
    time_column: Option<String>,

    /// The column of temperatures [default: the one that begins with temp]
    #[arg(long, value_name = "NAME")]
    temp_column: Option<String>,

    /// The scale, C or F [default: as the column's name or its cells say]
    #[arg(long, value_name = "UNIT", value_parser = scale)]
    unit: Option<Scale>,

    /// The zone of times without an offset, as in Europe/Dublin or UTC [default: the book's]
    #[arg(long, value_name = "ZONE", value_parser = zone)]
    zone: Option<Zone>,

    /// Leave out what was measured before, when the logger was not in place yet
    #[arg(long, value_name = "WHEN")]
    from: Option<String>,

    /// Leave out what was measured from here on, when it was taken away
    #[arg(long, value_name = "WHEN")]
    to: Option<String>,
}

fn scale(typed: &str) -> Result<Scale, String> {
    one_of(
        typed,
        "unit",
        &[Scale::Celsius, Scale::Fahrenheit],
        |scale| match scale {
            Scale::Celsius => "C",
            Scale::Fahrenheit => "F",
        },
    )
    .map_err(|problem| typed::said(&problem))
}

fn zone(typed: &str) -> Result<Zone, String> {
    Zone::named(typed).map_err(|problem| typed::said(&problem))
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut book = errand.open_book()?;
    let about = book.view().about().clone();
    let signature = errand.signature(&about.zone)?;
    let moment = |typed: &Option<String>, option| {
        typed
            .as_deref()
            .map(|typed| errand.past(typed, option, &about.zone))
            .transpose()
    };
    let reading = Reading {
        time_column: arguments.time_column.as_deref(),
        temp_column: arguments.temp_column.as_deref(),
        unit: arguments.unit,
        zone: arguments.zone.as_ref().unwrap_or(&about.zone),
        now: signature.now,
        from: moment(&arguments.from, "--from")?,
        before: moment(&arguments.to, "--to")?,
    };
    if let (Some(from), Some(before)) = (reading.from, reading.before)
        && from >= before
    {
        return Err(usage(Problem::new("--from does not lie before --to")));
    }
    let place = book.view().place(&arguments.place)?;
    let logged = readings_sheet::read(&arguments.csv, &reading)?;
    let name = file_name(&arguments.csv)?;
    let answer = errand.act(&mut book, &signature, |act| {
        let before = gather::judged(act.view(), signature.now)?;
        let new = NewReadings {
            scale: logged.scale,
            name: &name,
            readings: &logged.readings,
        };
        let read_in = act.readings(&place, &new)?;
        let after = gather::judged(act.view(), signature.now)?;
        gather::refuse_bettered(&before, &after)?;
        let mut answer = ReadingsAnswer::new(
            &place.name,
            read_in,
            &logged.readings,
            logged.scale,
            &about.rules,
        );
        (answer.empty, answer.outside) = (logged.empty, logged.outside);
        answer.changed = changed(before, after);
        Ok(answer)
    })?;
    let text = if errand.options.json {
        render::json::text(&render::json::readings::ReadIn::new(&answer, &about.zone))?
    } else {
        let units = Units::of(errand.options.us);
        render::readings::text(&answer, &about.rules, units, signature.now, &about.zone)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

/// The name of the file without the folders it lies in, which are nobody's business.
fn file_name(path: &Path) -> Result<String, Problem> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    text::checked(&name, "name of the file", text::LONGEST_NOTE)
}

/// Lots whose verdict or date is another one.
fn changed(mut before: Judged, after: Judged) -> Vec<Changed> {
    after
        .into_iter()
        .filter_map(|(lot, after)| {
            let before = before.remove(&lot)?;
            let same = (before.verdict, before.keep_until) == (after.verdict, after.keep_until);
            (!same).then_some(Changed { lot, before, after })
        })
        .collect()
}
