//! `move`: moves a lot, or a part of it that becomes a lot of its own with the same history.

use super::{Outcome, gather, typed};
use crate::context::Errand;
use crate::quantity::Milligrams;

/// Move a lot, or a part of it, to another place
///
/// A part becomes a lot of its own: same history, same date, own code.
#[derive(clap::Args)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// How much wet grain, if not all
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// The place it goes to
    #[arg(long, value_name = "PLACE")]
    to: String,

    /// When it was moved [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// A note on the move
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let at = ("--at", arguments.at.as_deref());
    gather::act_on_lot(errand, &arguments.lot, at, |act, lot, at| {
        let place = act.view().place(&arguments.to)?;
        let note = arguments.note.as_deref();
        let left = act.view().left(&lot)?;
        match arguments.wet {
            Some(wet) if Some(wet) != left => act.move_part(&lot, at, wet, &place, note),
            _ => act.move_all(&lot, at, &place, note).map(|_| lot),
        }
    })
}
