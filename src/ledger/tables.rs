//! Every table of a book as it stands, whatever its schema: what the columns are, and all rows.
//!
//! Nothing here knows a table by name, so a table that a later migration adds is carried like the others.

mod rows;

pub use rows::Unread;

use super::connection::is_table;
use super::{View, schema};
use crate::quantity::Problem;
use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Connection, ToSql};
use std::collections::BTreeMap;

/// A table of the book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Its name.
    pub name: String,
    /// What it is for: the comment above it in the migration that made it.
    pub about: Option<String>,
    /// The SQL that made it, with its checks.
    pub definition: String,
    /// Its columns in their order; those that SQLite works out from others are left out.
    pub columns: Vec<Column>,
    /// Places of the columns by which rows are told apart, in the order in which they count.
    key: Vec<usize>,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub kind: Kind,
    /// The unit, where the name has one.
    pub unit: Option<&'static str>,
    /// The table whose rows it points to.
    pub refers_to: Option<String>,
    /// Whether it may be without a value.
    pub may_be_empty: bool,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Whole numbers of 64 bits.
    Whole,
    /// Floating point.
    Real,
    /// Text.
    Text,
    /// Bytes.
    Bytes,
}

/// One value of a row.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// No value.
    Empty,
    /// A whole number.
    Whole(i64),
    /// A number.
    Real(f64),
    /// A text, which may be of no length.
    Text(String),
    /// Bytes.
    Bytes(Vec<u8>),
}

/// What the end of a column's name says of its unit. The schema names its columns so throughout.
const UNITS: [(&str, &str); 9] = [
    ("_mg", "milligram"),
    ("_mc", "thousandth of a degree Celsius"),
    ("_mk", "thousandth of a kelvin"),
    ("_ppm", "part per million"),
    ("_um", "micrometre"),
    ("_at", "second since 1970-01-01T00:00:00Z"),
    ("_on", "calendar day, YYYY-MM-DD"),
    ("_minutes", "minute"),
    ("_seconds", "second"),
];

impl View<'_> {
    /// All tables by name.
    pub fn tables(&self) -> anyhow::Result<Vec<Table>> {
        all(self.connection)
    }

    /// The book's own tables by name; those that cannot be carried, as a view in the place of one; and in words what is none
    /// of a book's. Works on a book that somebody changed.
    pub fn own_tables(&self) -> anyhow::Result<(Vec<Table>, Vec<Unread>, Vec<String>)> {
        let own = schema::own_tables()?;
        let abouts = abouts(self.connection)?;
        let (mut tables, mut unread, mut others) = (Vec::new(), Vec::new(), Vec::new());
        for listed in listed(self.connection)? {
            let name = listed.name.clone();
            if !own.contains(&name) {
                others.push(format!("{} `{name}` is not ours", listed.kind));
                continue;
            }
            match table(self.connection, &abouts, listed) {
                Ok(table) => tables.push(table),
                Err(error) => unread.push(Unread {
                    table: name,
                    rows: None,
                    found: error.downcast::<Problem>()?.to_string(),
                }),
            }
        }
        Ok((tables, unread, others))
    }

    /// The version of the book's schema.
    pub fn schema_version(&self) -> anyhow::Result<i32> {
        Ok(self
            .connection
            .pragma_query_value(None, "user_version", |row| row.get(0))?)
    }
}

impl ToSql for Cell {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(match self {
            Self::Empty => ValueRef::Null,
            Self::Whole(number) => ValueRef::Integer(*number),
            Self::Real(number) => ValueRef::Real(*number),
            Self::Text(text) => ValueRef::Text(text.as_bytes()),
            Self::Bytes(bytes) => ValueRef::Blob(bytes),
        }))
    }
}

/// All tables by name.
pub(super) fn all(connection: &Connection) -> anyhow::Result<Vec<Table>> {
    let abouts = abouts(connection)?;
    listed(connection)?
        .into_iter()
        .filter(|listed| listed.kind != "view")
        .map(|listed| table(connection, &abouts, listed))
        .collect()
}

/// A table or a view as the schema names it.
struct Listed {
    name: String,
    kind: String,
    definition: String,
}

/// All tables and views by name.
fn listed(connection: &Connection) -> rusqlite::Result<Vec<Listed>> {
    connection
        .prepare(
            "SELECT list.name, list.type, made.sql
             FROM pragma_table_list AS list JOIN sqlite_schema AS made ON made.name = list.name
             WHERE list.schema = 'main' AND made.type IN ('table', 'view') AND substr(list.name, 1, 7) <> 'sqlite_'
             ORDER BY list.name",
        )?
        .query_map([], |row| {
            Ok(Listed {
                name: row.get(0)?,
                kind: row.get(1)?,
                definition: row.get(2)?,
            })
        })?
        .collect()
}

fn table(
    connection: &Connection,
    abouts: &BTreeMap<String, String>,
    listed: Listed,
) -> anyhow::Result<Table> {
    let Listed {
        name,
        kind,
        definition,
    } = listed;
    match kind.as_str() {
        "table" => {}
        "view" => return Err(not_carried(&name, "it is a view").into()),
        kind => return Err(not_carried(&name, &format!("it is a {kind} table")).into()),
    }
    let (columns, key) = columns_of(connection, &name)?;
    Ok(Table {
        about: abouts.get(&name).cloned(),
        columns,
        key,
        definition,
        name,
    })
}

fn columns_of(connection: &Connection, table: &str) -> anyhow::Result<(Vec<Column>, Vec<usize>)> {
    let refers_to: BTreeMap<String, String> = connection
        .prepare("SELECT \"from\", \"table\" FROM pragma_foreign_key_list(?1)")?
        .query_map([table], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    let mut statement = connection.prepare(
        "SELECT name, type, \"notnull\", pk FROM pragma_table_xinfo(?1) WHERE hidden = 0 ORDER BY cid",
    )?;
    let mut rows = statement.query([table])?;
    let (mut columns, mut key) = (Vec::new(), Vec::new());
    while let Some(row) = rows.next()? {
        let (name, kind, place): (String, String, i64) = (row.get(0)?, row.get(1)?, row.get(3)?);
        let filled: bool = row.get(2)?;
        if place > 0 {
            key.push((place, columns.len()));
        }
        columns.push(Column {
            kind: match kind.as_str() {
                "INTEGER" | "INT" => Kind::Whole,
                "REAL" => Kind::Real,
                "TEXT" => Kind::Text,
                "BLOB" => Kind::Bytes,
                other => {
                    return Err(
                        not_carried(table, &format!("column {name} is of type `{other}`")).into(),
                    );
                }
            },
            unit: unit(&name),
            refers_to: refers_to.get(&name).cloned(),
            may_be_empty: !filled && place == 0,
            name,
        });
    }
    key.sort_unstable();
    Ok((columns, key.into_iter().map(|(_, column)| column).collect()))
}

fn not_carried(table: &str, why: &str) -> Problem {
    Problem::new(format!("table `{table}` cannot be carried as CSV: {why}"))
        .hint("`check` says whether the table belongs to the book")
}

fn unit(column: &str) -> Option<&'static str> {
    UNITS
        .iter()
        .find(|(ending, _)| column.ends_with(ending) || column == &ending[1..])
        .map(|(_, unit)| *unit)
}

/// What the migrations that made the book say of each table, in the comment above it. Nothing where they are not kept.
fn abouts(connection: &Connection) -> rusqlite::Result<BTreeMap<String, String>> {
    if !is_table(connection, "migration")? {
        return Ok(BTreeMap::new());
    }
    let mut statement = connection.prepare("SELECT sql FROM migration ORDER BY version")?;
    let texts = statement.query_map([], |row| row.get::<_, String>(0))?;
    let mut abouts = BTreeMap::new();
    // One that cannot be read is named where its row is.
    for text in texts.flatten() {
        let mut comment: Vec<String> = Vec::new();
        for line in text.lines() {
            if let Some(words) = line.strip_prefix("--") {
                comment.push(words.trim().to_owned());
                continue;
            }
            let name = line
                .strip_prefix("CREATE TABLE ")
                .and_then(|rest| rest.split([' ', '(']).next());
            if let Some(name) = name.filter(|_| !comment.is_empty()) {
                abouts.insert(name.to_owned(), comment.join(" "));
            }
            comment.clear();
        }
    }
    Ok(abouts)
}

/// A name of the schema as SQL takes it, whatever is in it.
pub(super) fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}
