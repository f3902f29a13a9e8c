//! Bringing an older book to the newest schema.

use super::failure::{Damage, Newer};
use super::migrate::{self, Identity, Migration};
use super::{chain, connection, files, pages, schema};
use crate::quantity::Instant;
use anyhow::Context;
use rusqlite::{Connection, ErrorCode, MAIN_DB, TransactionBehavior};
use std::path::Path;

/// Refuses a book that a newer program has written, and one whose head only says so.
pub(super) fn refuse_newer(
    connection: &Connection,
    version: i32,
    steps: &[Migration],
) -> anyhow::Result<()> {
    let newest = steps.last().map_or(0, |newest| newest.version);
    if version > newest
        && let Some(found) = schema::version_of(connection)?
    {
        return Err(Damage(format!(
            "schema: the head says version {version}, the tables are those of version {found}"
        ))
        .into());
    }
    migrate::refuse_newer(version, steps).context(Newer)
}

/// Whether a book has the schema of its version, so that it can be upgraded: a changed one is read as it is. What a disk
/// does not give is no change.
pub(super) fn has_its_schema(connection: &Connection, version: i32) -> anyhow::Result<bool> {
    match schema::refuse_changed(connection, version) {
        Ok(()) => Ok(true),
        Err(error) => {
            let code = error.downcast_ref::<rusqlite::Error>();
            match code.and_then(rusqlite::Error::sqlite_error_code) {
                Some(ErrorCode::SystemIoFailure | ErrorCode::DatabaseBusy) => Err(error),
                _ => Ok(false),
            }
        }
    }
}

/// Copies an older book aside and brings it to the newest schema. A book that may not be written is read through
/// a private copy that SQLite takes away once it is closed; that copy is handed back.
pub(super) fn upgrade(
    connection: &mut Connection,
    path: &Path,
    version: i32,
    steps: &[Migration],
    now: Instant,
) -> anyhow::Result<Option<Connection>> {
    if connection.is_readonly(MAIN_DB)? || files::is_in_read_only_folder(path) {
        // The empty name is a file that nobody else sees (SQLite, "In-Memory Databases", section 4).
        let mut private = connection::configured(Connection::open("")?)?;
        pages::copy_pages_into(connection, &mut private)?;
        bring_up(&mut private, steps, now)?;
        private.pragma_update(None, "query_only", true)?;
        return Ok(Some(private));
    }
    let copy = pages::copy_aside(connection, path, &format!(".version-{version}"))?;
    let done = bring_up(connection, steps, now);
    let is_needless = match done {
        Ok(upgraded) => !upgraded,
        Err(_) => {
            matches!(migrate::identity(connection), Ok(Identity::Book(found)) if found == version)
        }
    };
    if is_needless {
        // Another program upgraded the book meanwhile and has its copy, or the book is as it was.
        let _ = std::fs::remove_file(copy);
    }
    done.map(|_| None)
}

/// Brings a book to the newest schema; says whether there was anything to do.
pub(super) fn bring_up(
    connection: &mut Connection,
    steps: &[Migration],
    now: Instant,
) -> anyhow::Result<bool> {
    // As when a book is made: a step may make a table anew that others point to.
    connection.pragma_update(None, "foreign_keys", false)?;
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another program may have upgraded the book while the copy was made.
    let newest = steps.last().map_or(0, |newest| newest.version);
    let older = match migrate::identity(&transaction)? {
        Identity::Book(version) if version < newest => Some(version),
        _ => None,
    };
    if let Some(version) = older {
        migrate::apply(&transaction, version, steps, now)?;
        if chain::newest(&transaction)?.is_none() {
            chain::begin(&transaction)?;
        }
    }
    transaction.commit()?;
    connection.pragma_update(None, "foreign_keys", true)?;
    Ok(older.is_some())
}

#[cfg(test)]
mod tests {
    use super::super::{Book, NewBook, Signature};
    use super::*;
    use crate::keeping::RuleSet;
    use crate::quantity::Zone;
    use rusqlite::OpenFlags;

    #[test]
    fn an_older_book_is_copied_aside_and_upgraded() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.draff");
        let now: Instant = "2026-11-20T09:00:00Z".parse().unwrap();
        let new = NewBook {
            name: "old".into(),
            zone: Zone::utc(),
            rules_text: RuleSet::built_in_text("strict").unwrap().into(),
        };
        drop(Book::make(&path, &new, &Signature { now, by: None }).unwrap());
        let mut steps = migrate::all();
        let newest = steps.last().unwrap().version;
        steps.push(Migration {
            version: newest + 1,
            name: "9999_next",
            sql: "CREATE TABLE next (id INTEGER PRIMARY KEY) STRICT;",
        });
        let mut connection = connection::connect(&path, OpenFlags::SQLITE_OPEN_READ_WRITE).unwrap();
        upgrade(&mut connection, &path, newest, &steps, now).unwrap();
        assert_eq!(
            migrate::identity(&connection).unwrap(),
            Identity::Book(newest + 1)
        );
        let copy = connection::connect(
            &path.with_file_name(format!("book.draff.version-{newest}")),
            OpenFlags::SQLITE_OPEN_READ_ONLY,
        )
        .unwrap();
        assert_eq!(migrate::identity(&copy).unwrap(), Identity::Book(newest));
    }
}
