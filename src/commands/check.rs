//! `check`: proves the book whole.

use super::Outcome;
use crate::context::Session;
use crate::ledger::audit::Audit;
use crate::quantity::text::count;
use crate::render;

/// Prove the book whole: file, schema, and stock against the sum of all entries
///
/// Exits with 3 if it finds damage.
#[derive(clap::Args)]
pub struct Arguments {}

pub fn run(_: Arguments, session: &mut Session<'_>) -> anyhow::Result<Outcome> {
    let book = session.open_book()?;
    let audit = book.audit()?;
    let text = if session.options.json {
        render::json::text(&render::json::Check::from(&audit))?
    } else {
        words(&audit)
    };
    session.print(&text)?;
    Ok(if audit.damage.is_empty() {
        Outcome::Done
    } else {
        Outcome::Found
    })
}

fn words(audit: &Audit) -> String {
    if audit.damage.is_empty() {
        return format!(
            "The book is whole: {} entries add up to the {} on hand.\n",
            audit.entries,
            count(audit.on_hand, "lot")
        );
    }
    let mut text = format!(
        "The book is damaged in {}:\n",
        count(audit.damage.len(), "place")
    );
    for line in &audit.damage {
        text.push_str(&format!("  {line}\n"));
    }
    text.push_str("Keep this file as it is and go on with a copy made while the book was whole.\n");
    text
}
