//! `count`: weighs what is left of a lot and books the difference.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::Count;
use crate::quantity::Milligrams;
use crate::render;
use crate::render::lot::Detail;

/// Weigh what is left of a lot and book the difference
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("what").required(true).args(["wet", "nothing"]),
    after_help = "Example: draff count ALD-261120-1T --wet 4.2kg"
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// What is left of it
    #[arg(long, value_name = "MASS", value_parser = typed::mass_found, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// Nothing is left of it, and nobody knows where it went
    #[arg(long)]
    nothing: bool,

    /// When it was weighed [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// A note
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let answer = desk.count(&Count {
        lot: &arguments.lot,
        found: arguments.wet.unwrap_or_default(),
        at: errand.moment_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
        note: arguments.note.as_deref(),
    })?;
    let (units, zone) = (errand.units(), desk.zone());
    let of_lot = errand.detail(Detail::Limit);
    errand.show(
        &answer,
        |count| render::json::Count::from(count),
        |count| render::count::text(count, of_lot, units, zone),
    )?;
    Ok(Outcome::Done)
}
