//! Entries that were written down later than they happened.

use super::in_force::{IN_FORCE, KEEPS_ITS_TIME};
use super::trace::list;
use super::{EntryRecord, LotRecord, View, columns};
use crate::quantity::Instant;
use chrono::Duration;
use rusqlite::params;

/// When an entry was written: no earlier than the thousand before it, see [`View::written_after`], whatever its own clock said.
/// The entry is called `entry` in the statement.
fn written() -> String {
    format!(
        "max(entry.recorded_at, coalesce((SELECT max(earlier.recorded_at) FROM entry AS earlier
             WHERE earlier.id > entry.id - 1000 AND earlier.id < entry.id
               AND earlier.recorded_at > entry.recorded_at AND {KEEPS_ITS_TIME}), 0))"
    )
}

impl View<'_> {
    /// When an entry was written: no earlier than what was written before it, whatever its own clock said.
    pub fn written_at(&self, entry: i64) -> anyhow::Result<Instant> {
        let at = self
            .connection
            .prepare_cached(&format!(
                "SELECT {written} FROM entry WHERE entry.id = ?1",
                written = written()
            ))?
            .query_row(params![entry], |row| row.get(0))?;
        Ok(columns::instant(at))
    }

    /// When what an entry says was written first, by it or by an entry that it takes the place of. One whose clock ran ahead
    /// does not tell.
    pub fn first_written_at(&self, entry: &EntryRecord) -> anyhow::Result<Instant> {
        let (mut first, mut next) = (entry.entry, entry.amends);
        while let Some(amended) = next {
            let keeps_its_time: bool = self
                .connection
                .prepare_cached(&format!(
                    "SELECT {KEEPS_ITS_TIME} FROM entry AS earlier WHERE earlier.id = ?1"
                ))?
                .query_row(params![amended], |row| row.get(0))?;
            if keeps_its_time {
                first = amended;
            }
            next = self.entry(amended)?.amends;
        }
        self.written_at(first)
    }

    /// The entries that count, were written after the one of a number and up to another, and more than so long after they
    /// happened, about a lot, the grain it was made of, or a place; the oldest first. A logger's file happened from its first
    /// reading on.
    pub fn written_late(
        &self,
        (since, by): (i64, i64),
        (lot, late): (&LotRecord, Duration),
    ) -> anyhow::Result<Vec<EntryRecord>> {
        let family = self.ancestors(&std::iter::once(lot).collect())?;
        let numbers: Vec<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT entry.id FROM entry LEFT JOIN reading_file AS file ON file.entry_id = entry.id
                 WHERE entry.id > ?1 AND entry.id <= ?4
                   AND {written} - coalesce(file.first_at, entry.at) > ?2 AND {IN_FORCE}
                   AND coalesce(entry.lot_id IN (SELECT value FROM json_each(?3)), entry.place_id IS NOT NULL)
                 ORDER BY entry.id",
                written = written()
            ))?
            .query_map(
                params![since, late.num_seconds(), list(family.as_slice()), by],
                |row| row.get(0),
            )?
            .collect::<Result<_, _>>()?;
        numbers
            .into_iter()
            .map(|number| self.entry(number))
            .collect()
    }
}
