//! `portion`: parts a lot into tubs or bags, each a lot with the same history and a code of its own.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::Portion;
use crate::grain::Portions;
use crate::quantity::Length;
use crate::render;
use crate::render::lot::Detail;

/// Split a lot into portions, each with a code of its own
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff portion ALD-261120-1T --into 8x500g --to freezer\n  draff portion ALD-261120-1T --into 2x1kg --into 1x750g"
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// How many of which weight; what is over stays in the lot
    #[arg(long, value_name = "NUMBERxMASS", required = true, value_parser = typed::value::<Portions>, allow_hyphen_values = true)]
    into: Vec<Portions>,

    /// The place they go to [default: where the lot is]
    #[arg(long, value_name = "PLACE")]
    to: Option<String>,

    /// How thick each lies, as in bags laid flat: thin grain thaws and warms sooner
    #[arg(long, value_name = "LENGTH", value_parser = typed::value::<Length>, allow_hyphen_values = true)]
    thick: Option<Length>,

    /// When they were weighed out [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// A note
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let answer = desk.portion(&Portion {
        lot: &arguments.lot,
        into: &arguments.into,
        to: arguments.to.as_deref(),
        at: errand.moment_or_now(arguments.at.as_deref(), "--at", desk.zone())?,
        depth: arguments.thick,
        note: arguments.note.as_deref(),
    })?;
    let (units, zone) = (errand.units(), desk.zone());
    let detail = errand.detail(Detail::Limit);
    errand.show(
        &answer,
        |portions| render::json::Pickups::new(portions, zone),
        |portions| render::lot::portions(portions, detail, units, zone),
    )?;
    Ok(Outcome::Done)
}
