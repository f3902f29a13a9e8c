//! `strike`: strikes a wrong entry. It stays in the book and no longer counts.

use super::{Outcome, promised, typed};
use crate::context::Errand;
use crate::ledger::{EntryKind, LogFilter};
use crate::render;

/// Strike a wrong entry: it stays in the book and no longer counts
#[derive(clap::Args)]
pub struct Arguments {
    /// The entry's number, as `draff log` shows it
    #[arg(value_name = "ENTRY")]
    entry: i64,

    /// Why it was wrong
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    reason: String,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut book = errand.open_book()?;
    let zone = book.view().about().zone.clone();
    let signature = errand.signature(&zone)?;
    let strike = promised::act(errand, &mut book, &signature, |act| {
        act.strike(arguments.entry, &arguments.reason)
    })?;
    let struck = book.view().log(&LogFilter {
        entry: Some(arguments.entry),
        ..LogFilter::default()
    })?;
    for entry in struck
        .iter()
        .filter(|entry| entry.kind == EntryKind::Discard)
    {
        errand.warn(&format!(
            "that grain counts as food again: strike it only if it never left as {}",
            entry.ending.map_or("waste", |ending| ending.as_str())
        ));
    }
    let text = if errand.options.json {
        render::json::text(&render::json::Struck {
            entry: arguments.entry,
            struck_by: strike,
        })?
    } else {
        format!("Entry {} is struck, by entry {strike}.\n", arguments.entry)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}
