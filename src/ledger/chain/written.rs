//! The rows of all covered tables, followed side by side in the order of the numbers that they belong to: a statement
//! for each table, not for each entry.

use super::Newest;
use super::covered::{BOOK, COVERED, Covered, FORMULA};
use crate::ledger::EntryKind;
use rusqlite::fallible_streaming_iterator::FallibleStreamingIterator;
use rusqlite::{CachedStatement, Connection, Row, Rows, params};
use std::sync::LazyLock;

/// For each of [`COVERED`] its rows after number ?1, the number first.
pub(super) static QUERIES: LazyLock<Vec<String>> = LazyLock::new(|| {
    let query = |covered: &Covered| {
        let number = covered.number();
        // Where the entry itself is asked for its kind; a plus keeps that from being taken for a way to find rows.
        let kinds = if number == "entry.id" {
            let kinds = EntryKind::list(|kind| covered.kinds.contains(&kind));
            format!(" AND +entry.kind IN {kinds}")
        } else {
            String::new()
        };
        format!(
            "SELECT {number}, {columns} FROM {from} WHERE {number} > ?1{kinds} ORDER BY {of}",
            columns = covered.columns.join(", "),
            from = covered.from,
            of = covered.of
        )
    };
    COVERED.iter().map(query).collect()
});

/// The statements that the rows after the newest so far need.
pub(super) struct Statements<'c>(Vec<Option<CachedStatement<'c>>>);

impl<'c> Statements<'c> {
    pub fn prepare(connection: &'c Connection, since: Newest) -> rusqlite::Result<Self> {
        let kinds: Vec<EntryKind> = connection
            .prepare_cached("SELECT DISTINCT kind FROM entry WHERE id > ?1")?
            .query_map(params![since.entry], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        let is_needed = |covered: &Covered| {
            covered.kinds.is_empty() || covered.kinds.iter().any(|kind| kinds.contains(kind))
        };
        COVERED
            .iter()
            .zip(QUERIES.iter())
            .map(|(covered, query)| {
                is_needed(covered)
                    .then(|| connection.prepare_cached(query))
                    .transpose()
            })
            .collect::<Result<_, _>>()
            .map(Self)
    }

    pub fn run(&mut self, since: Newest) -> rusqlite::Result<Written<'_>> {
        let mut cursors = Vec::with_capacity(self.0.len());
        for (place, statement) in self.0.iter_mut().enumerate() {
            let after = match place {
                BOOK => 0,
                FORMULA => since.formula,
                _ => since.entry,
            };
            let cursor = statement
                .as_mut()
                .map(|statement| statement.query(params![after]))
                .transpose()?
                .map(|rows| Cursor {
                    rows,
                    has_begun: false,
                });
            cursors.push(cursor);
        }
        Ok(Written(cursors))
    }
}

/// Where each of [`COVERED`] has been read up to.
pub(super) struct Written<'s>(Vec<Option<Cursor<'s>>>);

struct Cursor<'s> {
    rows: Rows<'s>,
    has_begun: bool,
}

impl Written<'_> {
    /// Hands on the rows that belong to a number, each with how many columns are covered; the number is before them.
    /// Asked in the order of the numbers.
    pub fn rows_of(
        &mut self,
        place: usize,
        number: i64,
        mut take: impl FnMut(&Row<'_>, usize) -> rusqlite::Result<()>,
    ) -> rusqlite::Result<()> {
        let Some(cursor) = &mut self.0[place] else {
            return Ok(());
        };
        if !cursor.has_begun {
            cursor.has_begun = true;
            cursor.rows.advance()?;
        }
        while let Some(row) = cursor.rows.get() {
            let of: i64 = row.get(0)?;
            if of > number {
                break;
            }
            // Rows of an entry of another kind are no part of its link.
            if of == number {
                take(row, COVERED[place].columns.len())?;
            }
            cursor.rows.advance()?;
        }
        Ok(())
    }
}
