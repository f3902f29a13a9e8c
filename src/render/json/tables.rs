//! `description.json`: what the tables that `export-all` wrote are.

use crate::ledger::tables::Table;
use crate::render::tables;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// How values are written, for whoever reads the files with another program.
const HOW: &str = "UTF-8 CSV with a header line, rows in the order of the key. An empty cell holds no value. \
    A text that is empty, or begins with one of = + - @ | % ' or a tab or return, has one ' in front that \
    is not part of it. Bytes are hexadecimal digits after 0x.";

/// The description of a folder.
#[derive(Serialize, Deserialize)]
pub struct Description {
    /// The version of the schema that the tables belong to.
    pub schema_version: i32,
    how: String,
    /// Whether all of the book is there. Older versions exported no damaged book.
    #[serde(default = "of_older_version")]
    pub complete: bool,
    /// The tables by name.
    pub tables: Vec<Described>,
}

const fn of_older_version() -> bool {
    true
}

/// One table.
#[derive(Serialize, Deserialize)]
pub struct Described {
    /// Its name.
    pub table: String,
    file: String,
    /// How many rows it has.
    pub rows: u64,
    /// SHA-256 of its file, in hexadecimal digits.
    pub sha256: String,
    about: Option<String>,
    columns: Vec<DescribedColumn>,
    definition: String,
}

#[derive(Serialize, Deserialize)]
struct DescribedColumn {
    column: String,
    holds: String,
    unit: Option<String>,
    refers_to: Option<String>,
    may_be_empty: bool,
}

impl Description {
    /// Of tables of this schema version.
    pub fn new(schema_version: i32, tables: Vec<Described>, complete: bool) -> Self {
        Self {
            schema_version,
            how: HOW.to_owned(),
            complete,
            tables,
        }
    }

    /// Rows of all tables.
    pub fn rows(&self) -> u64 {
        self.tables.iter().map(|table| table.rows).sum()
    }

    /// Reads one.
    pub fn read(text: &str) -> anyhow::Result<Self> {
        Ok(serde_json::from_str(text)?)
    }
}

impl Described {
    /// A table with what was written of it.
    pub fn new(table: &Table, file: String, rows: u64, sha256: String) -> Self {
        Self {
            table: table.name.clone(),
            file,
            rows,
            sha256,
            about: table.about.clone(),
            columns: table
                .columns
                .iter()
                .map(|column| DescribedColumn {
                    column: column.name.clone(),
                    holds: tables::word(column.kind).to_owned(),
                    unit: column.unit.map(str::to_owned),
                    refers_to: column.refers_to.clone(),
                    may_be_empty: column.may_be_empty,
                })
                .collect(),
            definition: table.definition.clone(),
        }
    }
}

/// The answer of `export-all` and `import-all`.
#[derive(Serialize)]
pub struct Carried {
    folder: String,
    book: String,
    schema_version: i32,
    entries: i64,
    tables: usize,
    rows: u64,
    complete: bool,
}

impl Carried {
    /// What was written or read.
    pub fn new(folder: &Path, book: &Path, entries: i64, description: &Description) -> Self {
        Self {
            folder: folder.display().to_string(),
            book: book.display().to_string(),
            schema_version: description.schema_version,
            entries,
            tables: description.tables.len(),
            rows: description.rows(),
            complete: description.complete,
        }
    }
}
