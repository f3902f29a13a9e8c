//! `log`: the entries of the book.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::LogOf;
use crate::ledger::EntryKind;
use crate::render;

/// Show the entries of the book, of one lot or of one bake
///
/// The whole log ends with every version of every formula, which are no entries.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff log ALD-261120-1T\n  draff log --last 20\n  draff log --kind discard --last 20"
)]
pub struct Arguments {
    /// Only entries about this lot or bake
    #[arg(value_name = "LOT|BAKE")]
    about: Option<String>,

    /// Only entries of this kind, such as use, discard or reading
    #[arg(long, value_name = "KIND", value_parser = typed::value::<EntryKind>)]
    kind: Option<EntryKind>,

    /// Only the last so many
    #[arg(long, value_name = "NUMBER")]
    last: Option<u32>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let desk = errand.desk()?;
    let answer = desk.log(LogOf {
        about: arguments.about.as_deref(),
        kind: arguments.kind,
        last: arguments.last,
    })?;
    let (units, now, zone) = (errand.units(), desk.now(), desk.zone());
    errand.show_long(
        &answer,
        |log, broken_off| render::json::listing::Log::new(log, zone, broken_off),
        |log, out| render::log::text(log, units, now, zone, out),
    )?;
    Ok(Outcome::Done)
}
