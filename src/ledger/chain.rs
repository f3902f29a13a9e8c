//! The chain: for the book, each version of a formula and each entry the digest of the rows that were written and of
//! the link before. A change to any of them, a row taken out or put in between breaks all links from there on.
//!
//! Whoever can write the file can hash it anew, so it proves something only against a digest that is kept elsewhere.

mod covered;
#[cfg(test)]
mod tests;

use super::{EntryKind, columns, rows};
use covered::{BOOK, COVERED, Covered, ENTRY, FORMULA};
use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Connection, OptionalExtension, Row, params};
use sha2::{Digest as _, Sha256};
use std::fmt;
use std::sync::LazyLock;

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
pub(super) struct Mark {
    entry: i64,
    formula: i64,
}

impl Mark {
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
    let mut links = Links::after(Digest::default());
    links.add(connection, Of::Book)?;
    links.add_since(connection, Mark::default())
}

/// Links what was written since a mark, in the transaction that wrote it.
pub(super) fn extend(connection: &Connection, since: Mark) -> rusqlite::Result<()> {
    let newest = newest(connection)?;
    Links::after(newest.map_or_else(Digest::default, |(_, digest)| digest))
        .add_since(connection, since)
}

/// The newest link: its number and digest.
pub(super) fn newest(connection: &Connection) -> rusqlite::Result<Option<(i64, Digest)>> {
    connection
        .prepare_cached("SELECT id, digest FROM chain_link ORDER BY id DESC LIMIT 1")?
        .query_row([], |row| Ok((row.get(0)?, Digest(row.get(1)?))))
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

    fn add(&mut self, connection: &Connection, of: Of) -> rusqlite::Result<()> {
        self.last = digest(connection, self.last, of)?;
        self.waiting.push((of, self.last));
        if self.waiting.len() == Self::AT_ONCE {
            self.write(connection)?;
        }
        Ok(())
    }

    fn add_since(mut self, connection: &Connection, since: Mark) -> rusqlite::Result<()> {
        let mut versions = connection
            .prepare_cached("SELECT id FROM formula_version WHERE id > ?1 ORDER BY id")?;
        let mut found = versions.query(params![since.formula])?;
        while let Some(row) = found.next()? {
            self.add(connection, Of::Formula(row.get(0)?))?;
        }
        let mut entries =
            connection.prepare_cached("SELECT id, kind FROM entry WHERE id > ?1 ORDER BY id")?;
        let mut found = entries.query(params![since.entry])?;
        while let Some(row) = found.next()? {
            self.add(connection, Of::Entry(row.get(0)?, row.get(1)?))?;
        }
        self.write(connection)
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
        rows::insert(
            connection,
            "INSERT INTO chain_link (version, entry_id, formula_version_id, digest)",
            &values,
        )?;
        self.waiting.clear();
        Ok(())
    }
}

/// The digest of a link that comes after another one.
fn digest(connection: &Connection, before: Digest, of: Of) -> rusqlite::Result<Digest> {
    let mut bytes = vec![VERSION];
    bytes.extend(before.0);
    let mut hash = Sha256::new();
    let mut cover = |place: usize, id: i64| cover(connection, &mut hash, &mut bytes, place, id);
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

/// The statement for the rows of each of [`COVERED`].
static STATEMENTS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let statement = |covered: &Covered| {
        format!(
            "SELECT {columns} FROM {from} WHERE {of}",
            columns = covered.columns.join(", "),
            from = covered.from,
            of = covered.of
        )
    };
    COVERED.iter().map(statement).collect()
});

/// Adds the rows of one kind that belong to a number.
fn cover(
    connection: &Connection,
    hash: &mut Sha256,
    bytes: &mut Vec<u8>,
    place: usize,
    id: i64,
) -> rusqlite::Result<()> {
    const MANY: usize = 65_536;
    let covered = &COVERED[place];
    let mut statement = connection.prepare_cached(&STATEMENTS[place])?;
    let mut found = statement.query(params![id])?;
    while let Some(row) = found.next()? {
        add_row(bytes, place, row, covered.columns.len())?;
        if bytes.len() > MANY {
            hash.update(&*bytes);
            bytes.clear();
        }
    }
    Ok(())
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
        let (tag, text) = match row.get_ref(column)? {
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
    let mut expected = Expected::begin(connection)?;
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
        last = digest(connection, last, of)?;
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
struct Expected<'c> {
    connection: &'c Connection,
    seen: Mark,
}

impl<'c> Expected<'c> {
    fn begin(connection: &'c Connection) -> rusqlite::Result<Self> {
        Ok(Self {
            connection,
            seen: Mark::default(),
        })
    }

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
        match next {
            Some(Of::Entry(id, _)) if Some(id) == entry => self.seen.entry = id,
            Some(Of::Formula(id)) if Some(id) == formula => self.seen.formula = id,
            _ => return Ok(None),
        }
        Ok(next.filter(|_| link > 1))
    }

    /// The first thing that no link was of.
    fn rest(&self, links: i64) -> rusqlite::Result<Option<Of>> {
        if links == 0 {
            return Ok(Some(Of::Book));
        }
        match self.next_entry()? {
            Some(entry) => Ok(Some(entry)),
            None => self.next_formula(),
        }
    }

    fn next_entry(&self) -> rusqlite::Result<Option<Of>> {
        self.connection
            .prepare_cached("SELECT id, kind FROM entry WHERE id > ?1 ORDER BY id LIMIT 1")?
            .query_row([self.seen.entry], |row| {
                Ok(Of::Entry(row.get(0)?, row.get(1)?))
            })
            .optional()
    }

    fn next_formula(&self) -> rusqlite::Result<Option<Of>> {
        self.connection
            .prepare_cached("SELECT id FROM formula_version WHERE id > ?1 ORDER BY id LIMIT 1")?
            .query_row([self.seen.formula], |row| Ok(Of::Formula(row.get(0)?)))
            .optional()
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
