//! Entries that were written down later than they happened.

use super::in_force::IN_FORCE;
use super::trace::list;
use super::when_written::written;
use super::{EntryRecord, LotRecord, View};
use chrono::Duration;
use rusqlite::params;

impl View<'_> {
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
