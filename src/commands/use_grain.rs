//! `use`: draws grain from a lot for a bake.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::UseGrain;
use crate::quantity::Milligrams;
use crate::render::lot::Detail;

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
    let mut desk = errand.desk()?;
    let answer = desk.use_grain(&UseGrain {
        lot: &arguments.lot,
        wet: arguments.wet,
        bake: &arguments.bake,
        at: errand.past_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
    })?;
    errand.show_lot(&answer, Detail::Limit)?;
    Ok(Outcome::Done)
}
