//! All pages of a book copied into another file.

use super::connection;
use super::files::Draft;
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, Error, OpenFlags, ffi};
use std::path::Path;

/// Copies a book to a file that is not there yet, page by page.
pub(super) fn copy(from: &Connection, target: &Path) -> anyhow::Result<()> {
    let draft = Draft::private(target)?;
    copy_pages(from, draft.path())?;
    draft.put(target)?;
    Ok(())
}

/// Copies all pages at once into an empty file. In small steps a copy would begin anew whenever somebody
/// writes, and might never end.
pub(super) fn copy_pages(from: &Connection, to: &Path) -> rusqlite::Result<()> {
    let mut to = connection::connect(to, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    let done = Backup::new(from, &mut to)?.step(-1)?;
    if done == StepResult::Done {
        return Ok(());
    }
    Err(Error::SqliteFailure(
        ffi::Error::new(ffi::SQLITE_BUSY),
        None,
    ))
}
