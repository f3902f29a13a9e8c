//! What the entries of a period come to: sums, and the numbers of what is looked at one by one.

use super::in_force::{IN_FORCE, in_force};
use super::lots::{COLUMNS, FACTS, read_lot};
use super::makings::{TREATED, read_treatment};
use super::{AcceptedPlan, BakeRecord, EntryKind, EntryRecord, LotRecord, View, columns};
use crate::dough::bake_code::BakeCode;
use crate::grain::{Ending, Treatment};
use crate::keeping::PlaceKind;
use crate::quantity::{Instant, Milligrams, Period};
use rusqlite::{OptionalExtension, params};
use std::collections::BTreeMap;

/// How wet grain came to a lot or left the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MovementKind {
    /// It came in.
    CameIn,
    /// Into a bake.
    Baked,
    /// To people as food.
    Given,
    /// To animals.
    Feed,
    /// To compost.
    Compost,
    /// Into the bin.
    Waste,
    /// Thrown away, nobody said how.
    Discarded,
    /// Lost in a treatment.
    Treatment,
    /// Water that a treatment added.
    WaterAdded,
    /// Found missing; negative where more was found.
    Missing,
}

impl MovementKind {
    /// Whether it adds to what is there.
    pub const fn comes_in(self) -> bool {
        matches!(self, Self::CameIn | Self::WaterAdded)
    }
}

/// Wet grain that went one way, of one lot.
#[derive(Debug, Clone, Copy)]
pub struct LotMovement {
    /// The lot's number.
    pub lot: i64,
    /// What kind.
    pub kind: MovementKind,
    /// How much.
    pub wet: i64,
    /// Whether that was after the period.
    pub is_later: bool,
}

/// What was made of a lot, as it came out.
#[derive(Debug, Clone, Copy)]
pub struct MadeOfLot {
    /// The number of the lot that it was made of.
    pub of: i64,
    /// The number of the lot that was made.
    pub made: i64,
    /// How much came out.
    pub wet: i64,
    /// Whether that was after the period.
    pub is_later: bool,
}

/// Grain that was treated.
#[derive(Debug, Clone, Copy)]
pub struct TreatedLot {
    /// The number of the lot that it was of.
    pub lot: i64,
    /// What was done.
    pub treatment: Treatment,
}

/// The index over what a report looks for.
const REPORTED: &str = "kind IN ('pickup', 'move', 'moisture', 'baked', 'drop')";

/// The ends of a period as the columns hold them.
fn ends(period: Period) -> (i64, i64) {
    (
        period.from.map_or(i64::MIN, columns::seconds),
        period.before.map_or(i64::MAX, columns::seconds),
    )
}

impl View<'_> {
    /// What came in and what left for good from a period on, by lot and way.
    pub fn lot_movements(&self, period: Period) -> anyhow::Result<Vec<LotMovement>> {
        let (from, before) = ends(period);
        let leaves = EntryKind::list(EntryKind::may_leave_book);
        // Added up here: SQLite would sort every entry of the period to group them.
        let mut sums: BTreeMap<(i64, MovementKind, bool), (i64, i64)> = BTreeMap::new();
        for sql in [
            format!(
                "SELECT lot_id, kind, NULL, at >= ?2, wet_mg, 0 FROM entry
                 WHERE {REPORTED} AND kind = 'pickup' AND at >= ?1 AND {IN_FORCE}"
            ),
            format!(
                "SELECT entry.lot_id, entry.kind, entry.ending, entry.at >= ?2,
                     CASE entry.kind WHEN 'treat' THEN wet_mg - out_mg WHEN 'count' THEN less_mg ELSE wet_mg END,
                     CASE entry.kind WHEN 'treat' THEN max(water_mg, out_mg - wet_mg) ELSE 0 END
                 FROM entry LEFT JOIN treatment ON treatment.entry_id = entry.id AND entry.kind = 'treat'
                 LEFT JOIN stock_count ON stock_count.entry_id = entry.id AND entry.kind = 'count'
                 WHERE kind IN {leaves} AND at >= ?1 AND {IN_FORCE}"
            ),
        ] {
            let mut statement = self.connection.prepare_cached(&sql)?;
            let mut rows = statement.query(params![from, before])?;
            while let Some(row) = rows.next()? {
                let kind = match (row.get(1)?, columns::ending(row.get(2)?)?) {
                    (EntryKind::Pickup, _) => MovementKind::CameIn,
                    (EntryKind::Use, _) => MovementKind::Baked,
                    (EntryKind::Give, _) => MovementKind::Given,
                    (EntryKind::Treat, _) => MovementKind::Treatment,
                    (EntryKind::Count, _) => MovementKind::Missing,
                    (_, Some(Ending::Feed)) => MovementKind::Feed,
                    (_, Some(Ending::Compost)) => MovementKind::Compost,
                    (_, Some(Ending::Waste)) => MovementKind::Waste,
                    (_, None) => MovementKind::Discarded,
                };
                let (lot, is_later): (i64, bool) = (row.get(0)?, row.get(3)?);
                let (wet, added): (i64, i64) = (row.get(4)?, row.get(5)?);
                let sum = sums.entry((lot, kind, is_later)).or_default();
                *sum = (sum.0.saturating_add(wet), sum.1.saturating_add(added));
            }
        }
        let mut found = Vec::with_capacity(sums.len());
        for ((lot, kind, is_later), (wet, added)) in sums {
            let mut flow = |kind, wet| {
                found.push(LotMovement {
                    lot,
                    kind,
                    wet,
                    is_later,
                });
            };
            // What came out is less than grain and added water together: both are told.
            flow(kind, wet.saturating_add(added));
            if added > 0 {
                flow(MovementKind::WaterAdded, added);
            }
        }
        Ok(found)
    }

    /// What was made of lots from a period on.
    pub fn made_of_lots(&self, period: Period) -> anyhow::Result<Vec<MadeOfLot>> {
        let (from, before) = ends(period);
        let made = self
            .connection
            .prepare_cached(&format!(
                "SELECT lot_id, new_lot_id, sum(coalesce(out_mg, wet_mg)), at >= ?2
                 FROM entry LEFT JOIN treatment ON treatment.entry_id = entry.id AND entry.kind = 'treat'
                 WHERE new_lot_id IS NOT NULL AND at >= ?1 AND {IN_FORCE} GROUP BY 1, 2, 4 ORDER BY 1, 2, 4"
            ))?
            .query_map(params![from, before], |row| {
                Ok(MadeOfLot {
                    of: row.get(0)?,
                    made: row.get(1)?,
                    wet: row.get(2)?,
                    is_later: row.get(3)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(made)
    }

    /// Grain that was treated within a period.
    pub fn treated_lots(&self, period: Period) -> anyhow::Result<Vec<TreatedLot>> {
        let treated = self
            .connection
            .prepare_cached(&format!(
                "SELECT {TREATED}, lot_id FROM entry JOIN treatment ON treatment.entry_id = entry.id
                 WHERE new_lot_id IS NOT NULL AND kind = 'treat' AND at >= ?1 AND at < ?2 AND {IN_FORCE}
                 ORDER BY entry.id"
            ))?
            .query_map(ends(period), |row| {
                Ok(TreatedLot {
                    lot: row.get(6)?,
                    treatment: read_treatment(row)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(treated)
    }

    /// Wet grain that went into a freezer within a period from elsewhere, by the number of the lot it was of.
    pub fn frozen_lots(&self, period: Period) -> anyhow::Result<Vec<(i64, Milligrams)>> {
        let places = self.places()?;
        let is_freezer = |place: i64, at: Instant| {
            let place = places.iter().find(|one| one.id == place);
            place.is_some_and(|place| place.setting_at(at).kind == PlaceKind::Freezer)
        };
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT id, lot_id, at, wet_mg, place_id, kind FROM entry
             WHERE {REPORTED} AND kind IN ('pickup', 'move') AND at >= ?1 AND at < ?2 AND {IN_FORCE}
             UNION ALL
             SELECT entry.id, lot_id, at, coalesce(out_mg, wet_mg), place_id, kind
             FROM entry LEFT JOIN treatment ON treatment.entry_id = entry.id AND entry.kind = 'treat'
             WHERE new_lot_id IS NOT NULL AND at >= ?1 AND at < ?2 AND {IN_FORCE}"
        ))?;
        let mut rows = statement.query(ends(period))?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let (entry, lot, at): (i64, i64, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
            let (place, moment) = (row.get(4)?, columns::instant(at));
            if !is_freezer(place, moment) {
                continue;
            }
            let kind: EntryKind = row.get(5)?;
            let before = self.place_before(lot, at, entry)?;
            if kind != EntryKind::Pickup && before.is_some_and(|place| is_freezer(place, moment)) {
                continue;
            }
            let wet = match row.get::<_, Option<i64>>(3)? {
                Some(wet) => wet,
                None => self.left_before(lot, at, entry)?,
            };
            found.push((lot, Milligrams::new(wet)));
        }
        Ok(found)
    }

    /// Where a lot lay before an entry.
    fn place_before(&self, lot: i64, at: i64, entry: i64) -> rusqlite::Result<Option<i64>> {
        self.connection
            .prepare_cached(&format!(
                "SELECT place_id FROM entry
                 WHERE ((lot_id = ?1 AND kind IN ('pickup', 'move')) OR new_lot_id = ?1) AND (at, id) < (?2, ?3)
                   AND {IN_FORCE} ORDER BY at DESC, id DESC LIMIT 1"
            ))?
            .query_row(params![lot, at, entry], |row| row.get(0))
            .optional()
    }

    /// What was left of a lot before an entry.
    fn left_before(&self, lot: i64, at: i64, entry: i64) -> rusqlite::Result<i64> {
        self.connection
            .prepare_cached(&format!(
                "SELECT coalesce(sum(CASE
                     WHEN new_lot_id = ?1 THEN coalesce(out_mg, wet_mg)
                     WHEN kind = 'pickup' THEN wet_mg
                     WHEN kind = 'count' THEN -less_mg
                     ELSE -coalesce(wet_mg, 0) END), 0)
                 FROM entry LEFT JOIN treatment ON treatment.entry_id = entry.id
                 LEFT JOIN stock_count ON stock_count.entry_id = entry.id
                 WHERE (lot_id = ?1 OR new_lot_id = ?1) AND (at, id) < (?2, ?3) AND {IN_FORCE}"
            ))?
            .query_row(params![lot, at, entry], |row| row.get(0))
    }

    /// The entries by which grain was used or given away within a period, in the order in which it happened.
    pub fn eaten_numbers(&self, period: Period) -> anyhow::Result<Vec<i64>> {
        let eaten = EntryKind::list(EntryKind::is_eaten);
        // What is eaten leaves for good anyway. The list says so because SQLite takes the partial index `entry_taken` only
        // where the index's own condition stands in the question.
        let leaves = EntryKind::list(EntryKind::may_leave_book);
        self.numbers(
            &format!(
                "SELECT id FROM entry WHERE kind IN {leaves} AND kind IN {eaten} AND at >= ?1 AND at < ?2
                   AND {IN_FORCE} ORDER BY at, id"
            ),
            period,
        )
    }

    /// Bakes that were baked or dropped within a period, in the order of their codes.
    pub fn bakes_ended(&self, period: Period) -> anyhow::Result<Vec<BakeRecord>> {
        let numbers = self.numbers(
            &format!(
                "SELECT DISTINCT bake_id FROM entry
                 WHERE {REPORTED} AND kind IN ('baked', 'drop') AND at >= ?1 AND at < ?2 AND {IN_FORCE} ORDER BY 1"
            ),
            period,
        )?;
        let code =
            |number: i64| -> anyhow::Result<BakeCode> { Ok(BakeCode::new(u32::try_from(number)?)) };
        numbers
            .into_iter()
            .map(|number| self.bake(&code(number)?.to_string()))
            .collect()
    }

    /// Lots that came in within a period with when and how much, in that order.
    pub fn came_in(&self, period: Period) -> anyhow::Result<Vec<(LotRecord, Instant, Milligrams)>> {
        let came = self
            .connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS}, entry.at, entry.wet_mg FROM entry CROSS JOIN lot ON lot.id = entry.lot_id {FACTS}
                 WHERE entry.{REPORTED} AND entry.kind = 'pickup' AND entry.at >= ?1 AND entry.at < ?2 AND {IN_FORCE}
                 ORDER BY entry.at, entry.id"
            ))?
            .query_map(ends(period), |row| {
                let (at, wet) = (columns::instant(row.get(10)?), row.get(11)?);
                Ok((read_lot(row)?, at, Milligrams::new(wet)))
            })?
            .collect::<Result<_, _>>()?;
        Ok(came)
    }

    /// How many moisture tests were made within a period, and of how many lots.
    pub fn tests_made(&self, period: Period) -> anyhow::Result<(usize, usize)> {
        let (tests, lots): (i64, i64) = self
            .connection
            .prepare_cached(&format!(
                "SELECT count(*), count(DISTINCT lot_id) FROM entry
                 WHERE {REPORTED} AND kind = 'moisture' AND at >= ?1 AND at < ?2 AND {IN_FORCE}
                   AND NOT EXISTS (SELECT 1 FROM sample_continued AS on_it WHERE on_it.opened = entry.id
                       AND {continued})",
                continued = in_force("on_it.entry_id")
            ))?
            .query_row(ends(period), |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok((usize::try_from(tests)?, usize::try_from(lots)?))
    }

    /// Entries that struck or amended others, written within a period, each with the one it is about.
    pub fn put_right(&self, period: Period) -> anyhow::Result<Vec<(EntryRecord, EntryRecord)>> {
        // Asked for their order, SQLite would go through every entry instead of the few in these indexes.
        let numbers = self.numbers(
            "SELECT +id FROM entry WHERE struck_entry_id IS NOT NULL AND recorded_at >= ?1 AND recorded_at < ?2
             UNION ALL
             SELECT +id FROM entry WHERE amends_entry_id IS NOT NULL AND recorded_at >= ?1 AND recorded_at < ?2
             ORDER BY 1",
            period,
        )?;
        let mut found = Vec::with_capacity(numbers.len());
        for number in numbers {
            let by = self.entry(number)?;
            if let Some(of) = by.strikes.or(by.amends) {
                found.push((by, self.entry(of)?));
            }
        }
        Ok(found)
    }

    /// Plans in force that planned for some of a period, in the order in which they were accepted. Plans first, of which there
    /// are few, and not every entry.
    pub fn plans_for(&self, period: Period) -> anyhow::Result<Vec<AcceptedPlan>> {
        let numbers = self.numbers(
            &format!(
                "SELECT id FROM plan CROSS JOIN entry ON entry.id = entry_id
                 WHERE until_at >= ?1 AND at < ?2 AND {IN_FORCE} ORDER BY id"
            ),
            period,
        )?;
        numbers
            .into_iter()
            .map(|number| Ok(self.plan_of_entry(number)?))
            .collect()
    }

    fn numbers(&self, sql: &str, period: Period) -> anyhow::Result<Vec<i64>> {
        Ok(self
            .connection
            .prepare_cached(sql)?
            .query_map(ends(period), |row| row.get(0))?
            .collect::<Result<_, _>>()?)
    }

    /// A lot by its number.
    pub fn lot_of_number(&self, number: i64) -> anyhow::Result<LotRecord> {
        Ok(self.lot_by_id(number)?)
    }

    /// What is on hand of each lot, by the lot's number.
    pub fn stock_by_number(&self) -> anyhow::Result<Vec<(i64, i64)>> {
        Ok(self
            .connection
            .prepare_cached("SELECT lot_id, wet_mg FROM stock ORDER BY lot_id")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?)
    }
}
