//! `new-book`: makes a book with a name, time zone and rule set.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::error::usage;
use crate::keeping::RuleSet;
use crate::ledger::{Book, NewBook, files};
use crate::quantity::{Problem, Zone, text};
use std::path::Path;

/// Make a book with a name, a time zone and a rule set
///
/// The first pickup makes a plain book by itself; this makes one to your own wishes.
#[derive(clap::Args)]
#[command(
    after_help = "Example: draff new-book --name \"Mill Street\" --zone Europe/Dublin --rules strict --book mill.draff"
)]
pub struct Arguments {
    /// What the book is called
    #[arg(long, value_name = "NAME", value_parser = typed::name, default_value = "book")]
    name: String,

    /// Time zone in which its days begin and end, such as Europe/Dublin [default: this machine's]
    #[arg(long, value_name = "ZONE")]
    zone: Option<String>,

    /// Rule set: strict, us-food-code, au-2h-4h, uk-chilled, or the path of an own TOML file
    #[arg(long, value_name = "NAME|FILE", default_value = "strict")]
    rules: String,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let path = errand.book_path()?;
    let zone = match &arguments.zone {
        Some(name) => Zone::named(name).map_err(usage)?,
        None => {
            let (zone, trouble) = (errand.surroundings.zone)();
            if let Some(trouble) = trouble {
                errand.warn(&trouble);
            }
            zone
        }
    };
    let rules_text = rules_text(&arguments.rules)?;
    RuleSet::from_text(&rules_text).map_err(|problem| {
        problem.hint("`draff rules strict` prints a whole rule set to start from")
    })?;
    refuse_taken(&path)?;
    let new = NewBook {
        name: arguments.name,
        zone,
        rules_text,
    };
    if errand.make_book(&path, &new)?.is_none() {
        return Err(Problem::new(format!(
            "another program made a book at `{}` at the same time",
            path.display()
        ))
        .hint("it may have another name, time zone and rule set, and was not touched; for a book of your own name another file with --book")
        .into());
    }
    Ok(Outcome::Done)
}

/// Refuses a path where something lies that a new book would replace.
pub(super) fn refuse_taken(path: &Path) -> Result<(), Problem> {
    if std::fs::metadata(path).is_err() || Book::is_begun_at(path) {
        return Ok(());
    }
    Err(files::taken(path))
}

/// A built-in set by name, or the text of a file.
fn rules_text(named: &str) -> anyhow::Result<String> {
    if !text::is_path(named) {
        return Ok(RuleSet::built_in_text(named).map_err(usage)?.to_owned());
    }
    Ok(typed::text_file(Path::new(named))?)
}
