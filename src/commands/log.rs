//! `log`: the entries of the book.

use super::Outcome;
use crate::context::Errand;
use crate::dough::bake_code::BakeCode;
use crate::ledger::LogFilter;
use crate::render::{self, numbers::Units};

/// Show the entries of the book, of one lot or of one bake
#[derive(clap::Args)]
pub struct Arguments {
    /// Only entries about this lot or bake
    #[arg(value_name = "LOT|BAKE")]
    about: Option<String>,

    /// Only the last so many
    #[arg(long, value_name = "NUMBER")]
    last: Option<u32>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let book = errand.open_book()?;
    let view = book.view();
    let zone = &view.about().zone;
    let now = errand.now(zone)?;
    let about = arguments.about.as_deref();
    let bake = about
        .filter(|code| BakeCode::looks_like(code))
        .map(|code| view.bake(code))
        .transpose()?;
    let lot = about
        .filter(|_| bake.is_none())
        .map(|code| view.lot_even_struck(code))
        .transpose()?;
    let entries = view.log(&LogFilter {
        lot: lot.as_ref(),
        bake: bake.map(|bake| bake.code),
        last: arguments.last,
        entry: None,
    })?;
    let text = if errand.options.json {
        render::json::text(&render::json::listing::Log::new(&entries, zone))?
    } else {
        render::log::text(&entries, Units::of(errand.options.us), now, zone)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}
