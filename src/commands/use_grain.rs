//! `use`: draws grain from a lot for a bake.

use super::hold_back::refused_for_a_bake;
use super::{Outcome, gather, typed};
use crate::context::Session;
use crate::quantity::Milligrams;
use crate::render::{numbers::Units, times};

/// Draw grain from a lot for a bake
///
/// Grain that is past or unknown at that time is refused. No option changes that.
#[derive(clap::Args)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// How much wet grain
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    wet: Milligrams,

    /// What it goes into
    #[arg(long = "for", value_name = "TEXT", value_parser = typed::words)]
    bake: String,

    /// When it went into the dough [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,
}

pub fn run(arguments: Arguments, session: &mut Session<'_>) -> anyhow::Result<Outcome> {
    let mut book = session.open_book()?;
    let zone = book.view().about().zone.clone();
    let at = session.past_or_now(arguments.at.as_deref(), "--at", &zone)?;
    let now = session.now(&zone)?;
    let units = Units::of(session.options.us);
    let (lot, then) = book.act(&session.signature(&zone)?, |act| {
        act.refuse_future(at)?;
        let lot = act.view().lot(&arguments.lot)?;
        let answer = gather::answer(act.view(), lot.clone(), at)?;
        if !answer.keeping.verdict.may_be_used() {
            return Err(refused_for_a_bake(&answer, units, &zone).into());
        }
        act.use_grain(&lot, at, arguments.wet, &arguments.bake)?;
        Ok((lot, answer.keeping.verdict))
    })?;
    session.say(&format!(
        "used {} for {}, {}, when the lot was {then}",
        units.weighed(arguments.wet),
        arguments.bake,
        times::moment(at, now, &zone)
    ));
    let answer = gather::answer(book.view(), lot, now)?;
    gather::print_lot(session, book.view(), &answer)?;
    Ok(Outcome::Done)
}
