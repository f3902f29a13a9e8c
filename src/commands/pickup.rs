//! `pickup`: books in a lot, or a file of them.

use super::first_act::FirstAct;
use super::{Outcome, pickup_file};
use crate::context::Errand;
use crate::desk::{LastPickup, Notice};
use crate::error::usage;
use crate::quantity::Problem;
use crate::render::lot::Detail;
use crate::rows::pickup::{self as rows, PickupRow};
use std::path::PathBuf;

/// Book in grain fetched from a brewery
///
/// Days count from mash-out, not from pickup: without --mash-out draff gives no date. The two hours to cool to
/// 21 °C (rules `strict`) count from when the grain was last shown hot, at 60 °C or more, else from mash-out.
///
/// To show that it cooled in time, take its temperature later (`draff probe`), or give with --cooled the time when
/// all of it was at 5 °C.
#[derive(clap::Args)]
#[command(
    override_usage = "draff pickup --source <NAME> --brewed <DATE> --wet <MASS>\n                    [--mash-out <WHEN>] …\n       draff pickup --like last --brewed <DATE> --wet <MASS>\n                    [--mash-out <WHEN>] …\n       draff pickup --csv <FILE>",
    after_help = "Example: draff pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --wet 18.4kg\n\nA file for --csv has a header line and units in its cells. Its columns are source, brewed and wet, and as you need them mash_out, collected, temp, cooled, kind, grist, form, place and note."
)]
pub struct Arguments {
    /// The brewery, or your own brewhouse
    #[arg(long, value_name = "NAME", required_unless_present_any = ["csv", "like"])]
    source: Option<String>,

    /// Copy source, grist and place from the last pickup (with --source: of that source); what you type replaces them
    #[arg(long, value_name = "last", value_parser = ["last"])]
    like: Option<String>,

    /// This really is a new source, though its name is almost that of another
    #[arg(long)]
    new_source: bool,

    /// The brew day
    #[arg(long, value_name = "DATE", required_unless_present = "csv")]
    brewed: Option<String>,

    /// When mashing (or steeping) was over; a time typed without a day means the brew day
    #[arg(long, value_name = "WHEN")]
    mash_out: Option<String>,

    /// What the grain weighed, wet
    #[arg(
        long,
        value_name = "MASS",
        required_unless_present = "csv",
        allow_hyphen_values = true
    )]
    wet: Option<String>,

    /// When it was fetched [default: now]
    #[arg(long, value_name = "WHEN")]
    collected: Option<String>,

    /// Temperature in the middle of the grain when it was fetched
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temp: Option<String>,

    /// The time when all of it was at 5 °C or colder (the cold limit of your rules). You vouch that it stayed cold. A time
    /// typed without a day means the brew day. For somebody else's word type `draff probe LOT --cooled WHEN --said-by NAME`
    #[arg(long, value_name = "WHEN")]
    cooled: Option<String>,

    /// mashed or steeped [default: mashed]
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,

    /// What was mashed: "pale barley malt 80%, wheat malt 20%"
    #[arg(long, value_name = "GRIST")]
    grist: Option<String>,

    /// whole, pressed, blended, dried or milled [default: whole]
    #[arg(long, value_name = "FORM")]
    form: Option<String>,

    /// Where it is put [default: fridge, or dry-store for dried and milled grain]
    #[arg(long, value_name = "PLACE")]
    place: Option<String>,

    /// A note on the pickup
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,

    /// Book in every row of a CSV file, or none
    #[arg(long, value_name = "FILE", conflicts_with_all = [
        "source", "like", "brewed", "mash_out", "wet", "collected", "temp", "cooled", "kind", "grist", "form", "place", "note",
    ])]
    csv: Option<PathBuf>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    match &arguments.csv {
        Some(path) => pickup_file::run(path, arguments.new_source, errand),
        None => one(&arguments, errand),
    }
}

fn one(arguments: &Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let given = |option: &Option<String>| option.clone().unwrap_or_default();
    let first = FirstAct::new(errand)?;
    let mut notices = Vec::new();
    let last = match arguments.like {
        None => None,
        Some(_) => Some(first.last_pickup(arguments.source.as_deref())?),
    };
    let mut words: Vec<String> = [
        &arguments.source,
        &arguments.brewed,
        &arguments.mash_out,
        &arguments.wet,
        &arguments.collected,
        &arguments.temp,
        &arguments.cooled,
        &arguments.kind,
        &arguments.grist,
        &arguments.form,
        &arguments.place,
        &arguments.note,
    ]
    .map(given)
    .to_vec();
    if let Some(LastPickup { lot, place }) = last {
        let is_typed = arguments.grist.is_some();
        notices.push(Notice::LikeLast {
            lot: lot.code,
            grist: lot.grist.clone().filter(|_| !is_typed),
        });
        let known = [
            ("source", Some(lot.source)),
            ("grist", lot.grist),
            ("place", Some(place)),
        ];
        for (column, word) in known {
            let typed = rows::COLUMNS
                .iter()
                .zip(&mut words)
                .find(|(name, _)| **name == column);
            if let (Some((_, typed)), Some(word)) = (typed, word)
                && typed.is_empty()
            {
                *typed = word;
            }
        }
    }
    let row = PickupRow::from_columns(|index| &words[index]);
    let checked = rows::check(&row, &first.bench(false)).map_err(first_wrong)?;
    let answer = first
        .desk(errand)?
        .pickup(&checked.as_new(arguments.new_source))?
        .with_notices(notices);
    errand.show_lot(&answer, Detail::Source)?;
    Ok(Outcome::Done)
}

/// What is wrong with a pickup typed as a command: the first problem by its option, the others beside it.
fn first_wrong(wrong: Vec<rows::Wrong>) -> anyhow::Error {
    let named = |column: &str| format!("--{}", column.replace('_', "-"));
    let is_slip = wrong.iter().any(|found| found.is_slip);
    let mut wrong = wrong.into_iter();
    let Some(first) = wrong.next() else {
        return usage(Problem::new("the pickup is not understood"));
    };
    let mut problem = first.problem.within(named(first.column));
    for also in wrong {
        problem = problem.hint(format!("also {}: {}", named(also.column), also.problem));
    }
    if is_slip {
        usage(problem)
    } else {
        problem.into()
    }
}
