//! `give`: gives grain to somebody as food.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::Give;
use crate::quantity::Milligrams;
use crate::render::lot::Detail;

/// Give or sell grain to somebody as food
///
/// Who has it is found again with `draff trace`. Grain that is past or unknown at that time is refused, unless the book
/// learned that only later: then it is booked and marked NOT TO BE USED. As feed it goes with `draff discard --as feed`.
#[derive(clap::Args)]
#[command(after_help = "Example: draff give ALD-261120-1T --wet 2kg --to \"the café next door\"")]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// How much wet grain [default: all that is left]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// To whom: the next to be told in a recall
    #[arg(long, value_name = "NAME", value_parser = typed::name)]
    to: String,

    /// When it was handed over [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let answer = desk.give(&Give {
        lot: &arguments.lot,
        wet: arguments.wet,
        to: &arguments.to,
        at: errand.moment_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
    })?;
    errand.show_lot(&answer, Detail::Limit)?;
    Ok(Outcome::Done)
}
