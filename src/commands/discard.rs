//! `discard`: throws grain away with a reason.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::Discard;
use crate::grain::Ending;
use crate::quantity::Milligrams;
use crate::render::lot::Detail;

/// Throw grain away or give it to animals, and say why
///
/// Feed, compost and waste are different ends. None of them comes back as food. A reason that names animals or feed needs
/// `--as`: feed law applies to what animals get.
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
    let mut desk = errand.desk()?;
    let answer = desk.discard(&Discard {
        lot: &arguments.lot,
        wet: arguments.wet,
        reason: &arguments.reason,
        ending: arguments.ending,
        at: errand.moment_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
    })?;
    errand.show_lot(&answer, Detail::Limit)?;
    Ok(Outcome::Done)
}
