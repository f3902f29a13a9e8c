//! `use`: draws grain from a lot for a bake.

use super::hold_back::refuse_for_a_bake;
use super::{Outcome, gather, typed};
use crate::context::Errand;
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

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let units = Units::of(errand.options.us);
    let mut used = String::new();
    let mut known_now = None;
    let at = ("--at", arguments.at.as_deref());
    let outcome = gather::act_on_lot(errand, &arguments.lot, at, |act, lot, at| {
        act.refuse_future(at)?;
        let answer = gather::answer(act.view(), lot.clone(), at)?;
        let zone = &act.view().about().zone;
        refuse_for_a_bake(&answer, units, zone)?;
        used = format!(
            "used {} for {}, {}, when the lot was {}",
            units.weighed(arguments.wet),
            arguments.bake,
            times::moment(at, at, zone),
            answer.keeping.verdict
        );
        act.use_grain(&lot, at, arguments.wet, &arguments.bake)?;
        known_now = gather::known_by_now(act.view(), &lot, act.now())?;
        Ok(lot)
    })?;
    errand.say(&used);
    if let Some(known_now) = known_now {
        errand.warn(&known_now);
    }
    Ok(outcome)
}
