//! The version of a book: a text that changes with every entry, every version of a formula and every ticket that is printed,
//! and when another book takes its place. Places and settings are entries; who pairs a device changes no page.

use super::connection::look;
use super::{Book, View};
use rusqlite::Connection;
use std::path::Path;

fn version(connection: &Connection) -> rusqlite::Result<String> {
    connection
        .prepare_cached(
            // The sum of all moments: a ticket takes the row of the one before.
            "SELECT line || '-' || (SELECT coalesce(max(id), 0) FROM entry)
                || '-' || (SELECT coalesce(max(id), 0) FROM formula_version)
                || '-' || (SELECT coalesce(sum(printed_at), 0) FROM ticket)
             FROM book_identity",
        )?
        .query_row([], |row| row.get(0))
}

impl View<'_> {
    /// The version of the book as it is seen here.
    pub fn version(&self) -> anyhow::Result<String> {
        Ok(version(self.connection)?)
    }
}

impl Book {
    /// The version of the book in a file, read and nothing else: asked for every second while pages are open.
    pub fn version_at(path: &Path) -> anyhow::Result<String> {
        Ok(version(&look(path)?)?)
    }
}
