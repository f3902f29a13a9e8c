//! `join`: puts lots together. What comes of it is as old, and as bad, as the worst of them.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::Join;
use crate::render::lot::Detail;

/// Put lots together into one, which keeps the earliest date
///
/// All that is left of each goes in. Every rule is kept for each of them as if all of the grain had its
/// history. Grain that is past or unknown is refused: it would spoil the rest.
#[derive(clap::Args)]
#[command(after_help = "Example: draff join ALD-261120-1T ALD-261120-2R --to fridge")]
pub struct Arguments {
    /// The lots' codes, two or more
    #[arg(value_name = "LOT", required = true, num_args = 1..=50)]
    lots: Vec<String>,

    /// The place the lot lies in [default: where all of them are]
    #[arg(long, value_name = "PLACE")]
    to: Option<String>,

    /// When they were put together [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// A note
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let answer = desk.join(&Join {
        lots: &arguments.lots,
        to: arguments.to.as_deref(),
        at: errand.moment_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
        note: arguments.note.as_deref(),
    })?;
    errand.show_lot(&answer, Detail::Limit)?;
    Ok(Outcome::Done)
}
