//! `move`: moves a lot, or a part of it that becomes a lot of its own with the same history.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::MoveLot;
use crate::quantity::Milligrams;
use crate::render::lot::Detail;

/// Move a lot, or a part of it, to another place
///
/// A part becomes a lot of its own: same history, same date, own code. Grain that was out for a while and came back is one
/// entry there and one back, judged together.
#[derive(clap::Args)]
#[command(
    group = clap::ArgGroup::new("where").required(true).args(["place", "to"]),
    override_usage = "draff move <LOT> <PLACE> [--wet <MASS>] [--at <WHEN> [--until <WHEN>]]",
    after_help = "Examples:\n  draff move ALD-261120-1T freezer --wet 2kg\n  draff move ALD-261120-1T counter --at 13:00 --until 14:00"
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// The place it goes to
    #[arg(value_name = "PLACE")]
    place: Option<String>,

    /// How much wet grain, if not all
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// The same as PLACE
    #[arg(long, value_name = "PLACE")]
    to: Option<String>,

    /// When it was moved [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// When it was back where it was, if it was out only for a while
    #[arg(long, value_name = "WHEN", requires = "at")]
    until: Option<String>,

    /// A note on the move
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let until = arguments.until.as_deref();
    let until = until
        .map(|until| errand.moment(until, "--until", desk.zone()))
        .transpose()?;
    let answer = desk.move_lot(&MoveLot {
        lot: &arguments.lot,
        wet: arguments.wet,
        to: arguments
            .place
            .or(arguments.to)
            .as_deref()
            .unwrap_or_default(),
        at: errand.moment_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
        until,
        note: arguments.note.as_deref(),
    })?;
    errand.show_lot(&answer, Detail::Limit)?;
    Ok(Outcome::Done)
}
