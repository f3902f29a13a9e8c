//! `report`: what a period came to.

use super::{Outcome, export};
use crate::context::Errand;
use crate::error;
use crate::ledger::files;
use crate::quantity::{Period, Problem, period::Named};
use crate::render;
use crate::render::report::table::Reader;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// Report on a period: grain, flour saved, bakes, temperatures
///
/// Without a period it is the whole book. Moistures are as known today, so an old month may change by a new test.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff report --month 2026-11\n  draff report --month 2026-11 --html november.html --xlsx november.xlsx"
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

    /// Write a page to show or print, with pictures, to a file or to the terminal with -
    #[arg(long, value_name = "FILE")]
    html: Option<String>,

    /// Write every table as a CSV file into a folder, in place of those of an earlier report
    #[arg(long, value_name = "FOLDER")]
    csv: Option<PathBuf>,

    /// Write every table as a sheet of a spreadsheet
    #[arg(long, value_name = "FILE")]
    xlsx: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    export::refuse_two_answers(errand, [arguments.html.as_deref()])?;
    let desk = errand.desk()?;
    let (units, now, zone) = (errand.units(), desk.now(), &desk.zone().clone());
    let named = Named {
        mark: "--",
        month: arguments.month.as_deref(),
        season: arguments.season.as_deref(),
        from: arguments.from.as_deref(),
        to: arguments.to.as_deref(),
    };
    let period = Period::named(named, now, zone)
        .and_then(|period| period.begun(now, zone))
        .map_err(error::usage)?;
    let (desk, answer) = errand.patiently("adding up the report", move || {
        let answer = desk.report(period);
        (desk, answer)
    });
    let answer = answer?;
    let reader = Reader {
        units,
        now,
        zone,
        is_on_page: false,
    };
    let book = &desk.about().path;
    let mut tables = Vec::new();
    if let Some(folder) = &arguments.csv {
        for (name, text) in render::report::csv(&answer.answer, reader)? {
            tables.push((folder.join(name), text));
        }
        refuse_others(&tables, book)?;
        files::make_folder(folder)?;
    }
    if let Some(path) = &arguments.html {
        let page = render::report::page(&answer.answer, reader, &answer.cautions);
        export::put(errand, path, book, &page, "wrote the report to")?;
    }
    for (path, text) in &tables {
        export::save(errand, &path.display().to_string(), book, text, "wrote")?;
    }
    if let Some(path) = &arguments.xlsx {
        let bytes = render::report::xlsx(&answer.answer, reader)?;
        export::save_bytes(errand, path, book, &bytes, "wrote the report to")?;
    }
    let has_file = arguments.html.is_some() || arguments.csv.is_some() || arguments.xlsx.is_some();
    if has_file && !errand.options.json {
        errand.tell(&answer.notices);
        return Ok(Outcome::Done);
    }
    errand.show(
        &answer,
        |report| render::report::Report::new(report, reader),
        |report| render::report::text(report, reader),
    )?;
    Ok(Outcome::Done)
}

/// Refuses to replace a file that no report wrote: nobody named it, and its first line is not that of the table.
fn refuse_others(tables: &[(PathBuf, String)], book: &Path) -> Result<(), Problem> {
    for (path, text) in tables {
        let Ok(found) = fs::symlink_metadata(path) else {
            continue;
        };
        let header = text.split_inclusive('\n').next().unwrap_or_default();
        let is_ours = found.is_file()
            && !files::belongs_to_book(path, book)
            && begins_with(path, header).unwrap_or(false);
        if !is_ours {
            return Err(Problem::new(format!(
                "`{}` is there already, and no report wrote it",
                path.display()
            ))
            .hint("nothing was written; name a new folder"));
        }
    }
    Ok(())
}

fn begins_with(path: &Path, text: &str) -> io::Result<bool> {
    let mut begin = Vec::new();
    File::open(path)?
        .take(text.len() as u64)
        .read_to_end(&mut begin)?;
    Ok(begin == text.as_bytes())
}
