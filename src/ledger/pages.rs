//! All pages of a book copied into another file.

use super::connection;
use super::files::{self, Draft};
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, Error, OpenFlags, ffi};
use std::fs;
use std::path::{Path, PathBuf};

/// Copies a book to a file beside it that is not there yet and gives its name: that of the book with a suffix.
pub(super) fn copy_aside(from: &Connection, book: &Path, suffix: &str) -> anyhow::Result<PathBuf> {
    let mut draft = Draft::private(book)?;
    if let Ok(rights) = fs::metadata(book).map(|found| found.permissions()) {
        let _ = fs::set_permissions(draft.path(), rights);
    }
    copy_pages(from, draft.path())?;
    loop {
        let target = files::unused(book, suffix);
        if draft.put_new(&target)? {
            return Ok(target);
        }
    }
}

/// Copies all pages at once into an empty file. In small steps a copy would begin anew whenever somebody
/// writes, and might never end.
pub(super) fn copy_pages(from: &Connection, to: &Path) -> rusqlite::Result<()> {
    copy_pages_into(
        from,
        &mut connection::connect(to, OpenFlags::SQLITE_OPEN_READ_WRITE)?,
    )
}

/// The same into a file that is open. It is one transaction there.
pub(super) fn copy_pages_into(from: &Connection, to: &mut Connection) -> rusqlite::Result<()> {
    let done = Backup::new(from, to)?.step(-1)?;
    if done == StepResult::Done {
        return Ok(());
    }
    Err(Error::SqliteFailure(
        ffi::Error::new(ffi::SQLITE_BUSY),
        None,
    ))
}
