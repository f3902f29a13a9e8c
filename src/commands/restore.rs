//! `restore`: puts a backup in place of the book.

use super::Outcome;
use crate::context::Errand;
use crate::ledger::Book;
use crate::render;
use crate::render::json::copies;
use std::path::PathBuf;

/// Put a backup in place of the book; the present book is kept
///
/// Nothing is lost: the book that was there stays in the same folder under another name, which the answer says.
#[derive(clap::Args)]
#[command(after_help = "Example: draff restore book-friday.draff")]
pub struct Arguments {
    /// The backup; it is only read
    #[arg(value_name = "FILE")]
    copy: PathBuf,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    // The zone of the book is not known before it is back.
    let (zone, _) = (errand.surroundings.zone)();
    let now = errand.now(&zone)?;
    let restored = Book::restore(&arguments.copy, &errand.book_path()?, now)?;
    let aside = restored.set_aside.as_ref().map_or(String::new(), |aside| {
        format!("; what was there lies at `{}`", aside.path.display())
    });
    errand.note_done(format!("the copy was brought back{aside}"));
    let text = if errand.options.json {
        render::json::text(&copies::Restore::new(&restored))?
    } else {
        render::copies::restore(&restored, now)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}
