//! What seems to have been written twice.

use super::in_force::{FIRST, IN_FORCE, in_force};
use super::{EntryKind, EntryRecord, LotRecord, View, columns};
use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::quantity::{Instant, Milligrams, Temperature};
use chrono::Duration;
use rusqlite::{OptionalExtension, params};

/// Within so many minutes the same words are more likely typed twice than meant twice. Judgement.
const MINUTES: i64 = 10;

/// Grain that was used.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// The entry.
    pub entry: i64,
    /// The lot.
    pub lot: LotCode,
    /// How much.
    pub wet: Milligrams,
    /// When.
    pub at: Instant,
    /// The bake of the book that took it.
    pub bake: Option<BakeCode>,
}

fn is_same(name: &str, words: &str) -> bool {
    name.to_lowercase() == words.to_lowercase()
}

impl View<'_> {
    /// The newest entry in force that says the same as this one and was written at most `MINUTES` before it, about a
    /// time that differs by no more. What a pickup says beside its own entry stands in those right behind it: when its grain was
    /// cold, and how warm it came. Of a pickup also one that was written at any time before, of the same source, brew day,
    /// mash-out, weight and words, as rows of a file are known. `first` is the first entry of this act: what the act itself wrote
    /// is left out.
    pub fn written_twice(&self, entry: i64, first: i64) -> anyhow::Result<Option<i64>> {
        let within = Duration::minutes(MINUTES).num_seconds();
        Ok(self
            .connection
            .prepare_cached(&format!(
                "SELECT max(entry.id) FROM entry AS own JOIN lot AS own_lot ON own_lot.id = own.lot_id
                 JOIN lot ON lot.source_id = own_lot.source_id AND lot.brewed_on = own_lot.brewed_on
                     AND (own.kind = 'pickup' OR lot.id = own_lot.id) AND lot.mash_out_at IS own_lot.mash_out_at
                     AND lot.kind = own_lot.kind AND lot.form = own_lot.form AND lot.grist IS own_lot.grist
                 JOIN entry ON entry.lot_id = lot.id AND entry.kind = own.kind AND entry.id < own.id
                     AND entry.wet_mg IS own.wet_mg AND entry.words IS own.words AND entry.bake_id IS own.bake_id
                 LEFT JOIN treatment AS own_done ON own_done.entry_id = own.id
                 LEFT JOIN treatment AS done ON done.entry_id = entry.id
                 LEFT JOIN entry AS own_cold ON own.kind = 'pickup' AND own_cold.id = own.id + 1
                     AND own_cold.lot_id = own.lot_id AND own_cold.kind = 'cooled'
                 LEFT JOIN entry AS cold ON own.kind = 'pickup' AND cold.id = entry.id + 1
                     AND cold.lot_id = entry.lot_id AND cold.kind = 'cooled'
                 LEFT JOIN entry AS own_warm ON own.kind = 'pickup' AND own_warm.id IN (own.id + 1, own.id + 2)
                     AND own_warm.lot_id = own.lot_id AND own_warm.kind = 'reading' AND own_warm.at = own.at
                 LEFT JOIN entry AS warm ON own.kind = 'pickup' AND warm.id IN (entry.id + 1, entry.id + 2)
                     AND warm.lot_id = entry.lot_id AND warm.kind = 'reading' AND warm.at = entry.at
                 WHERE own.id = ?1 AND entry.id < ?3 AND {IN_FORCE} AND (
                     (own.kind = 'pickup' AND own.recorded_at - entry.recorded_at > ?2)
                     OR (own.recorded_at - entry.recorded_at <= ?2 AND abs(entry.at - own.at) <= ?2
                         AND entry.place_id IS own.place_id
                         AND own_done.step IS done.step AND own_done.out_mg IS done.out_mg AND own_done.water_mg IS done.water_mg
                         AND (own_cold.at IS cold.at OR abs(own_cold.at - cold.at) <= ?2)
                         AND own_warm.temperature_mc IS warm.temperature_mc))"
            ))?
            .query_row(params![entry, within, first], |row| row.get(0))
            .optional()?
            .flatten())
    }

    /// The pickups among the entries after `since` that say the same as one before them, at the same times.
    pub fn rows_alike(&self, since: i64) -> anyhow::Result<Vec<i64>> {
        // Sorted once: each row beside each other one would take hours for a long file.
        let mut query = self.connection.prepare_cached(
            "SELECT id FROM (
                 SELECT own.id, row_number() OVER (
                     PARTITION BY lot.source_id, lot.brewed_on, lot.mash_out_at, lot.kind, lot.form, lot.grist, own.at,
                         own.place_id, own.wet_mg, own.words, cold.at, warm.temperature_mc ORDER BY own.id) AS nth
                 FROM entry AS own JOIN lot ON lot.id = own.lot_id
                 LEFT JOIN entry AS cold ON cold.id = own.id + 1 AND cold.lot_id = own.lot_id AND cold.kind = 'cooled'
                 LEFT JOIN entry AS warm ON warm.id IN (own.id + 1, own.id + 2) AND warm.lot_id = own.lot_id
                     AND warm.kind = 'reading' AND warm.at = own.at
                 WHERE own.kind = 'pickup' AND own.id > ?1)
             WHERE nth > 1 ORDER BY id",
        )?;
        let rows = query.query_map(params![since], |row| row.get(0))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// Grain that was used for something of one of these names, but for no bake of the book, between two moments.
    pub fn used_for(
        &self,
        names: [&str; 2],
        between: (Instant, Instant),
    ) -> anyhow::Result<Vec<Drawn>> {
        self.drawn(between, |words, bake| {
            bake.is_none() && names.iter().any(|name| is_same(name, words))
        })
    }

    /// Grain that a bake of the book took between two moments, which has this code or is of the formula of this name.
    pub fn baked_for(&self, name: &str, between: (Instant, Instant)) -> anyhow::Result<Vec<Drawn>> {
        self.drawn(between, |words, bake| {
            bake.is_some_and(|bake| is_same(name, words) || is_same(name, &bake.to_string()))
        })
    }

    /// Grain that was used between two moments, of which this holds, asked of the words and of the bake of the book.
    fn drawn(
        &self,
        (from, to): (Instant, Instant),
        is_meant: impl Fn(&str, Option<BakeCode>) -> bool,
    ) -> anyhow::Result<Vec<Drawn>> {
        // The kinds of the index on times, so that it is used.
        let leaves = EntryKind::list(EntryKind::may_leave_book);
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT entry.id, lot_id, wet_mg, at, words, bake_id FROM entry
             WHERE kind IN {leaves} AND kind = 'use' AND at BETWEEN ?1 AND ?2 AND {IN_FORCE} ORDER BY id"
        ))?;
        let mut rows = statement.query(params![columns::seconds(from), columns::seconds(to)])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let words: String = row.get(4)?;
            let bake = row.get::<_, Option<u32>>(5)?.map(BakeCode::new);
            if is_meant(&words, bake) {
                found.push(Drawn {
                    entry: row.get(0)?,
                    lot: self.lot_by_id(row.get(1)?)?.code,
                    wet: Milligrams::new(row.get(2)?),
                    at: columns::instant(row.get(3)?),
                    bake,
                });
            }
        }
        Ok(found)
    }

    /// The warmest temperature that was measured in a lot at a moment, with its entry.
    pub fn warmest_at(
        &self,
        lot: &LotRecord,
        at: Instant,
    ) -> anyhow::Result<Option<(i64, Temperature)>> {
        Ok(self
            .connection
            .prepare_cached(&format!(
                "SELECT id, temperature_mc, temperature_scale FROM entry
                 WHERE lot_id = ?1 AND kind = 'reading' AND at = ?2 AND {IN_FORCE}
                 ORDER BY temperature_mc DESC LIMIT 1"
            ))?
            .query_row(params![lot.id, columns::seconds(at)], |row| {
                let scale: Option<String> = row.get(2)?;
                Ok((
                    row.get(0)?,
                    columns::temperature(row.get(1)?, scale.as_deref()),
                ))
            })
            .optional()?)
    }

    /// Another place for which the readings of the newest entry are in the book too, all at the same moments.
    pub fn same_readings_elsewhere(&self) -> anyhow::Result<Option<String>> {
        Ok(self
            .connection
            .prepare_cached(&format!(
                "SELECT place.name FROM reading_file AS own JOIN entry AS written ON written.id = own.entry_id
                 JOIN reading_file AS other ON other.first_at = own.first_at AND other.last_at = own.last_at
                   AND other.readings = own.readings AND other.entry_id <> own.entry_id
                 JOIN entry ON entry.id = other.entry_id AND entry.place_id <> written.place_id AND {IN_FORCE}
                 JOIN place ON place.id = entry.place_id
                 WHERE own.entry_id = (SELECT max(id) FROM entry)
                   AND NOT EXISTS (SELECT 1 FROM air_reading AS one
                     WHERE one.place_id = written.place_id AND one.at BETWEEN own.first_at AND own.last_at AND one.entry_id = own.entry_id
                       AND NOT EXISTS (SELECT 1 FROM air_reading AS two
                         WHERE two.place_id = entry.place_id AND two.at = one.at AND two.temperature_mc = one.temperature_mc))
                 LIMIT 1"
            ))?
            .query_row([], |row| row.get(0))
            .optional()?)
    }

    /// The pickups among the entries after `since`, `number` in all, that were in the book before: source, brew day,
    /// mash-out, weight and time are the same. Where none is of the same time, which is that of the reading where a
    /// file does not say it, all of them have to be known but for their time.
    pub fn known_pickups(&self, since: i64, number: usize) -> anyhow::Result<Vec<i64>> {
        // One that was corrected since counts too, as it was read first.
        let came = in_force("now.id");
        let mut query = self.connection.prepare_cached(&format!(
            "WITH new AS (SELECT entry.id, entry.at, entry.wet_mg, lot.source_id, lot.brewed_on,
                     coalesce(lot.mash_out_at, 0) AS mash_out_at
                 FROM entry JOIN lot ON lot.id = entry.lot_id WHERE entry.id > ?1 AND entry.kind = 'pickup'),
             old AS (SELECT lot.source_id, lot.brewed_on, coalesce(lot.mash_out_at, 0) AS mash_out_at, entry.wet_mg, entry.at
                 FROM lot JOIN entry ON entry.lot_id = lot.id AND entry.kind = 'pickup'
                 WHERE entry.id <= ?1 AND EXISTS (
                     SELECT 1 FROM entry AS now WHERE now.lot_id = lot.id AND now.kind = 'pickup' AND {came})
                   AND lot.brewed_on BETWEEN (SELECT min(brewed_on) FROM new) AND (SELECT max(brewed_on) FROM new))
             SELECT id, (source_id, brewed_on, mash_out_at, wet_mg, at) IN (
                 SELECT source_id, brewed_on, mash_out_at, wet_mg, at FROM old)
             FROM new WHERE (source_id, brewed_on, mash_out_at, wet_mg) IN (
                 SELECT source_id, brewed_on, mash_out_at, wet_mg FROM old)
             ORDER BY id"
        ))?;
        let rows = query.query_map(params![since], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let known: Vec<(i64, bool)> = rows.collect::<rusqlite::Result<_>>()?;
        let is_whole = known.len() == number && !known.iter().any(|(_, same_time)| *same_time);
        Ok(known
            .into_iter()
            .filter(|(_, same_time)| is_whole || *same_time)
            .map(|(entry, _)| entry)
            .collect())
    }

    /// The first count of a lot after a moment.
    pub fn counted_since(
        &self,
        lot: &LotRecord,
        at: Instant,
    ) -> anyhow::Result<Option<EntryRecord>> {
        self.first_count_after(lot, (at, i64::MAX))
    }

    /// The count of a lot that follows another one, by when each was and not by when it was written.
    pub fn next_count(&self, lot: &LotRecord, count: i64) -> anyhow::Result<Option<EntryRecord>> {
        self.first_count_after(lot, self.order_of(count)?)
    }

    fn first_count_after(
        &self,
        lot: &LotRecord,
        (at, first): (Instant, i64),
    ) -> anyhow::Result<Option<EntryRecord>> {
        let found: Option<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT id FROM entry WHERE lot_id = ?1 AND kind = 'count' AND (at, {FIRST}) > (?2, ?3) AND {IN_FORCE}
                 ORDER BY at, {FIRST} LIMIT 1"
            ))?
            .query_row(params![lot.id, columns::seconds(at), first], |row| {
                row.get(0)
            })
            .optional()?;
        found.map(|entry| self.entry(entry)).transpose()
    }

    /// Where an entry stands among all others: when it was, and the number of the entry that was written first.
    fn order_of(&self, entry: i64) -> rusqlite::Result<(Instant, i64)> {
        self.connection
            .prepare_cached(&format!("SELECT at, {FIRST} FROM entry WHERE id = ?1"))?
            .query_row(params![entry], |row| {
                Ok((columns::instant(row.get(0)?), row.get(1)?))
            })
    }

    /// What the book says by now that there was of a lot just before an entry, such as one that counted it.
    pub fn booked_before(&self, lot: &LotRecord, entry: i64) -> anyhow::Result<Milligrams> {
        let before = self.fold_before(Some(lot.id), self.order_of(entry)?)?;
        let held = before.held().get(&lot.id);
        Ok(held.map_or(Milligrams::ZERO, |held| Milligrams::new(held.wet)))
    }

    /// How much was left of a lot when an entry was written, as the book said it then.
    pub fn left_when_written(&self, lot: &LotRecord, entry: i64) -> anyhow::Result<Milligrams> {
        self.as_it_stood(entry, |then| {
            let fold = then.fold_entries(Some(lot.id))?;
            let held = fold.held().get(&lot.id);
            Ok(held.map_or(Milligrams::ZERO, |held| Milligrams::new(held.wet)))
        })
    }

    /// The entry by which a lot came in or was made, where it is in force.
    pub fn arrival_of(&self, lot: &LotRecord) -> anyhow::Result<Option<i64>> {
        Ok(self
            .connection
            .prepare_cached(&format!(
                "SELECT id FROM entry WHERE lot_id = ?1 AND kind = 'pickup' AND {IN_FORCE} LIMIT 1"
            ))?
            .query_row(params![lot.id], |row| row.get(0))
            .optional()?)
    }
}
