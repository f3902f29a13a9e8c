//! `log`: the entries of the book.

use super::Outcome;
use crate::context::Errand;
use crate::ledger::LogFilter;
use crate::render::{self, numbers::Units};

/// Show the entries of the book, or of one lot
#[derive(clap::Args)]
pub struct Arguments {
    /// Only entries about this lot
    #[arg(value_name = "LOT")]
    lot: Option<String>,

    /// Only the last so many
    #[arg(long, value_name = "NUMBER")]
    last: Option<u32>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let book = errand.open_book()?;
    let view = book.view();
    let zone = &view.about().zone;
    let now = errand.now(zone)?;
    let lot = arguments
        .lot
        .as_deref()
        .map(|code| view.lot_even_struck(code))
        .transpose()?;
    let entries = view.log(&LogFilter {
        lot: lot.as_ref(),
        last: arguments.last,
    })?;
    let text = if errand.options.json {
        render::json::text(&render::json::listing::Log::new(&entries, zone))?
    } else {
        render::log::text(&entries, Units::of(errand.options.us), now, zone)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}
