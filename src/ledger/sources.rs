//! Sources: breweries and the own brewhouse. One is made the first time it is named.

use super::entries::IN_FORCE;
use super::lots::{COLUMNS, read_lot};
use super::{Act, LotRecord, Refusal, View};
use crate::grain::lot_code;
use crate::quantity::text;
use rusqlite::{OptionalExtension, params};

/// A source as the book knows it.
#[derive(Debug, Clone)]
pub(super) struct Source {
    pub id: i64,
    pub name: String,
    pub letters: String,
}

impl View<'_> {
    /// Number and name of every source that is called so, but for case, width and the way of writing. An older
    /// book may hold several that look alike. Refuses a name that the book has never met.
    pub(super) fn sources_called(&self, name: &str) -> anyhow::Result<Vec<(i64, String)>> {
        let all: Vec<(i64, String)> = self
            .connection
            .prepare_cached("SELECT id, name FROM source ORDER BY name")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        let called: Vec<(i64, String)> = all
            .iter()
            .filter(|(_, known)| text::is_same_name(known, name))
            .cloned()
            .collect();
        if called.is_empty() {
            return Err(Refusal::NoSource {
                name: name.to_owned(),
                known: all.into_iter().map(|(_, name)| name).collect(),
            }
            .into());
        }
        Ok(called)
    }

    /// The same as SQLite's JSON functions read them, or nothing where no source is asked for.
    pub(super) fn source_list(&self, name: Option<&str>) -> anyhow::Result<Option<String>> {
        let Some(name) = name else { return Ok(None) };
        let called = self.sources_called(name)?;
        let ids: Vec<String> = called.iter().map(|(id, _)| id.to_string()).collect();
        Ok(Some(format!("[{}]", ids.join(","))))
    }

    /// Refuses the name of a source that the book has never met.
    pub fn refuse_unknown_source(&self, name: &str) -> anyhow::Result<()> {
        self.sources_called(name).map(drop)
    }

    /// The lot that came in last, from one source or from any; nothing where none did.
    pub fn latest_arrival(&self, source: Option<&str>) -> anyhow::Result<Option<LotRecord>> {
        let found = self
            .connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM entry JOIN lot ON lot.id = entry.lot_id JOIN source ON source.id = lot.source_id
                 WHERE entry.kind = 'pickup' AND (?1 IS NULL OR source.id IN (SELECT value FROM json_each(?1))) AND {IN_FORCE}
                 ORDER BY entry.at DESC, entry.id DESC LIMIT 1"
            ))?
            .query_row(params![self.source_list(source)?], read_lot)
            .optional()?;
        Ok(found)
    }
}

impl Act<'_> {
    /// Finds a source by its name, whatever its capitals, or makes it with letters of its own.
    pub(super) fn source(&mut self, name: &str) -> anyhow::Result<Source> {
        if let Some(known) = self.sources.get(name) {
            return Ok(known.clone());
        }
        let found = self
            .transaction
            .prepare_cached("SELECT id, name, letters FROM source WHERE name = ?1")?
            .query_row(params![name], |row| {
                Ok(Source {
                    id: row.get(0)?,
                    name: row.get(1)?,
                    letters: row.get(2)?,
                })
            })
            .optional()?;
        let source = match found {
            Some(source) => source,
            None => match self.source_that_looks_like(name)? {
                Some(source) => source,
                None => self.make_source(name)?,
            },
        };
        self.sources.insert(name.to_owned(), source.clone());
        Ok(source)
    }

    /// A source whose name differs in case, width or the way of writing only.
    fn source_that_looks_like(&self, name: &str) -> rusqlite::Result<Option<Source>> {
        let mut statement = self
            .transaction
            .prepare_cached("SELECT id, name, letters FROM source ORDER BY id")?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let known: String = row.get(1)?;
            if text::is_same_name(&known, name) {
                return Ok(Some(Source {
                    id: row.get(0)?,
                    name: known,
                    letters: row.get(2)?,
                }));
            }
        }
        Ok(None)
    }

    fn make_source(&self, name: &str) -> anyhow::Result<Source> {
        let taken: std::collections::HashSet<String> = self
            .transaction
            .prepare_cached("SELECT letters FROM source")?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        let letters = lot_code::letters_for(name, &|letters| taken.contains(letters));
        self.transaction.execute(
            "INSERT INTO source (name, letters) VALUES (?1, ?2)",
            params![name, letters],
        )?;
        Ok(Source {
            id: self.transaction.last_insert_rowid(),
            name: name.to_owned(),
            letters,
        })
    }
}
