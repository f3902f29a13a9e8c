//! The rows of a table, also of one in which some cannot be read.

use super::{Cell, Table, quoted};
use crate::ledger::View;
use crate::ledger::failure::{self, Damage};
use rusqlite::types::ValueRef;
use std::fmt;
use std::str::Utf8Error;

/// Characters of a text in a key that are shown.
const SHOWN: usize = 60;

/// A part of the book that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// The table.
    pub table: String,
    /// The row by its key, or the rows between two; nothing where it is the whole table.
    pub rows: Option<String>,
    /// What was found.
    pub found: String,
}

impl fmt::Display for Unread {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.rows {
            Some(rows) => write!(out, "table {}, {rows}: {}", self.table, self.found),
            None => out.write_str(&self.found),
        }
    }
}

impl View<'_> {
    /// Gives every row of a table, in the order of its key.
    pub fn each_row(
        &self,
        table: &Table,
        take: impl FnMut(&[Cell]) -> anyhow::Result<()>,
    ) -> anyhow::Result<()> {
        self.each_readable_row(table, take, |unread| Err(Damage(unread.to_string()).into()))
    }

    /// Gives every row of a table that can be read, in the order of its key, and says which cannot. Where the file itself is
    /// damaged, the rows behind that place come last, in the opposite order.
    pub fn each_readable_row(
        &self,
        table: &Table,
        mut take: impl FnMut(&[Cell]) -> anyhow::Result<()>,
        mut leave_out: impl FnMut(Unread) -> anyhow::Result<()>,
    ) -> anyhow::Result<()> {
        let unread = |rows, found| Unread {
            table: table.name.clone(),
            rows: Some(rows),
            found,
        };
        let mut each = |row: &Row| match &row.damage {
            None => take(&row.cells),
            Some(found) => leave_out(unread(row.key(table), found.clone())),
        };
        let (first, Some(found)) = self.walk(table, "ASC", &mut each)? else {
            return Ok(());
        };
        let (last, _) = self.walk(table, "DESC", &mut each)?;
        let rows = match (first, last) {
            (None, None) => "all rows".to_owned(),
            (Some(first), None) => format!("rows after {first}"),
            (None, Some(last)) => format!("rows before {last}"),
            (Some(first), Some(last)) => format!("rows between {first} and {last}"),
        };
        leave_out(unread(rows, found))
    }

    /// Gives the rows of a table up to the first place at which the file is damaged. Answers with the key of the last one and
    /// with what was found there.
    fn walk(
        &self,
        table: &Table,
        order: &str,
        mut take: impl FnMut(&Row) -> anyhow::Result<()>,
    ) -> anyhow::Result<(Option<String>, Option<String>)> {
        let names: Vec<String> = table
            .columns
            .iter()
            .map(|column| quoted(&column.name))
            .collect();
        let key: Vec<String> = match table.key.as_slice() {
            [] => vec![format!("rowid {order}")],
            key => key
                .iter()
                .map(|place| format!("{} {order}", names[*place]))
                .collect(),
        };
        let mut statement = self.connection.prepare(&format!(
            "SELECT {} FROM {} ORDER BY {}",
            names.join(", "),
            quoted(&table.name),
            key.join(", ")
        ))?;
        let mut rows = statement.query([])?;
        let mut read = Row::default();
        let found = loop {
            match rows.next() {
                Ok(Some(row)) => read.read(row, table)?,
                Ok(None) => break None,
                Err(error) => {
                    let error = anyhow::Error::from(error);
                    match failure::damage(&error) {
                        Some(found) => break Some(found),
                        None => return Err(error),
                    }
                }
            }
            take(&read)?;
        };
        Ok(((read.number > 0).then(|| read.key(table)), found))
    }
}

/// The row that is read.
#[derive(Default)]
struct Row {
    /// How many were read so far.
    number: u64,
    cells: Vec<Cell>,
    /// What is wrong with the first cell that cannot be read.
    damage: Option<String>,
}

impl Row {
    fn read(&mut self, row: &rusqlite::Row<'_>, table: &Table) -> rusqlite::Result<()> {
        self.number += 1;
        self.cells.clear();
        self.damage = None;
        for (place, column) in table.columns.iter().enumerate() {
            let (cell, error) = cell(row.get_ref(place)?);
            self.cells.push(cell);
            if let (Some(error), None) = (error, &self.damage) {
                self.damage = Some(format!("column {}: {error}", column.name));
            }
        }
        Ok(())
    }

    /// What tells it apart, as `entry_id 6, sample 1`.
    fn key(&self, table: &Table) -> String {
        if table.key.is_empty() {
            return format!("row {}", self.number);
        }
        let parts = table.key.iter().map(|place| {
            let name = &table.columns[*place].name;
            match &self.cells[*place] {
                Cell::Empty => format!("{name} without a value"),
                Cell::Whole(number) => format!("{name} {number}"),
                Cell::Real(number) => format!("{name} {number}"),
                Cell::Text(text) => {
                    let shown: String = text.chars().take(SHOWN).collect();
                    format!("{name} {shown}")
                }
                Cell::Bytes(bytes) => format!("{name} of {} bytes", bytes.len()),
            }
        });
        parts.collect::<Vec<_>>().join(", ")
    }
}

/// A value, and why it cannot be read: what is no UTF-8 in it is replaced then.
fn cell(value: ValueRef<'_>) -> (Cell, Option<Utf8Error>) {
    let cell = match value {
        ValueRef::Null => Cell::Empty,
        ValueRef::Integer(number) => Cell::Whole(number),
        ValueRef::Real(number) => Cell::Real(number),
        ValueRef::Text(bytes) => {
            return match std::str::from_utf8(bytes) {
                Ok(text) => (Cell::Text(text.to_owned()), None),
                Err(error) => {
                    let text = String::from_utf8_lossy(bytes).into_owned();
                    (Cell::Text(text), Some(error))
                }
            };
        }
        ValueRef::Blob(bytes) => Cell::Bytes(bytes.to_vec()),
    };
    (cell, None)
}
