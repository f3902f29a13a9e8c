//! Migrations: SQL files in `migrations/`, applied in order, each text kept in the book.

use super::failure::Damage;
use crate::quantity::{Instant, Problem};
use anyhow::Context;
use include_dir::{Dir, include_dir};
use rusqlite::{Connection, Transaction, params};

static FILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/migrations");

/// Marks the file as a book of ours: the bytes `drff`.
const APPLICATION_ID: i32 = 0x6472_6666;

/// One step of the schema.
pub(super) struct Migration {
    pub version: i32,
    pub name: &'static str,
    pub sql: &'static str,
}

/// Every step in order. Files are named `0001_what.sql`.
pub(super) fn all() -> Vec<Migration> {
    let mut found: Vec<Migration> = FILES
        .files()
        .filter_map(|file| {
            let name = file.path().file_stem()?.to_str()?;
            let version = name.split_once('_')?.0.parse().ok()?;
            Some(Migration {
                version,
                name,
                sql: file.contents_utf8()?,
            })
        })
        .collect();
    found.sort_by_key(|migration| migration.version);
    found
}

/// What the head of a file says it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Identity {
    /// Nothing was ever written to it.
    Blank,
    /// A book of this schema version.
    Book(i32),
    /// Some other program's SQLite file.
    Foreign,
}

/// Reads the identity without touching the file.
pub(super) fn identity(connection: &Connection) -> rusqlite::Result<Identity> {
    let number =
        |pragma: &str| connection.pragma_query_value(None, pragma, |row| row.get::<_, i32>(0));
    let (application, version) = (number("application_id")?, number("user_version")?);
    if application == APPLICATION_ID {
        return Ok(Identity::Book(version));
    }
    let tables: i64 =
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(if application == 0 && version == 0 && tables == 0 {
        Identity::Blank
    } else {
        Identity::Foreign
    })
}

/// Refuses a book that a newer program has written.
pub(super) fn refuse_newer(version: i32, steps: &[Migration]) -> Result<(), Problem> {
    let newest = steps.last().map_or(0, |step| step.version);
    if version > newest {
        return Err(Problem::new(format!(
            "the book has schema version {version}: this program knows up to {newest}"
        ))
        .hint("use the newer program that wrote it; the book was not touched"));
    }
    Ok(())
}

/// Writes into the head of the file that it is a book, and of which version.
pub(super) fn mark(connection: &Connection, version: i32) -> rusqlite::Result<()> {
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    connection.pragma_update(None, "user_version", version)
}

/// Applies every step after `version` inside the caller's transaction.
pub(super) fn apply(
    transaction: &Transaction<'_>,
    version: i32,
    steps: &[Migration],
    now: Instant,
) -> anyhow::Result<()> {
    for step in steps.iter().filter(|step| step.version > version) {
        transaction
            .execute_batch(step.sql)
            .with_context(|| format!("migration {} failed", step.name))?;
        transaction.execute(
            "INSERT INTO migration (version, name, sql, applied_at) VALUES (?1, ?2, ?3, ?4)",
            params![step.version, step.name, step.sql, now.timestamp()],
        )?;
        mark(transaction, step.version)?;
    }
    let broken: i64 =
        transaction.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| {
            row.get(0)
        })?;
    if broken > 0 {
        return Err(Damage(format!("rows that point to nothing: {broken}")).into());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_numbered_without_a_gap() {
        let versions: Vec<i32> = all().iter().map(|step| step.version).collect();
        assert_eq!(versions, (1..=versions.len() as i32).collect::<Vec<_>>());
        assert!(!versions.is_empty());
    }

    #[test]
    fn newer_books_are_refused_and_known_ones_are_not() {
        let steps = all();
        let newest = steps.last().unwrap().version;
        assert!(refuse_newer(newest, &steps).is_ok());
        assert!(refuse_newer(newest + 1, &steps).is_err());
    }
}
