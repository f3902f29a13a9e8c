//! `strike`: strikes wrong entries. They stay in the book and no longer count.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::Strike;
use crate::render;

/// Strike wrong entries: they stay in the book and no longer count
///
/// Several numbers are struck together or not at all. A strike can be struck too: what it took out counts again, if it could be written anew. Where one thing in
/// an entry is wrong, `draff correct` is shorter.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff strike 12 --reason \"typed twice\"\n  draff strike 14 15 17 --reason \"of another tub\""
)]
pub struct Arguments {
    /// The entry's number, as the answer said it or `draff log` shows it; several are struck in one act
    #[arg(value_name = "ENTRY", required = true)]
    entries: Vec<i64>,

    /// Why it was wrong
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    reason: String,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let answer = desk.strike(&Strike {
        entries: &arguments.entries,
        reason: &arguments.reason,
    })?;
    let (units, now, zone) = (errand.units(), desk.now(), desk.zone());
    errand.show_numbered(
        &answer,
        |struck| render::json::corrections::Struck::new(struck, zone),
        |struck| render::put_right::struck(struck, units, now, zone),
    )?;
    Ok(Outcome::Done)
}
