//! Sources: breweries and the own brewhouse. One is made the first time it is named.

use super::entries::IN_FORCE;
use super::lots::{COLUMNS, read_lot};
use super::{Act, LotRecord, Refusal, View};
use crate::grain::lot_code;
use rusqlite::{OptionalExtension, params};

/// A source as the book knows it.
#[derive(Debug, Clone)]
pub(super) struct Source {
    pub id: i64,
    pub name: String,
    pub letters: String,
}

impl View<'_> {
    /// Refuses the name of a source that the book has never met.
    pub fn refuse_unknown_source(&self, name: &str) -> anyhow::Result<()> {
        let names: Vec<String> = self
            .connection
            .prepare_cached("SELECT name FROM source ORDER BY name")?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        if names.iter().any(|known| known.eq_ignore_ascii_case(name)) {
            return Ok(());
        }
        Err(Refusal::NoSource {
            name: name.to_owned(),
            known: names,
        }
        .into())
    }

    /// The lot that came in last, from one source or from any; nothing where none did.
    pub fn latest_arrival(&self, source: Option<&str>) -> anyhow::Result<Option<LotRecord>> {
        let found = self
            .connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS} FROM entry JOIN lot ON lot.id = entry.lot_id JOIN source ON source.id = lot.source_id
                 WHERE entry.kind = 'pickup' AND (?1 IS NULL OR source.name = ?1) AND {IN_FORCE}
                 ORDER BY entry.at DESC, entry.id DESC LIMIT 1"
            ))?
            .query_row(params![source], read_lot)
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
            None => self.make_source(name)?,
        };
        self.sources.insert(name.to_owned(), source.clone());
        Ok(source)
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
