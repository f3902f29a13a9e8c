//! `strike`: strikes a wrong entry. It stays in the book and no longer counts.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::Strike;
use crate::render;

/// Strike a wrong entry: it stays in the book and no longer counts
///
/// A strike can be struck too: what it took out counts again, if it could be written anew. Where one thing in
/// an entry is wrong, `draff correct` is shorter.
#[derive(clap::Args)]
#[command(after_help = "Example: draff strike 12 --reason \"typed twice\"")]
pub struct Arguments {
    /// The entry's number, as `draff log` shows it
    #[arg(value_name = "ENTRY")]
    entry: i64,

    /// Why it was wrong
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    reason: String,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let answer = desk.strike(&Strike {
        entry: arguments.entry,
        reason: &arguments.reason,
    })?;
    let (units, now, zone) = (errand.units(), desk.now(), desk.zone());
    errand.show(
        &answer,
        |struck| render::json::corrections::Struck::new(struck, zone),
        |struck| render::log::struck(struck, units, now, zone),
    )?;
    Ok(Outcome::Done)
}
