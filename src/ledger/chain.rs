//! The chain: for the book, each version of a formula and each entry the digest of the rows that were written and of
//! the link before. A change to any of them, a row taken out or put in between breaks all links from there on.
//!
//! Whoever can write the file can hash it anew, so it proves something only against a digest that is kept elsewhere.

mod covered;
#[cfg(test)]
mod tests;
mod written;

use super::{EntryKind, bulk_insert, columns};
use covered::{BOOK, COVERED, ENTRY, FORMULA};
use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Connection, OptionalExtension, Row, Rows, params};
use sha2::{Digest as _, Sha256};
use std::fmt;
use written::{Statements, Written};

/// The digest of a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Digest([u8; 32]);

impl fmt::Display for Digest {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0
            .iter()
            .try_for_each(|byte| write!(formatter, "{byte:02x}"))
    }
}

/// How the bytes are made. A link says by which version it was made, so that another one may follow.
const VERSION: u8 = 1;

/// What a link is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Book,
    Formula(i64),
    Entry(i64, EntryKind),
}

impl fmt::Display for Of {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Book => formatter.write_str("the book's row"),
            Self::Formula(id) => write!(formatter, "version {id} of all formulas"),
            Self::Entry(id, _) => write!(formatter, "entry {id}"),
        }
    }
}

/// The newest entry and version of a formula at one time: what comes after them is new.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Newest {
    entry: i64,
    formula: i64,
}

impl Newest {
    /// As the book stands.
    pub fn of(connection: &Connection) -> rusqlite::Result<Self> {
        connection
            .prepare_cached(
                "SELECT coalesce(max(id), 0), (SELECT coalesce(max(id), 0) FROM formula_version) FROM entry",
            )?
            .query_row([], |row| {
                Ok(Self {
                    entry: row.get(0)?,
                    formula: row.get(1)?,
                })
            })
    }
}

/// Links the book itself and all that it holds: for a new book, and once for one that had no chain yet.
pub(super) fn begin(connection: &Connection) -> rusqlite::Result<()> {
    Links::after(Digest::default()).add_since(connection, true, Newest::default())
}

/// Links what was written since the newest of before, in the transaction that wrote it.
pub(super) fn extend(connection: &Connection, since: Newest) -> rusqlite::Result<()> {
    let newest = newest(connection)?;
    Links::after(newest.map_or_else(Digest::default, |(_, digest)| digest))
        .add_since(connection, false, since)
}

/// The newest link: its number and digest.
pub(super) fn newest(connection: &Connection) -> rusqlite::Result<Option<(i64, Digest)>> {
    connection
        .prepare_cached("SELECT id, digest FROM chain_link ORDER BY id DESC LIMIT 1")?
        .query_row([], |row| Ok((row.get(0)?, Digest(row.get(1)?))))
        .optional()
}

/// The digest of a link; nothing where there is no such one.
pub(super) fn link(connection: &Connection, number: i64) -> rusqlite::Result<Option<Digest>> {
    connection
        .prepare_cached("SELECT digest FROM chain_link WHERE id = ?1")?
        .query_row(params![number], |row| Ok(Digest(row.get(0)?)))
        .optional()
}

/// Links that are still to be written.
struct Links {
    last: Digest,
    waiting: Vec<(Of, Digest)>,
}

impl Links {
    /// Links written at a time.
    const AT_ONCE: usize = 4_096;

    fn after(last: Digest) -> Self {
        Self {
            last,
            waiting: Vec::new(),
        }
    }

    /// Adds the links of all that comes after the newest so far, and that of the book itself where it has none.
    fn add_since(
        mut self,
        connection: &Connection,
        is_first: bool,
        since: Newest,
    ) -> rusqlite::Result<()> {
        let mut statements = Statements::prepare(connection, since)?;
        let mut written = statements.run(since)?;
        if is_first {
            self.add(connection, &mut written, Of::Book)?;
        }
        let mut versions = connection
            .prepare_cached("SELECT id FROM formula_version WHERE id > ?1 ORDER BY id")?;
        let mut found = versions.query(params![since.formula])?;
        while let Some(row) = found.next()? {
            self.add(connection, &mut written, Of::Formula(row.get(0)?))?;
        }
        let mut entries =
            connection.prepare_cached("SELECT id, kind FROM entry WHERE id > ?1 ORDER BY id")?;
        let mut found = entries.query(params![since.entry])?;
        while let Some(row) = found.next()? {
            let of = Of::Entry(row.get(0)?, row.get(1)?);
            self.add(connection, &mut written, of)?;
        }
        self.write(connection)
    }

    fn add(
        &mut self,
        connection: &Connection,
        written: &mut Written<'_>,
        of: Of,
    ) -> rusqlite::Result<()> {
        self.last = digest(written, self.last, of)?;
        self.waiting.push((of, self.last));
        if self.waiting.len() == Self::AT_ONCE {
            self.write(connection)?;
        }
        Ok(())
    }

    fn write(&mut self, connection: &Connection) -> rusqlite::Result<()> {
        let values: Vec<[ToSqlOutput<'_>; 4]> = self
            .waiting
            .iter()
            .map(|(of, digest)| {
                let (entry, formula) = match of {
                    Of::Book => (None, None),
                    Of::Formula(id) => (None, Some(*id)),
                    Of::Entry(id, _) => (Some(*id), None),
                };
                [
                    i64::from(VERSION).into(),
                    columns::optional(entry),
                    columns::optional(formula),
                    ToSqlOutput::Borrowed(ValueRef::Blob(&digest.0)),
                ]
            })
            .collect();
        bulk_insert::insert(
            connection,
            "INSERT INTO chain_link (version, entry_id, formula_version_id, digest)",
            &values,
        )?;
        self.waiting.clear();
        Ok(())
    }
}

/// The digest of a link that comes after another one.
fn digest(written: &mut Written<'_>, before: Digest, of: Of) -> rusqlite::Result<Digest> {
    const MANY: usize = 65_536;
    let mut hash = Sha256::new();
    let mut bytes = vec![VERSION];
    bytes.extend(before.0);
    let mut cover = |place: usize, id: i64| {
        written.rows_of(place, id, |row, columns| {
            add_row(&mut bytes, place, row, columns)?;
            if bytes.len() > MANY {
                hash.update(&bytes);
                bytes.clear();
            }
            Ok(())
        })
    };
    match of {
        Of::Book => cover(BOOK, 1)?,
        Of::Formula(id) => cover(FORMULA, id)?,
        Of::Entry(id, kind) => {
            for (place, covered) in COVERED.iter().enumerate().skip(ENTRY) {
                if covered.kinds.contains(&kind) {
                    cover(place, id)?;
                }
            }
        }
    }
    hash.update(&bytes);
    Ok(Digest(hash.finalize().into()))
}

/// A row as bytes: the place of its table, then of each column that holds something its place and the value, then a
/// zero. What a later version of the schema adds is empty in older rows and changes no byte of them.
fn add_row(
    bytes: &mut Vec<u8>,
    place: usize,
    row: &Row<'_>,
    columns: usize,
) -> rusqlite::Result<()> {
    bytes.push(number(place));
    for column in 0..columns {
        // The first value is the number that the row belongs to.
        let (tag, text) = match row.get_ref(column + 1)? {
            ValueRef::Null => continue,
            ValueRef::Integer(value) => {
                bytes.extend([number(column), b'i']);
                bytes.extend(value.to_be_bytes());
                continue;
            }
            ValueRef::Real(value) => {
                bytes.extend([number(column), b'r']);
                bytes.extend(value.to_bits().to_be_bytes());
                continue;
            }
            ValueRef::Text(text) => (b't', text),
            ValueRef::Blob(blob) => (b'b', blob),
        };
        bytes.extend([number(column), tag]);
        bytes.extend((text.len() as u64).to_be_bytes());
        bytes.extend(text);
    }
    bytes.push(0);
    Ok(())
}

/// A place as a byte, counted from one: a zero ends a row.
fn number(place: usize) -> u8 {
    u8::try_from(place + 1).unwrap_or(u8::MAX)
}

/// Follows the chain from the first link to the last.
///
/// # Errors
///
/// Words for the first place at which it breaks, besides what SQLite says.
pub(super) fn verify(connection: &Connection) -> rusqlite::Result<Result<Option<Digest>, String>> {
    let all = Newest::default();
    let mut statements = Statements::prepare(connection, all)?;
    let mut written = statements.run(all)?;
    let mut entries = connection.prepare("SELECT id, kind FROM entry ORDER BY id")?;
    let mut formulas = connection.prepare("SELECT id FROM formula_version ORDER BY id")?;
    let mut expected = Expected {
        entries: entries.query([])?,
        formulas: formulas.query([])?,
    };
    let mut links = connection.prepare(
        "SELECT id, version, entry_id, formula_version_id, digest FROM chain_link ORDER BY id",
    )?;
    let mut found = links.query([])?;
    let mut last = Digest::default();
    let mut number = 0;
    while let Some(row) = found.next()? {
        number += 1;
        let (id, version): (i64, u8) = (row.get(0)?, row.get(1)?);
        let (entry, formula): (Option<i64>, Option<i64>) = (row.get(2)?, row.get(3)?);
        let Some(of) = expected.next(number, entry, formula)? else {
            return Ok(Err(format!(
                "chain: link {id} is of {}, which does not come next",
                match (entry, formula) {
                    (Some(entry), _) => format!("entry {entry}"),
                    (_, Some(version)) => format!("version {version} of all formulas"),
                    _ => "the book's row".to_owned(),
                }
            )));
        };
        last = digest(&mut written, last, of)?;
        if id != number || version != VERSION || Digest(row.get(4)?) != last {
            return Ok(Err(format!(
                "chain: it breaks at {of}: what is there was not written so, or something before it was taken out or put in"
            )));
        }
    }
    Ok(match expected.rest(number)? {
        Some(of) => Err(format!("chain: {of} has no link")),
        None => Ok((number > 0).then_some(last)),
    })
}

/// What the links have to be of: all versions and all entries, each in the order of their numbers.
struct Expected<'s> {
    entries: Rows<'s>,
    formulas: Rows<'s>,
}

impl Expected<'_> {
    /// What a link is of, if that comes next.
    fn next(
        &mut self,
        link: i64,
        entry: Option<i64>,
        formula: Option<i64>,
    ) -> rusqlite::Result<Option<Of>> {
        let next = match (entry, formula) {
            (None, None) => return Ok((link == 1).then_some(Of::Book)),
            (Some(_), _) => self.next_entry()?,
            (_, Some(_)) => self.next_formula()?,
        };
        let is_named = match next {
            Some(Of::Entry(id, _)) => Some(id) == entry,
            Some(Of::Formula(id)) => Some(id) == formula,
            _ => false,
        };
        Ok(next.filter(|_| is_named && link > 1))
    }

    /// The first thing that no link was of.
    fn rest(&mut self, links: i64) -> rusqlite::Result<Option<Of>> {
        if links == 0 {
            return Ok(Some(Of::Book));
        }
        match self.next_entry()? {
            Some(entry) => Ok(Some(entry)),
            None => self.next_formula(),
        }
    }

    fn next_entry(&mut self) -> rusqlite::Result<Option<Of>> {
        let next = self.entries.next()?;
        next.map(|row| Ok(Of::Entry(row.get(0)?, row.get(1)?)))
            .transpose()
    }

    fn next_formula(&mut self) -> rusqlite::Result<Option<Of>> {
        let next = self.formulas.next()?;
        next.map(|row| Ok(Of::Formula(row.get(0)?))).transpose()
    }
}

/// Rows of a covered table that belong to an entry of a kind that writes no such rows, so that no link covers them.
pub(super) fn strays(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut found = Vec::new();
    for covered in COVERED
        .iter()
        .filter(|covered| covered.of.starts_with("entry_id"))
    {
        let number: i64 = connection.query_row(
            &format!(
                "SELECT count(*) FROM {from} JOIN entry ON entry.id = entry_id WHERE entry.kind NOT IN {kinds}",
                from = covered.from,
                kinds = EntryKind::list(|kind| covered.kinds.contains(&kind))
            ),
            [],
            |row| row.get(0),
        )?;
        if number != 0 {
            found.push(format!(
                "table {}: {number} rows belong to entries of another kind",
                covered.from
            ));
        }
    }
    Ok(found)
}
