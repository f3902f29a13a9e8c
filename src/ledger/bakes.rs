//! Bakes: found, listed, stated anew as often as they change, and written down when they are done.

use super::bake_record::{BakeEnd, BakeRecord, BakeResult, BakeSetting, CameOut, Measured};
use super::failure::in_entry;
use super::in_force::{FIRST, IN_FORCE};
use super::new_entry::NewEntry;
use super::{Act, BookRefusal, EntryKind, LotRecord, View, columns};
use crate::dough::bake_code::BakeCode;
use crate::quantity::{Milligrams, Problem};
use rusqlite::types::FromSql;
use rusqlite::{OptionalExtension, Row, params};

/// Which bakes to list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// Neither done nor dropped.
    Open,
    /// Open or dropped.
    NotDone,
    /// Every one.
    All,
}

const SETTING: &str = "setting.entry_id, setting.version_id, setting.point, setting.point_at, setting.pieces,
    setting.piece_mg, setting.share_ppm, setting.firm, setting.most_lots, setting.free_of, entry.words";

/// What bakes of a formula came to, each with the version that it was made by.
const OF_FORMULA: &str = "FROM formula JOIN bake ON bake.formula_id = formula.id
    JOIN entry ON entry.bake_id = bake.id AND entry.kind = 'baked'
    JOIN bake_result AS result ON result.entry_id = entry.id
    JOIN bake_setting AS setting ON setting.entry_id = result.setting_id
    JOIN formula_version AS version ON version.id = setting.version_id
    WHERE formula.name = ?1";

impl View<'_> {
    /// Finds a bake by its code.
    pub fn bake(&self, typed: &str) -> anyhow::Result<BakeRecord> {
        let code: BakeCode = match typed.parse() {
            Ok(code) => code,
            Err(problem) => return Err(self.not_a_bake(problem, typed)?.into()),
        };
        let bake = self.bake_by_code(code)?;
        bake.ok_or_else(|| BookRefusal::NoBake(code).into())
    }

    /// The bake of a code; nothing where the book has none.
    pub(super) fn bake_by_code(&self, code: BakeCode) -> anyhow::Result<Option<BakeRecord>> {
        let setting: Option<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT id FROM entry WHERE bake_id = ?1 AND kind = 'bake' AND {IN_FORCE} ORDER BY id DESC LIMIT 1"
            ))?
            .query_row(params![code.number()], |row| row.get(0))
            .optional()?;
        setting
            .map(|setting| self.bake_of_setting(setting))
            .transpose()
    }

    /// Bakes; all or the open ones in the order in which they were added.
    pub fn bakes(&self, which: Which) -> anyhow::Result<Vec<BakeRecord>> {
        let _still = self.hold_still()?;
        let sql = match which {
            // What an open bake is to be, by the entries: a view of the book as it stood hides the newest.
            Which::Open => format!(
                "SELECT max(entry.id) FROM open_bake JOIN entry ON entry.bake_id = open_bake.bake_id
                 WHERE entry.kind = 'bake' AND {IN_FORCE} GROUP BY open_bake.bake_id ORDER BY open_bake.bake_id"
            ),
            Which::NotDone => format!(
                "SELECT entry_id FROM open_bake
                 UNION ALL
                 SELECT max(entry.id) FROM entry WHERE kind = 'bake' AND {IN_FORCE} AND bake_id IN (
                     SELECT bake_id FROM entry WHERE bake_id IS NOT NULL AND kind = 'drop' AND {IN_FORCE})
                 GROUP BY bake_id"
            ),
            Which::All => format!(
                "SELECT max(entry.id) FROM entry WHERE bake_id IS NOT NULL AND kind = 'bake' AND {IN_FORCE}
                 GROUP BY bake_id ORDER BY bake_id"
            ),
        };
        let settings: Vec<i64> = self
            .connection
            .prepare_cached(&sql)?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        settings
            .into_iter()
            .map(|setting| self.bake_of_setting(setting))
            .collect()
    }

    /// What one entry says that a bake is to be.
    pub(super) fn bake_setting(&self, entry: i64) -> rusqlite::Result<BakeSetting> {
        self.connection
            .prepare_cached(&format!(
                "SELECT {SETTING} FROM bake_setting AS setting JOIN entry ON entry.id = setting.entry_id
                 WHERE setting.entry_id = ?1"
            ))?
            .query_row(params![entry], |row| self.read_setting(row))
            .map_err(|error| in_entry(error, entry))
    }

    fn bake_of_setting(&self, entry: i64) -> anyhow::Result<BakeRecord> {
        let (id, restated): (i64, i64) = self
            .connection
            .prepare_cached(
                "SELECT bake_id, (SELECT count(*) - 1 FROM entry AS said WHERE said.bake_id = entry.bake_id AND said.kind = 'bake')
                 FROM entry WHERE id = ?1",
            )?
            .query_row(params![entry], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(BakeRecord {
            id,
            setting_id: entry,
            code: BakeCode::new(u32::try_from(id).map_err(columns::damaged)?),
            setting: self.bake_setting(entry)?,
            restated: u32::try_from(restated).map_err(columns::damaged)?,
            end: self.bake_end(id)?,
        })
    }

    fn read_setting(&self, row: &Row<'_>) -> rusqlite::Result<BakeSetting> {
        let point: String = row.get(2)?;
        let lots = self
            .connection
            .prepare_cached("SELECT lot_id FROM bake_lot WHERE entry_id = ?1 ORDER BY position")?
            .query_map(params![row.get::<_, i64>(0)?], |row| row.get(0))?
            .map(|id| self.lot_by_id(id?))
            .collect::<rusqlite::Result<_>>()?;
        Ok(BakeSetting {
            formula: self.formula_by_id(row.get(1)?)?,
            point: point
                .parse()
                .map_err(|problem: Problem| columns::damaged(problem))?,
            at: columns::instant(row.get(3)?),
            pieces: row.get(4)?,
            piece: Milligrams::new(row.get(5)?),
            share: row.get::<_, Option<i64>>(6)?.map(columns::fraction),
            firm: row.get(7)?,
            most_lots: row.get(8)?,
            free_of: row.get(9)?,
            note: row.get(10)?,
            lots,
        })
    }

    fn bake_end(&self, bake_id: i64) -> anyhow::Result<Option<BakeEnd>> {
        let ended = self
            .connection
            .prepare_cached(&format!(
                "SELECT id, kind, at, words, recorded_by, amends_entry_id FROM entry
                 WHERE bake_id = ?1 AND kind IN ('baked', 'drop') AND {IN_FORCE} ORDER BY id DESC LIMIT 1"
            ))?
            .query_row(params![bake_id], |row| {
                let entry: i64 = row.get(0)?;
                let of_entry = |error| in_entry(error, entry);
                let at = columns::instant(row.get(2)?);
                if row.get::<_, EntryKind>(1)? == EntryKind::Drop {
                    return Ok(BakeEnd::Dropped {
                        at,
                        reason: row.get(3).map_err(of_entry)?,
                    });
                }
                Ok(BakeEnd::Done(Box::new(BakeResult {
                    entry: Some(entry),
                    at,
                    by: self.writers(row.get(4).map_err(of_entry)?, row.get(5)?)?.by,
                    draws: self.draws(bake_id)?,
                    sheet_grain: self.sheet_grain(entry)?,
                    measured: self.measured(entry)?,
                    note: row.get(3).map_err(of_entry)?,
                })))
            })
            .optional()?;
        Ok(ended)
    }

    fn draws(&self, bake_id: i64) -> rusqlite::Result<Vec<(LotRecord, Milligrams)>> {
        self.wet_of_lots(
            &format!(
                "SELECT lot_id, wet_mg FROM entry WHERE bake_id = ?1 AND kind = 'use' AND {IN_FORCE} ORDER BY id"
            ),
            bake_id,
        )
    }

    fn sheet_grain(&self, entry: i64) -> rusqlite::Result<Vec<(LotRecord, Milligrams)>> {
        self.wet_of_lots(
            "SELECT lot_id, wet_mg FROM sheet_grain WHERE entry_id = ?1",
            entry,
        )
    }

    fn wet_of_lots(&self, select: &str, of: i64) -> rusqlite::Result<Vec<(LotRecord, Milligrams)>> {
        self.connection
            .prepare_cached(select)?
            .query_map(params![of], |row| Ok((row.get(0)?, row.get(1)?)))?
            .map(|drawn| {
                let (lot, wet): (i64, i64) = drawn?;
                Ok((self.lot_by_id(lot)?, Milligrams::new(wet)))
            })
            .collect()
    }

    pub(super) fn measured(&self, entry: i64) -> rusqlite::Result<Measured> {
        let mass = |value: Option<i64>| value.map(Milligrams::new);
        self.connection
            .prepare_cached(
                "SELECT said_pour_mg, said_hold_mg, water_mg, pieces, baked_mg, dough_mc, mixing_mk, rating,
                     said_thirst_mg, came_out
                 FROM bake_result WHERE entry_id = ?1",
            )?
            .query_row(params![entry], |row| {
                Ok(Measured {
                    said_pour: Milligrams::new(row.get(0)?),
                    said_hold: Milligrams::new(row.get(1)?),
                    water: mass(row.get(2)?),
                    pieces: row.get(3)?,
                    baked: mass(row.get(4)?),
                    dough_milli_celsius: row.get(5)?,
                    mixing_kelvin: row.get::<_, Option<i64>>(6)?.map(|milli| milli as f64 / 1e3),
                    rating: row.get(7)?,
                    said_thirst: mass(row.get(8)?),
                    came_out: row
                        .get::<_, Option<String>>(9)?
                        .and_then(|word| word.parse().ok()),
                })
            })
    }

    /// The newest `most` bakes whose water was recorded, the newest first.
    pub fn watered_bakes(&self, most: usize) -> anyhow::Result<Vec<BakeRecord>> {
        let numbers: Vec<u32> = self
            .connection
            .prepare_cached(&format!(
                "SELECT entry.bake_id FROM bake_result AS result JOIN entry ON entry.id = result.entry_id
                 WHERE result.water_mg IS NOT NULL AND {IN_FORCE} ORDER BY entry.at DESC, {FIRST} DESC LIMIT ?1"
            ))?
            .query_map(params![i64::try_from(most)?], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        numbers
            .into_iter()
            .map(|number| self.bake(&BakeCode::new(number).to_string()))
            .collect()
    }

    /// The newest `most` bakes of a formula whose pieces were counted, the newest first, of versions whose text `is_like` takes.
    pub fn counted_bakes(
        &self,
        formula: &str,
        most: usize,
        is_like: impl FnMut(&str) -> bool,
    ) -> anyhow::Result<Vec<BakeRecord>> {
        let sql = format!(
            "SELECT entry.bake_id, version.text {OF_FORMULA} AND result.pieces > 0 AND {IN_FORCE}
             ORDER BY entry.at DESC, {FIRST} DESC"
        );
        let numbers: Vec<u32> = self.newest_like(&sql, formula, most, is_like)?;
        numbers
            .into_iter()
            .map(|number| self.bake(&BakeCode::new(number).to_string()))
            .collect()
    }

    /// By how many kelvins mixing warmed the newest `most` doughs of a formula, the newest first, of versions whose text
    /// `is_like` takes.
    pub fn measured_rises(
        &self,
        formula: &str,
        most: usize,
        is_like: impl FnMut(&str) -> bool,
    ) -> anyhow::Result<Vec<f64>> {
        let sql = format!(
            "SELECT result.mixing_mk, version.text {OF_FORMULA} AND result.mixing_mk IS NOT NULL AND {IN_FORCE}
             ORDER BY entry.at DESC, {FIRST} DESC"
        );
        let rises: Vec<i64> = self.newest_like(&sql, formula, most, is_like)?;
        Ok(rises.into_iter().map(|milli| milli as f64 / 1e3).collect())
    }

    /// The first column of the first `most` rows whose second, the text of a version, `is_like` takes.
    fn newest_like<T: FromSql>(
        &self,
        sql: &str,
        formula: &str,
        most: usize,
        mut is_like: impl FnMut(&str) -> bool,
    ) -> anyhow::Result<Vec<T>> {
        let mut statement = self.connection.prepare_cached(sql)?;
        let mut rows = statement.query(params![formula])?;
        let mut found = Vec::new();
        // Years of bakes are not read for the few that count.
        while found.len() < most
            && let Some(row) = rows.next()?
        {
            let text: String = row.get(1)?;
            if is_like(&text) {
                found.push(row.get(0)?);
            }
        }
        Ok(found)
    }
}

impl Act<'_> {
    /// Adds a bake.
    pub(crate) fn add_bake(&mut self, setting: &BakeSetting) -> anyhow::Result<BakeRecord> {
        self.transaction.execute(
            "INSERT INTO bake (formula_id) SELECT formula_id FROM formula_version WHERE id = ?1",
            params![setting.formula.id],
        )?;
        let id = self.transaction.last_insert_rowid();
        self.state_bake(id, setting)
    }

    /// States anew what an open bake is to be.
    pub(crate) fn change_bake(
        &mut self,
        bake: &BakeRecord,
        setting: &BakeSetting,
    ) -> anyhow::Result<BakeRecord> {
        bake.refuse_ended()?;
        self.state_bake(bake.id, setting)
    }

    fn state_bake(&mut self, bake_id: i64, setting: &BakeSetting) -> anyhow::Result<BakeRecord> {
        let entry = self.write(
            None,
            self.now(),
            NewEntry::Bake(bake_id, setting.note.as_deref()),
        )?;
        self.transaction.execute(
            "INSERT INTO bake_setting (entry_id, version_id, point, point_at, pieces, piece_mg, share_ppm, firm, most_lots, free_of)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            params![
                entry,
                setting.formula.id,
                setting.point.as_str(),
                columns::seconds(setting.at),
                setting.pieces,
                setting.piece.get(),
                setting.share.map(columns::ppm),
                setting.firm,
                setting.most_lots,
                setting.free_of
            ],
        )?;
        for (position, lot) in (1i64..).zip(&setting.lots) {
            self.transaction.execute(
                "INSERT INTO bake_lot (entry_id, position, lot_id) VALUES (?1, ?2, ?3)",
                params![entry, position, lot.id],
            )?;
        }
        self.keep_bake(bake_id)?;
        self.view().bake_of_setting(entry)
    }

    /// Says that a bake is not baked after all.
    pub(crate) fn drop_bake(
        &mut self,
        bake: &BakeRecord,
        reason: Option<&str>,
    ) -> anyhow::Result<()> {
        bake.refuse_ended()?;
        self.write(None, self.now(), NewEntry::Drop(bake.id, reason))?;
        self.keep_bake(bake.id)?;
        Ok(())
    }

    /// Writes down what a bake came to and draws its grain. Whether the grain may be used is the caller's
    /// question to the keeping clock.
    pub(crate) fn finish_bake(
        &mut self,
        bake: &BakeRecord,
        result: &BakeResult,
    ) -> anyhow::Result<()> {
        bake.refuse_ended()?;
        for (lot, wet) in &result.draws {
            self.use_for_bake(lot, result.at, *wet, bake)?;
        }
        let entry = self.write(
            None,
            result.at,
            NewEntry::Baked(bake.id, result.note.as_deref()),
        )?;
        self.write_result(entry, bake, result)?;
        self.keep_bake(bake.id)
    }

    /// Writes what a bake came to beside the entry that says so.
    pub(super) fn write_result(
        &self,
        entry: i64,
        bake: &BakeRecord,
        result: &BakeResult,
    ) -> rusqlite::Result<()> {
        let measured = &result.measured;
        self.transaction.execute(
            "INSERT INTO bake_result (entry_id, setting_id, said_pour_mg, said_hold_mg, water_mg, pieces, baked_mg, dough_mc, mixing_mk, rating,
                 said_thirst_mg, came_out)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
            params![
                entry,
                bake.setting_id,
                measured.said_pour.get(),
                measured.said_hold.get(),
                measured.water.map(Milligrams::get),
                measured.pieces,
                measured.baked.map(Milligrams::get),
                measured.dough_milli_celsius,
                measured.mixing_kelvin.map(|kelvin| (kelvin * 1e3).round() as i64),
                measured.rating,
                measured.said_thirst.map(Milligrams::get),
                measured.came_out.map(CameOut::as_str)
            ],
        )?;
        for (lot, wet) in &result.sheet_grain {
            self.transaction.execute(
                "INSERT INTO sheet_grain (entry_id, lot_id, wet_mg) VALUES (?1, ?2, ?3)",
                params![entry, lot.id, wet.get()],
            )?;
        }
        Ok(())
    }

    /// Keeps again whether a bake is open and what it is to be.
    pub(super) fn keep_bake(&self, bake_id: i64) -> anyhow::Result<()> {
        self.transaction
            .execute("DELETE FROM open_bake WHERE bake_id = ?1", params![bake_id])?;
        let open = open();
        self.transaction.execute(
            &format!("INSERT INTO open_bake (bake_id, entry_id) {open} HAVING said.bake_id = ?1"),
            params![bake_id],
        )?;
        Ok(())
    }
}

/// Bakes that are neither done nor dropped with the entry that says what they are to be, from the entries.
pub(super) fn open() -> String {
    format!(
        "SELECT said.bake_id, max(said.id) FROM entry AS said
         WHERE said.bake_id IS NOT NULL AND said.kind = 'bake'
           AND EXISTS (SELECT 1 FROM entry WHERE entry.id = said.id AND {IN_FORCE})
           AND NOT EXISTS (
               SELECT 1 FROM entry WHERE entry.bake_id = said.bake_id AND entry.kind IN ('baked', 'drop') AND {IN_FORCE})
         GROUP BY said.bake_id"
    )
}
