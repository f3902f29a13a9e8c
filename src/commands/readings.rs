//! `readings`: a logger's file of the air of a place.

use super::{Outcome, export, typed};
use crate::context::Errand;
use crate::desk::{LoggedAir, NewReadings};
use crate::error::usage;
use crate::quantity::text::{self, one_of};
use crate::quantity::{Instant, Problem, Scale, Zone};
use crate::render;
use crate::render::words::Lines;
use crate::rows::logger_file::{self, Reading};
use std::path::{Path, PathBuf};

/// Load the file of a temperature logger, or sum up what it measured
///
/// The readings hold for every lot while it is there: they stand in for the temperature that the place is stated
/// to hold, and may make a verdict worse. Air is not grain: they never show that hot grain has cooled.
/// The first line of the file names its columns; cells stand between commas, semicolons or tabs.
/// The summary holds the air against the limit for that kind of place and says of each time out of it, and of each
/// time without a reading, which lots were there and what it did to their dates.
#[derive(clap::Args)]
#[command(
    override_usage = "draff readings <PLACE> --csv <FILE> [OPTIONS]\n       draff readings <PLACE> --summary [OPTIONS]",
    group = clap::ArgGroup::new("job").args(["csv", "summary"]).required(true),
    after_help = "Examples:\n  draff readings fridge --csv fridge.csv\n  draff readings freezer --csv log.csv --time-column Stamp --temp-column Probe --unit F --zone UTC\n  draff readings fridge --summary --from mon --svg fridge.svg"
)]
#[group(skip)]
pub struct Arguments {
    /// The place's name
    #[arg(value_name = "PLACE")]
    place: String,

    /// The logger's file
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,

    /// The column of moments [default: the one that begins with time or date]
    #[arg(long, value_name = "NAME", conflicts_with = "summary")]
    time_column: Option<String>,

    /// The column of temperatures [default: the one that begins with temp]
    #[arg(long, value_name = "NAME", conflicts_with = "summary")]
    temp_column: Option<String>,

    /// Every figure has a decimal comma, although commas stand between the cells
    #[arg(long, conflicts_with = "summary")]
    decimal_comma: bool,

    /// The scale, C or F [default: as the column's name or its cells say]
    #[arg(long, value_name = "UNIT", value_parser = scale, conflicts_with = "summary")]
    unit: Option<Scale>,

    /// The zone of times without an offset, as in Europe/Dublin or UTC [default: the book's]
    #[arg(long, value_name = "ZONE", value_parser = zone, conflicts_with = "summary")]
    zone: Option<Zone>,

    /// Say what the readings in the book come to
    #[arg(long)]
    summary: bool,

    /// Draw the summary as a picture (SVG) to a file, or to the terminal with -
    #[arg(
        long,
        value_name = "FILE",
        requires = "summary",
        conflicts_with = "csv"
    )]
    svg: Option<String>,

    /// The summary with its picture as a page to print, to a file, or to the terminal with -
    #[arg(
        long,
        value_name = "FILE",
        requires = "summary",
        conflicts_with = "csv"
    )]
    html: Option<String>,

    /// Leave out what was measured before, as when the logger was not in place yet
    #[arg(long, value_name = "WHEN")]
    from: Option<String>,

    /// Leave out what was measured from here on, as when it was taken away
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
    match &arguments.csv {
        Some(csv) => read_in(&arguments, csv, errand),
        None => summary(&arguments, errand),
    }
}

/// The time that was asked for.
fn asked(
    arguments: &Arguments,
    errand: &Errand<'_>,
    zone: &Zone,
) -> anyhow::Result<(Option<Instant>, Option<Instant>)> {
    let moment = |typed: &Option<String>, option| {
        typed
            .as_deref()
            .map(|typed| errand.moment(typed, option, zone))
            .transpose()
    };
    let (from, to) = (
        moment(&arguments.from, "--from")?,
        moment(&arguments.to, "--to")?,
    );
    if let (Some(from), Some(to)) = (from, to)
        && from >= to
    {
        return Err(usage(Problem::new("--from does not lie before --to")));
    }
    Ok((from, to))
}

/// Reads a logger's file in.
fn read_in(arguments: &Arguments, csv: &Path, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let about = desk.about().clone();
    let now = desk.now();
    let (from, before) = asked(arguments, errand, &about.zone)?;
    let logged = logger_file::read(
        typed::row_file(csv)?,
        &Reading {
            time_column: arguments.time_column.as_deref(),
            temp_column: arguments.temp_column.as_deref(),
            unit: arguments.unit,
            decimal_comma: arguments.decimal_comma,
            zone: arguments.zone.as_ref().unwrap_or(&about.zone),
            now,
            from,
            before,
        },
    )?;
    let answer = desk.take_readings(&LoggedAir {
        place: &arguments.place,
        readings: NewReadings {
            scale: logged.scale,
            name: &file_name(csv)?,
            readings: &logged.readings,
        },
        empty: logged.empty,
        left_out: &logged.left_out,
    })?;
    let (units, zone) = (errand.units(), &about.zone);
    errand.show_numbered(
        &answer,
        |read_in| render::json::readings::ReadIn::new(read_in, zone),
        |read_in| render::readings::text(read_in, &about.rules, units, now, zone),
    )?;
    Ok(Outcome::Done)
}

/// Says what the readings of a place come to.
fn summary(arguments: &Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let files = [arguments.svg.as_deref(), arguments.html.as_deref()];
    export::refuse_two_answers(errand, files)?;
    let desk = errand.desk()?;
    let about = desk.about();
    let (from, to) = asked(arguments, errand, &about.zone)?;
    if from.is_some_and(|from| from > desk.now()) {
        return Err(usage(Problem::new("--from lies after now")));
    }
    let answer = desk.air(&arguments.place, from, to)?;
    let shown = render::air::Shown {
        rules: &about.rules,
        zone: &about.zone,
        units: errand.units(),
        now: desk.now(),
    };
    if let Some(path) = &arguments.svg {
        let picture = render::air_chart::svg(&answer.answer, shown);
        export::put(errand, path, &about.path, &picture, "wrote the picture to")?;
    }
    if let Some(path) = &arguments.html {
        let page = render::air_page::page(&answer.answer, shown);
        export::put(errand, path, &about.path, &page, "wrote the page to")?;
    }
    if errand.options.json || !files.contains(&Some("-")) {
        errand.show(
            &answer,
            |air| render::json::readings::Air::new(air, shown),
            |air| render::air::text(air, Lines::Wrapped, shown),
        )?;
    }
    Ok(Outcome::Done)
}

/// The name of the file without the folders it lies in, which are nobody's business.
fn file_name(path: &Path) -> Result<String, Problem> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    text::checked(&name, "name of the file", text::LONGEST_NOTE)
}
