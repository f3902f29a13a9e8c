//! Writes a file whole or not at all, and never over the book.

use crate::ledger::files::{Draft, belongs_to_book, unwritable};
use crate::quantity::Problem;
use std::fs;
use std::path::Path;

/// Writes `text` to `path` under a fresh name first, so that a full disk leaves what was there. Returns
/// whether a file was replaced.
///
/// Only a plain file is replaced: not the book or what lies beside it, not a link, not a device.
pub fn write(path: &Path, book: &Path, text: &str) -> Result<bool, Problem> {
    let replaces = match fs::symlink_metadata(path) {
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
    let draft = Draft::beside(path)?;
    fs::write(draft.path(), text).map_err(|error| unwritable(path, &error))?;
    draft.put(path)?;
    Ok(replaces)
}

/// What is said after the name of a file that took the place of another.
pub const fn replacing(replaced: bool) -> &'static str {
    if replaced {
        ", in place of what was there"
    } else {
        ""
    }
}
