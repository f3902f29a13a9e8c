//! What seems to have been written twice.

use super::in_force::IN_FORCE;
use super::{LotRecord, View, columns};
use crate::quantity::{Instant, Temperature};
use chrono::Duration;
use rusqlite::{OptionalExtension, params};

/// Within so many minutes the same words are more likely typed twice than meant twice. Judgement.
const MINUTES: i64 = 10;

/// Pickups of a file that are in the book already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KnownRows {
    /// How many.
    pub number: u32,
    /// The first and the last entry that was written for one of them now.
    pub entries: (i64, i64),
}

impl View<'_> {
    /// An entry in force, written minutes before this one, that says the same of the same time but for minutes.
    pub fn written_twice(&self, entry: i64) -> anyhow::Result<Option<i64>> {
        let within = Duration::minutes(MINUTES).num_seconds();
        Ok(self
            .connection
            .prepare_cached(&format!(
                "SELECT max(entry.id) FROM entry AS own JOIN lot AS own_lot ON own_lot.id = own.lot_id
                 JOIN lot ON lot.source_id = own_lot.source_id AND lot.brewed_on = own_lot.brewed_on
                 JOIN entry ON entry.lot_id = lot.id AND entry.kind = own.kind
                 WHERE own.id = ?1 AND entry.id < own.id AND (own.kind = 'pickup' OR lot.id = own_lot.id)
                   AND lot.mash_out_at IS own_lot.mash_out_at AND lot.form = own_lot.form AND lot.grist IS own_lot.grist
                   AND entry.place_id IS own.place_id
                   AND entry.wet_mg IS own.wet_mg AND entry.words IS own.words AND entry.bake_id IS own.bake_id
                   AND abs(entry.at - own.at) <= ?2 AND own.recorded_at - entry.recorded_at <= ?2 AND {IN_FORCE}"
            ))?
            .query_row(params![entry, within], |row| row.get(0))
            .optional()?
            .flatten())
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

    /// Pickups among the entries after `since` that were in the book before: source, brew day, mash-out, time and
    /// weight are the same.
    pub fn known_pickups(&self, since: i64) -> anyhow::Result<Option<KnownRows>> {
        let (number, first, last): (u32, Option<i64>, Option<i64>) = self
            .connection
            .prepare_cached(&format!(
                "WITH new AS (SELECT entry.id, entry.at, entry.wet_mg, lot.source_id, lot.brewed_on, lot.mash_out_at
                     FROM entry JOIN lot ON lot.id = entry.lot_id WHERE entry.id > ?1 AND entry.kind = 'pickup')
                 SELECT count(*), min(id), max(id) FROM new
                 WHERE (source_id, brewed_on, coalesce(mash_out_at, 0), wet_mg, at) IN (
                     SELECT lot.source_id, lot.brewed_on, coalesce(lot.mash_out_at, 0), entry.wet_mg, entry.at
                     FROM lot JOIN entry ON entry.lot_id = lot.id AND entry.kind = 'pickup'
                     WHERE entry.id <= ?1 AND {IN_FORCE}
                       AND lot.brewed_on BETWEEN (SELECT min(brewed_on) FROM new) AND (SELECT max(brewed_on) FROM new))"
            ))?
            .query_row(params![since], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
        Ok(first.zip(last).map(|entries| KnownRows { number, entries }))
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
