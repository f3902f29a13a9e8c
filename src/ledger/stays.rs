//! Lots that were in a place during a time, those that are gone by now included.

use super::histories::{self, Step};
use super::in_force::IN_FORCE;
use super::lots::{COLUMNS, FACTS, read_lot};
use super::{Air, EntryKind, LotRecord, PlaceRecord, View, columns};
use crate::keeping::History;
use crate::quantity::Instant;
use chrono::Duration;
use rusqlite::params;
use std::collections::BTreeSet;

/// From when to when grain was in a place; without an end it is there still.
pub type Stay = (Instant, Option<Instant>);

/// A lot whose grain was in the place.
#[derive(Debug, Clone)]
pub struct StayedLot {
    /// The lot.
    pub lot: LotRecord,
    /// When it came in or was made: before that its grain was another lot.
    pub came: Instant,
    /// When nothing was left of it; nothing while some is.
    pub gone: Option<Instant>,
    /// One way, or of joined grain one for each lot that went in.
    pub ways: Vec<Way>,
}

/// One way on which the grain of a lot came to where it is.
#[derive(Debug, Clone)]
pub struct Way {
    /// What the clock asks for.
    pub history: History,
    /// When the grain was in the place.
    pub stays: Vec<Stay>,
}

impl StayedLot {
    /// When the lot itself was in the place, under this code.
    pub fn own_stays(&self) -> Vec<Stay> {
        // However the grain got there, from its making on all of it is in one place.
        let stays = self.ways.first().map_or(&[][..], |way| &way.stays);
        stays
            .iter()
            .filter(|(_, to)| to.is_none_or(|to| to > self.came))
            .map(|(from, to)| ((*from).max(self.came), *to))
            .collect()
    }
}

/// How long grain is kept in one place as a rule; what lay there longer costs a question more.
const USUAL_STAY: Duration = Duration::days(7);

/// Lots that were not gone by a moment, found by what was taken or made after it.
const BY_WHAT_CAME_AFTER: &str = "lot.id IN (
     SELECT lot_id FROM stock
     UNION SELECT lot_id FROM entry WHERE kind IN {taken} AND at > ?1
     UNION SELECT lot_id FROM entry WHERE new_lot_id IS NOT NULL AND at > ?1)";

/// The same lots, looked at one by one: quicker where most of the book was written after the moment.
const BY_BREW_DAY: &str = "(EXISTS (SELECT 1 FROM stock WHERE stock.lot_id = lot.id)
     OR EXISTS (SELECT 1 FROM entry WHERE lot_id = lot.id AND at > ?1 AND (kind IN {taken} OR new_lot_id IS NOT NULL)))";

impl View<'_> {
    /// Whether a moment lies in the first half of the time in which grain was taken.
    fn is_in_older_half(&self, at: Instant) -> rusqlite::Result<bool> {
        let taken = EntryKind::list(EntryKind::may_leave_book);
        self.connection
            .prepare_cached(&format!(
                "SELECT ?1 - (SELECT at FROM entry WHERE kind IN {taken} ORDER BY at LIMIT 1)
                     < (SELECT at FROM entry WHERE kind IN {taken} ORDER BY at DESC LIMIT 1) - ?1"
            ))?
            .query_row(params![columns::seconds(at)], |row| {
                Ok(row.get::<_, Option<bool>>(0)?.unwrap_or(false))
            })
    }

    /// Entries of logger files with readings of places where the grain of a lot lay, while it lay there.
    pub fn logger_files_of(&self, lot: &LotRecord) -> anyhow::Result<BTreeSet<i64>> {
        let gone: Option<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT max(at) FROM entry WHERE lot_id = ?1 AND kind IN {kinds} AND {IN_FORCE}
                   AND NOT EXISTS (SELECT 1 FROM stock WHERE stock.lot_id = ?1)",
                kinds = EntryKind::list(EntryKind::weighs_out)
            ))?
            .query_row(params![lot.id], |row| row.get(0))?;
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT entry.id FROM entry JOIN reading_file AS file ON file.entry_id = entry.id
             WHERE entry.place_id = ?1 AND entry.kind = 'readings' AND {IN_FORCE} AND EXISTS (
                 SELECT 1 FROM air_reading WHERE air_reading.place_id = ?1 AND air_reading.entry_id = entry.id
                   AND air_reading.at BETWEEN max(?2, file.first_at) AND min(?3, file.last_at))"
        ))?;
        let places = self.places()?;
        let mut found = BTreeSet::new();
        for (place, from, leaves) in self.lay_in(lot, gone.map(columns::instant), &places)? {
            let to = leaves.map_or(i64::MAX, columns::seconds);
            let mut rows = statement.query(params![place.id, columns::seconds(from), to])?;
            while let Some(row) = rows.next()? {
                found.insert(row.get(0)?);
            }
        }
        Ok(found)
    }

    /// Lots whose grain was in a place between two moments, in the order in which they were brewed.
    pub fn stayed_in(
        &self,
        place: &PlaceRecord,
        (from, to): (Instant, Instant),
    ) -> anyhow::Result<Vec<StayedLot>> {
        let places = self.places()?;
        let mut air = Air::default();
        // Most of what is asked for below lies in this, so those readings are read once.
        air.of(*self, place, from - USUAL_STAY, Some(to + USUAL_STAY))?;
        let candidates = if self.is_in_older_half(from)? {
            BY_BREW_DAY.replace("{taken}", &EntryKind::list(EntryKind::may_leave_book))
        } else {
            BY_WHAT_CAME_AFTER.replace("{taken}", &EntryKind::list(EntryKind::may_leave_book))
        };
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS}, came, CASE WHEN stock.lot_id IS NULL THEN gone END FROM (
                 SELECT lot.id AS lot_id,
                     (SELECT min(at) FROM entry WHERE ((lot_id = lot.id AND kind = 'pickup') OR new_lot_id = lot.id) AND {IN_FORCE}) AS came,
                     (SELECT max(at) FROM entry WHERE lot_id = lot.id AND kind IN {kinds}
                          AND {IN_FORCE}) AS gone
                 FROM lot WHERE lot.brewed_on <= ?3 AND {candidates}) AS life
             JOIN lot ON lot.id = life.lot_id {FACTS}
             LEFT JOIN stock ON stock.lot_id = lot.id
             WHERE came IS NOT NULL AND came < ?2 AND (stock.lot_id IS NOT NULL OR gone > ?1)
             ORDER BY lot.brewed_on, lot.id",
            kinds = EntryKind::list(EntryKind::weighs_out)
        ))?;
        // No grain comes in before its brew day, wherever that day begins.
        let brewed_by = (to + Duration::days(1)).date_naive().to_string();
        let mut rows = statement.query(params![
            columns::seconds(from),
            columns::seconds(to),
            brewed_by
        ])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let lot = read_lot(row)?;
            let gone = row.get::<_, Option<i64>>(11)?.map(columns::instant);
            let ways: Vec<Way> = self
                .ways(&lot, gone, &places, &mut air)?
                .into_iter()
                .map(|way| Way {
                    stays: stays(&way.steps, place, gone),
                    history: way.history,
                })
                .collect();
            let was_there =
                |(began, left): &Stay| *began < to && left.is_none_or(|left| left > from);
            if ways.iter().any(|way| way.stays.iter().any(was_there)) {
                found.push(StayedLot {
                    lot,
                    came: columns::instant(row.get(10)?),
                    gone,
                    ways,
                });
            }
        }
        Ok(found)
    }
}

/// The stays in one place, those that go on from each other as one.
fn stays(steps: &[Step], place: &PlaceRecord, gone: Option<Instant>) -> Vec<Stay> {
    let mut found: Vec<Stay> = Vec::new();
    for (step, leaves) in histories::taken(steps, gone) {
        if step.place_id != place.id || leaves == Some(step.at) {
            continue;
        }
        match found.last_mut() {
            Some(last) if last.1 == Some(step.at) => last.1 = leaves,
            _ => found.push((step.at, leaves)),
        }
    }
    found
}
