//! Formulas in the book: every version as the text that was added.

use super::failure::{STILL_WORKS, in_part};
use super::{Act, BookRefusal, View, columns};
use crate::dough::formula::Formula;
use crate::quantity::{Instant, Problem};
use rusqlite::{OptionalExtension, Row, params};

/// One version of a formula.
#[derive(Debug, Clone)]
pub struct FormulaRecord {
    pub(super) id: i64,
    /// What the dough is called.
    pub name: String,
    /// Which version this is, from 1.
    pub version: u32,
    /// The text that was added.
    pub text: String,
    /// When it was added.
    pub added_at: Instant,
    /// Who added it.
    pub by: Option<String>,
}

impl FormulaRecord {
    /// What the text says. Only texts that were understood were added: any other was changed since.
    pub fn formula(&self) -> Result<Formula, Problem> {
        Formula::from_text(&self.text).map_err(|problem| {
            let part = named(&self.name, self.version);
            problem
                .within(format!("the book is damaged: {part}"))
                .hint(STILL_WORKS)
        })
    }
}

/// A version of a formula as it is named.
fn named(name: &str, version: u32) -> String {
    format!("formula `{name}`, version {version}")
}

const COLUMNS: &str =
    "version.id, formula.name, version.number, version.text, version.added_at, version.added_by";

fn read_formula(row: &Row<'_>) -> rusqlite::Result<FormulaRecord> {
    let (name, version): (String, u32) = (row.get(1)?, row.get(2)?);
    let of_formula = |error| in_part(error, || named(&name, version));
    let text = row.get(3).map_err(of_formula)?;
    let by = row.get(5).map_err(of_formula)?;
    Ok(FormulaRecord {
        id: row.get(0)?,
        name,
        version,
        text,
        added_at: columns::instant(row.get(4)?),
        by,
    })
}

impl View<'_> {
    /// The newest version of every formula, by name.
    pub fn formulas(&self) -> anyhow::Result<Vec<FormulaRecord>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM formula JOIN formula_version AS version ON version.formula_id = formula.id
             WHERE version.number = (SELECT max(number) FROM formula_version WHERE formula_id = formula.id)
             ORDER BY formula.name"
        ))?;
        let found = statement
            .query_map([], read_formula)?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }

    /// Every version of every formula, in the order in which they were added.
    pub fn all_formulas(&self) -> anyhow::Result<Vec<FormulaRecord>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM formula JOIN formula_version AS version ON version.formula_id = formula.id
             ORDER BY version.id"
        ))?;
        let found = statement
            .query_map([], read_formula)?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }

    /// One version of a formula, the newest if none is named.
    pub fn formula(&self, name: &str, version: Option<u32>) -> anyhow::Result<FormulaRecord> {
        let found = self
            .connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM formula JOIN formula_version AS version ON version.formula_id = formula.id
                 WHERE formula.name = ?1 AND (?2 IS NULL OR version.number = ?2)
                 ORDER BY version.number DESC LIMIT 1"
            ))?
            .query_row(params![name, version], read_formula)
            .optional()?;
        if let Some(found) = found {
            return Ok(found);
        }
        let known = self.formulas()?;
        let newest = known.iter().find(|one| one.name.eq_ignore_ascii_case(name));
        Err(match (version, newest) {
            (Some(version), Some(newest)) => BookRefusal::NoVersion {
                name: newest.name.clone(),
                version,
                newest: newest.version,
            },
            _ => BookRefusal::NoFormula {
                name: name.to_owned(),
                known: known.into_iter().map(|one| one.name).collect(),
            },
        }
        .into())
    }
}

impl View<'_> {
    /// Number, name and version of every formula that was ever added.
    pub(super) fn formula_versions(&self) -> rusqlite::Result<Vec<(i64, String, u32)>> {
        self.connection
            .prepare(
                "SELECT version.id, formula.name, version.number
                 FROM formula JOIN formula_version AS version ON version.formula_id = formula.id
                 ORDER BY version.id",
            )?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
            .collect()
    }

    pub(super) fn formula_by_id(&self, version_id: i64) -> rusqlite::Result<FormulaRecord> {
        self.connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM formula JOIN formula_version AS version ON version.formula_id = formula.id
                 WHERE version.id = ?1"
            ))?
            .query_row(params![version_id], read_formula)
    }
}

impl Act<'_> {
    /// Adds a formula, or a new version of one whose text has changed.
    pub(crate) fn add_formula(&mut self, name: &str, text: &str) -> anyhow::Result<u32> {
        let known: Option<i64> = self
            .transaction
            .query_row(
                "SELECT id FROM formula WHERE name = ?1",
                params![name],
                |row| row.get(0),
            )
            .optional()?;
        let (id, last) = match known {
            Some(id) => (id, Some(self.view().formula(name, None)?)),
            None => {
                self.transaction
                    .execute("INSERT INTO formula (name) VALUES (?1)", params![name])?;
                (self.transaction.last_insert_rowid(), None)
            }
        };
        if let Some(last) = last.as_ref().filter(|last| last.text == text) {
            return Err(BookRefusal::SameFormula {
                name: last.name.clone(),
                version: last.version,
            }
            .into());
        }
        let number = last.map_or(1, |last| last.version + 1);
        self.transaction.execute(
            "INSERT INTO formula_version (formula_id, number, text, added_at, added_by) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                id,
                number,
                text,
                columns::seconds(self.signature.now),
                self.signature.by
            ],
        )?;
        Ok(number)
    }
}
