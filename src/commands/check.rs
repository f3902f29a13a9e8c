//! `check`: proves the book whole.

use super::Outcome;
use crate::context::Errand;
use crate::desk::called_alike;
use crate::ledger::audit::Audit;
use crate::ledger::{Book, failure};
use crate::render;

/// Check that the book is not damaged
///
/// Exits with 3 if it finds damage.
#[derive(clap::Args)]
#[command(after_help = "Example: draff check")]
pub struct Arguments {}

pub fn run(_: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let found = errand.open_book_as_found().and_then(|book| {
        let audit = book.audit()?;
        let sources = match audit.damage.is_empty() {
            true => book.view().sources()?,
            false => Vec::new(),
        };
        Ok((audit, sources))
    });
    let (audit, sources) = match found {
        Ok(found) => found,
        // A book too damaged to open is what a check is for.
        Err(error) => match failure::damage(&error) {
            Some(found) => (Audit::of_damage(found), Vec::new()),
            None => return Err(error),
        },
    };
    let text = if errand.options.json {
        render::json::text(&render::json::copies::Check::from(&audit))?
    } else {
        render::check::text(&audit, Book::is_begun_at(&errand.book_path()?))
    };
    errand.print(&text)?;
    errand.tell(&called_alike(&sources));
    Ok(if audit.damage.is_empty() {
        Outcome::Done
    } else {
        Outcome::Found
    })
}
