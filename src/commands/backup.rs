//! `backup`: a proved copy of the book, alone or in a folder that keeps the newest ones.

use super::Outcome;
use crate::context::Errand;
use crate::ledger::backup::Pruned;
use crate::render;
use crate::render::json::copies;
use std::path::PathBuf;

/// Copy the book to a file and check that the copy is whole
///
/// A file that is there is never replaced.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff backup book-friday.draff\n  draff backup copies --keep 14"
)]
pub struct Arguments {
    /// The file to make; with --keep the folder for dated copies
    #[arg(value_name = "FILE|FOLDER")]
    to: PathBuf,

    /// Make a dated copy in the folder and keep so many of this book; the oldest are removed
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=10_000))]
    keep: Option<u16>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let book = errand.open_book()?;
    let now = errand.now(&book.view().about().zone)?;
    let (copied, pruned) = match arguments.keep {
        None => (book.back_up(&arguments.to)?, None),
        Some(keep) => {
            let (copied, pruned) = book.back_up_into(&arguments.to, keep.into(), now)?;
            warn(&pruned, errand);
            (copied, Some(pruned))
        }
    };
    errand.note_done(format!("the copy lies at `{}`", copied.path.display()));
    let text = if errand.options.json {
        render::json::text(&copies::Backup::new(&copied, pruned.as_ref()))?
    } else {
        render::copies::backup(&copied, pruned.as_ref())
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

/// The copy is made, whatever became of the older ones.
fn warn(pruned: &Pruned, errand: &mut Errand<'_>) {
    for problem in &pruned.trouble {
        errand.warn(&problem.to_string());
    }
    if pruned.after_now > 0 {
        errand.warn(&format!(
            "copies dated after now: {}; check the clock, since the oldest by name are removed first",
            pruned.after_now
        ));
    }
}
