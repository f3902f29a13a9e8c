//! When entries were written. What a clock that was set back wrote was written no earlier than the thousand entries before it,
//! whatever it said: a thousand are found at once however long the book is.

use super::in_force::{KEEPS_ITS_TIME, in_force};
use super::{EntryRecord, View, columns};
use crate::quantity::Instant;
use rusqlite::params;

/// The condition that an entry is one of the thousand up to that of a number, and says that it was written after a moment. The
/// entry is called `earlier` in the statement.
fn later_among(newest: &str, than: &str) -> String {
    format!(
        "earlier.id > {newest} - 1000 AND earlier.id <= {newest} AND earlier.recorded_at > {than}"
    )
}

/// When an entry was written: no earlier than those before it, whatever its own clock said. The entry is called `entry` in the
/// statement.
pub(super) fn written() -> String {
    let later = later_among("entry.id", "entry.recorded_at");
    format!(
        "max(entry.recorded_at, coalesce((SELECT max(earlier.recorded_at) FROM entry AS earlier
             WHERE {later} AND {KEEPS_ITS_TIME}), 0))"
    )
}

impl View<'_> {
    /// When an entry was written: no earlier than what was written before it, whatever its own clock said.
    pub fn written_at(&self, entry: i64) -> anyhow::Result<Instant> {
        let written = written();
        let at = self
            .connection
            .prepare_cached(&format!("SELECT {written} FROM entry WHERE entry.id = ?1"))?
            .query_row(params![entry], |row| row.get(0))?;
        Ok(columns::instant(at))
    }

    /// When what an entry says was written first, by it or by an entry that it takes the place of. One whose clock ran ahead
    /// does not tell, and one that named another lot or place did not say this.
    pub fn first_written_at(&self, entry: &EntryRecord) -> anyhow::Result<Instant> {
        let (mut first, mut next) = (entry.entry, entry.amends);
        while let Some(amended) = next {
            let was = self.entry(amended)?;
            if (was.lot, &was.place) != (entry.lot, &entry.place) {
                break;
            }
            let keeps_its_time: bool = self
                .connection
                .prepare_cached(&format!(
                    "SELECT {KEEPS_ITS_TIME} FROM entry AS earlier WHERE earlier.id = ?1"
                ))?
                .query_row(params![amended], |row| row.get(0))?;
            if keeps_its_time {
                first = amended;
            }
            next = was.amends;
        }
        self.written_at(first)
    }

    /// When the latest of the newest entries that count was written, where that is after now: a clock that stands before it is
    /// wrong, whatever was written by that clock since.
    pub fn written_after(&self, now: Instant) -> anyhow::Result<Option<Instant>> {
        let later = later_among("(SELECT max(id) FROM entry)", "?1");
        let in_force = in_force("earlier.id");
        let last: Option<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT max(earlier.recorded_at) FROM entry AS earlier WHERE {later} AND {in_force}"
            ))?
            .query_row(params![columns::seconds(now)], |row| row.get(0))?;
        Ok(last.map(columns::instant))
    }

    /// The number of the last entry that was written by a moment; 0 where there is none.
    pub fn last_entry_by(&self, at: Instant) -> anyhow::Result<i64> {
        let later = later_among("last.id", "?1");
        Ok(self
            .connection
            .prepare_cached(&format!(
                "WITH last(id) AS (
                     SELECT coalesce((SELECT id FROM entry WHERE recorded_at <= ?1 ORDER BY id DESC LIMIT 1), 0))
                 SELECT coalesce((SELECT min(earlier.id) - 1 FROM entry AS earlier
                     WHERE {later} AND {KEEPS_ITS_TIME}), last.id)
                 FROM last"
            ))?
            .query_row(params![columns::seconds(at)], |row| row.get(0))?)
    }
}
