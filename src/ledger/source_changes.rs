//! Renaming a source, and saying that two are one.

use super::in_force::IN_FORCE;
use super::lots::FACTS;
use super::new_entry::NewEntry;
use super::{Act, BookRefusal, SourceChange, SourceRecord, View};
use crate::quantity::text;
use rusqlite::params;
use std::collections::{BTreeMap, BTreeSet};

/// The note of a merge that the program made by itself.
const JOINED: &str = "called alike: joined when the book was upgraded";

impl SourceRecord {
    /// Sources that are joined with no other and are called alike, as an older book may hold them: all of each name, the
    /// first one first.
    pub fn alike(all: &[Self]) -> Vec<Vec<&Self>> {
        let mut by_name: BTreeMap<String, Vec<&Self>> = BTreeMap::new();
        for source in all.iter().filter(|source| !source.is_joined()) {
            let alike = by_name.entry(text::folded(&source.name)).or_default();
            alike.push(source);
        }
        by_name
            .into_values()
            .filter(|alike| alike.len() > 1)
            .collect()
    }
}

impl View<'_> {
    /// How many lots each source has, by the one that it is one with.
    fn lots_of_sources(&self) -> rusqlite::Result<BTreeMap<i64, i64>> {
        self.connection
            .prepare(&format!(
                "SELECT coalesce(is_one.same_as, source.id), count(*) FROM lot {FACTS} GROUP BY 1"
            ))?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect()
    }

    /// What an entry says of a source.
    pub(super) fn source_change(&self, entry: i64) -> rusqlite::Result<SourceChange> {
        self.connection
            .prepare_cached(
                "SELECT source.name, source_change.name, other.name FROM source_change
                 JOIN source ON source.id = source_id LEFT JOIN source AS other ON other.id = into_id
                 WHERE entry_id = ?1",
            )?
            .query_row(params![entry], |row| {
                Ok(SourceChange {
                    source: row.get(0)?,
                    name: row.get(1)?,
                    into: row.get(2)?,
                })
            })
    }

    /// Both sources of every merge that was struck.
    fn told_apart(&self) -> rusqlite::Result<BTreeSet<i64>> {
        let mut apart = BTreeSet::new();
        let mut statement = self.connection.prepare(&format!(
            "SELECT source_id, into_id FROM entry JOIN source_change ON source_change.entry_id = entry.id
             WHERE into_id IS NOT NULL AND NOT ({IN_FORCE})"
        ))?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            apart.extend([row.get::<_, i64>(0)?, row.get(1)?]);
        }
        Ok(apart)
    }
}

impl Act<'_> {
    /// Calls a source otherwise. A name that is near to that of another, or that another had, is refused, unless it is said
    /// to be new.
    pub(crate) fn rename_source(
        &mut self,
        source: &str,
        name: &str,
        is_new: bool,
    ) -> anyhow::Result<i64> {
        let renamed = self.view().source_meant(source)?;
        let taken = self
            .view()
            .sources()?
            .into_iter()
            .find(|other| text::is_same_name(&other.name, name) && other.same_as != renamed);
        if let Some(taken) = taken {
            return Err(BookRefusal::SourceTaken {
                name: source.to_owned(),
                taken: taken.name,
            }
            .into());
        }
        if !is_new {
            self.view()
                .refuse_near_source(name, Some((renamed, source)))?;
        }
        self.change_source(renamed, Some(name), None, None)
    }

    /// Says that a source is one with another, by whose name all of it is called from then on.
    pub(crate) fn merge_source(&mut self, source: &str, into: &str) -> anyhow::Result<i64> {
        let meant = self.view().source_meant(source)?;
        let into_id = self.view().source_meant(into)?;
        let from = if meant == into_id {
            // An older book may hold another that is called alike: what is typed does not tell them apart.
            let all = self.view().sources()?;
            let other = all
                .iter()
                .find(|other| other.same_as != into_id && text::is_same_name(&other.name, source));
            other.map(|other| other.same_as)
        } else {
            Some(meant)
        };
        let Some(from) = from else {
            return Err(BookRefusal::SameSource {
                name: source.to_owned(),
                into: into.to_owned(),
            }
            .into());
        };
        self.change_source(from, None, Some(into_id), None)
    }

    /// Joins sources that are called alike, which earlier versions took for several: each with the one of most lots, or with
    /// the first of those. Where somebody struck a merge, they are two, and stay so.
    pub(super) fn join_alike_sources(&mut self) -> anyhow::Result<()> {
        let sources = self.view().sources()?;
        let lots = self.view().lots_of_sources()?;
        let apart = self.view().told_apart()?;
        for mut alike in SourceRecord::alike(&sources) {
            alike.retain(|source| !apart.contains(&source.id));
            // Of several with the same number of lots the last would be taken.
            let by_lots = alike.iter().rev();
            let most = by_lots.max_by_key(|source| lots.get(&source.id));
            let Some(kept) = most.map(|source| source.id) else {
                continue;
            };
            for source in alike.iter().filter(|source| source.id != kept) {
                self.change_source(source.id, None, Some(kept), Some(JOINED))?;
            }
        }
        Ok(())
    }

    fn change_source(
        &mut self,
        source: i64,
        name: Option<&str>,
        into: Option<i64>,
        note: Option<&str>,
    ) -> anyhow::Result<i64> {
        let entry = self.write(None, self.now(), NewEntry::Source(note))?;
        self.transaction.execute(
            "INSERT INTO source_change (entry_id, source_id, name, into_id) VALUES (?1, ?2, ?3, ?4)",
            params![entry, source, name, into],
        )?;
        self.keep_sources()?;
        Ok(entry)
    }

    /// Keeps again what sources are by now.
    pub(super) fn keep_sources(&mut self) -> anyhow::Result<()> {
        self.sources.clear();
        self.transaction.execute("DELETE FROM source_now", [])?;
        for (id, (same_as, name)) in self.view().sources_due()? {
            self.transaction.execute(
                "INSERT INTO source_now (source_id, same_as, name) VALUES (?1, ?2, ?3)",
                params![id, same_as, name],
            )?;
        }
        Ok(())
    }
}
