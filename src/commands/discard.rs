//! `discard`: throws grain away with a reason.

use super::{Outcome, gather, typed};
use crate::context::Session;
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

pub fn run(arguments: Arguments, session: &mut Session<'_>) -> anyhow::Result<Outcome> {
    let mut book = session.open_book()?;
    let zone = book.view().about().zone.clone();
    let at = session.past_or_now(arguments.at.as_deref(), "--at", &zone)?;
    let now = session.now(&zone)?;
    let lot = book.act(&session.signature(&zone)?, |act| {
        let lot = act.view().lot(&arguments.lot)?;
        let wet = match (arguments.wet, act.view().held(&lot)?) {
            (Some(wet), _) => wet,
            (None, Some((left, ..))) => left,
            (None, None) => {
                return Err(Problem::new(format!("nothing is left of lot `{}`", lot.code)).into());
            }
        };
        act.discard(&lot, at, wet, &arguments.reason)?;
        Ok(lot)
    })?;
    let answer = gather::answer(book.view(), lot, now)?;
    gather::print_lot(session, book.view(), &answer)?;
    Ok(Outcome::Done)
}
