//! `discard`: throws grain away with a reason.

use super::{Outcome, gather, typed};
use crate::context::Errand;
use crate::quantity::{Milligrams, Problem};

/// Throw grain away, with the reason
#[derive(clap::Args)]
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

    /// When it was thrown away [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let at = ("--at", arguments.at.as_deref());
    gather::act_on_lot(errand, &arguments.lot, at, |act, lot, at| {
        let wet = match (arguments.wet, act.view().left(&lot)?) {
            (Some(wet), _) => wet,
            (None, Some(left)) => left,
            (None, None) => {
                return Err(Problem::new(format!("nothing is left of lot `{}`", lot.code)).into());
            }
        };
        act.discard(&lot, at, wet, &arguments.reason)?;
        Ok(lot)
    })
}
