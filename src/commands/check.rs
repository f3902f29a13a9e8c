//! `check`: proves the book whole.

use super::Outcome;
use crate::context::Session;

/// Prove the book whole: file, schema, and stock against the sum of all entries
///
/// Exits with 3 if it finds damage.
#[derive(clap::Args)]
pub struct Arguments {}

pub fn run(_: Arguments, session: &mut Session<'_>) -> anyhow::Result<Outcome> {
    let book = session.open_book()?;
    let audit = book.audit()?;
    if audit.damage.is_empty() {
        session.print(&format!(
            "The book is whole: {} entries add up to the {} on hand.\n",
            audit.entries,
            crate::quantity::text::count(audit.on_hand, "lot")
        ))?;
        return Ok(Outcome::Done);
    }
    let mut text = format!("The book is damaged in {} places:\n", audit.damage.len());
    for line in &audit.damage {
        text.push_str(&format!("  {line}\n"));
    }
    text.push_str("Keep this file as it is and go on with a copy made while the book was whole.\n");
    session.print(&text)?;
    Ok(Outcome::Found)
}
