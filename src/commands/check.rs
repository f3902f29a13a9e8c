//! `check`: proves the book whole.

use super::Outcome;
use crate::context::Session;
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
        render::check::text(&audit)
    };
    session.print(&text)?;
    Ok(if audit.damage.is_empty() {
        Outcome::Done
    } else {
        Outcome::Found
    })
}
