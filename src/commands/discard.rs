//! `discard`: throws grain away with a reason.

use super::{Outcome, gather, typed};
use crate::context::Errand;
use crate::grain::Ending;
use crate::quantity::Milligrams;

/// Throw grain away, with the reason
///
/// Feed, compost and waste are different ends. None of them comes back as food.
#[derive(clap::Args)]
#[command(
    after_help = "Example: draff discard ALD-261120-1T --wet 4kg --as feed --reason \"more than we bake\""
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// How much wet grain [default: all that is left]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// Why it is thrown away
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    reason: String,

    /// How it ends: feed, compost, waste [default: not said]
    #[arg(long = "as", value_name = "ENDING", value_parser = typed::value::<Ending>)]
    ending: Option<Ending>,

    /// When it was thrown away [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let at = ("--at", arguments.at.as_deref());
    gather::act_on_lot(errand, &arguments.lot, at, |act, lot, at| {
        let wet = match arguments.wet {
            Some(wet) => wet,
            None => act.view().left_or_refuse(&lot)?,
        };
        act.discard(&lot, at, wet, &arguments.reason, arguments.ending)?;
        Ok(lot)
    })
}
