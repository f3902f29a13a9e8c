//! Writes a file whole or not at all, and never over the book.

use crate::context::Errand;
use crate::error::usage;
use crate::ledger::files::{Draft, belongs_to_book, may_be_book, unwritable};
use crate::quantity::Problem;
use crate::quantity::text::visible;
use std::fs;
use std::path::Path;

/// Writes `text` to `path` under a fresh name first, so that a full disk leaves what was there. Returns
/// whether a file was replaced.
///
/// Only a plain file is replaced, and keeps its rights: not a book, a copy of one or what lies beside it, not a
/// link, not a device.
fn write(path: &Path, book: &Path, text: &str) -> Result<bool, Problem> {
    let replaces = match fs::symlink_metadata(path) {
        Ok(found) if found.is_file() && found.permissions().readonly() => {
            return Err(Problem::new(format!("`{}` is read-only", path.display()))
                .hint("it was not touched; name another file"));
        }
        Ok(found) if found.is_file() => true,
        Ok(_) => {
            return Err(
                Problem::new(format!("`{}` is not a plain file", path.display()))
                    .hint("it was not touched; name another file"),
            );
        }
        Err(_) => false,
    };
    if belongs_to_book(path, book) {
        return Err(
            Problem::new(format!("`{}` belongs to the book", path.display()))
                .hint("it was not touched; name another file"),
        );
    }
    if replaces && may_be_book(path) {
        return Err(
            Problem::new(format!("`{}` is a book or a copy of one", path.display()))
                .hint("it was not touched; name another file"),
        );
    }
    let draft = Draft::beside(path)?;
    // As on stdout: whatever a name in the book holds moves no cursor when the file is shown.
    fs::write(draft.path(), visible(text)).map_err(|error| unwritable(path, &error))?;
    if replaces {
        draft.with_rights_of(path)?;
    }
    draft.put(path)?;
    Ok(replaces)
}

/// Refuses `--json` beside a file that is to go to stdout: two answers in one are none.
pub fn refuse_two_answers<'a>(
    errand: &Errand<'_>,
    files: impl IntoIterator<Item = Option<&'a str>>,
) -> anyhow::Result<()> {
    let to_stdout = files.into_iter().filter(|file| *file == Some("-")).count();
    if to_stdout + usize::from(errand.options.json && to_stdout > 0) > 1 {
        return Err(usage(
            Problem::new("stdout takes one answer")
                .hint("name a file instead of -, or leave --json out"),
        ));
    }
    Ok(())
}

/// Writes `text` to the file that was asked for, or to stdout where that is `-`, see [`save`].
pub fn put(
    errand: &mut Errand<'_>,
    path: &str,
    book: &Path,
    text: &str,
    wrote: &str,
) -> anyhow::Result<()> {
    if path == "-" {
        errand.print(text)
    } else {
        save(errand, path, book, text, wrote)
    }
}

/// Writes `text` to a file and says so: `wrote 3 lines to usage.csv`, where `wrote` is all before the path.
pub fn save(
    errand: &mut Errand<'_>,
    path: &str,
    book: &Path,
    text: &str,
    wrote: &str,
) -> anyhow::Result<()> {
    let replacing = if write(Path::new(path), book, text)? {
        ", in place of what was there"
    } else {
        ""
    };
    errand.say(&format!("{wrote} {path}{replacing}"));
    Ok(())
}
