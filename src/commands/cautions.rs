//! `cautions`: every caution that the answers carry, in full.

use super::Outcome;
use crate::context::Errand;
use crate::render;
use crate::report::Caution;

/// Print every caution in full, with its code, reason and source
#[derive(clap::Args)]
#[command(after_help = "Example: draff cautions")]
pub struct Arguments {}

pub fn run(_: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let text = if errand.options.json {
        render::json::with_cautions(
            &render::cautions::Explained::new(&Caution::ALL),
            &Caution::ALL,
        )?
    } else {
        render::cautions::text(&Caution::ALL, errand.units())
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}
