//! Bringing an older book to the newest schema.

use super::failure::{Damage, Newer};
use super::migrate::{self, Identity, Migration};
use super::{About, Act, Signature, chain, connection, files, pages, schema};
use crate::quantity::Instant;
use anyhow::Context;
use rusqlite::{Connection, ErrorCode, MAIN_DB, Transaction, TransactionBehavior};
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
        join_and_commit(transaction, now)?;
    } else {
        transaction.commit()?;
    }
    connection.pragma_update(None, "foreign_keys", true)?;
    Ok(older.is_some())
}

/// Joins sources that are called alike, by nobody, and commits.
fn join_and_commit(transaction: Transaction<'_>, now: Instant) -> anyhow::Result<()> {
    let path = transaction.path().unwrap_or_default().to_owned();
    let about = About::read(&transaction, Path::new(&path))?;
    let signature = Signature { now, by: None };
    let mut act = Act::new(transaction, (&about, false), &signature)?;
    // Dated as the newest entry: the same book becomes the same on every machine, whatever its clock says, and what is
    // judged as of an earlier `--now` has no entry after it.
    if let Some(last) = act.view().last_written()? {
        act.signature.now = last;
    }
    act.join_alike_sources()?;
    Ok(act.finish()?)
}

#[cfg(test)]
mod tests {
    use super::super::{Book, NewBook};
    use super::*;
    use crate::keeping::RuleSet;
    use crate::quantity::Zone;
    use rusqlite::OpenFlags;

    /// A book of the newest schema in this folder, and its version.
    fn book_in(folder: &Path) -> (std::path::PathBuf, i32) {
        let path = folder.join("book.draff");
        let new = NewBook {
            name: "old".into(),
            zone: Zone::utc(),
            rules_text: RuleSet::built_in_text("strict").unwrap().into(),
        };
        let signature = Signature {
            now: now(),
            by: None,
        };
        drop(Book::make(&path, &new, &signature).unwrap());
        (path, migrate::all().last().unwrap().version)
    }

    fn now() -> Instant {
        "2026-11-20T09:00:00Z".parse().unwrap()
    }

    /// All steps, and one that is still to come.
    fn steps() -> Vec<Migration> {
        let mut steps = migrate::all();
        steps.push(Migration {
            version: steps.last().unwrap().version + 1,
            name: "9999_next",
            sql: "CREATE TABLE next (id INTEGER PRIMARY KEY) STRICT;",
        });
        steps
    }

    #[test]
    fn an_older_book_is_copied_aside_and_upgraded() {
        let folder = tempfile::tempdir().unwrap();
        let (path, newest) = book_in(folder.path());
        let mut connection = connection::connect(&path, OpenFlags::SQLITE_OPEN_READ_WRITE).unwrap();
        upgrade(&mut connection, &path, newest, &steps(), now()).unwrap();
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

    #[test]
    fn what_the_upgrade_writes_goes_on_with_the_chain_of_the_book() {
        let folder = tempfile::tempdir().unwrap();
        let (path, _) = book_in(folder.path());
        let mut connection = connection::connect(&path, OpenFlags::SQLITE_OPEN_READ_WRITE).unwrap();
        connection
            .execute_batch(
                "INSERT INTO source (name, letters) VALUES ('Corrow Weir', 'COR'), ('Corrow  Weir', 'COS')",
            )
            .unwrap();
        let before = chain::newest(&connection).unwrap().unwrap();
        assert!(bring_up(&mut connection, &steps(), now()).unwrap());
        let joined: (i64, i64) = connection
            .query_row("SELECT source_id, into_id FROM source_change", [], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })
            .unwrap();
        assert_eq!(joined, (2, 1));
        let after = chain::verify(&connection).unwrap().unwrap();
        assert_eq!(
            chain::newest(&connection).unwrap(),
            after.map(|digest| (before.0 + 1, digest))
        );
        assert_eq!(
            chain::link(&connection, before.0).unwrap(),
            Some(before.1),
            "what was chained stays"
        );
    }
}
