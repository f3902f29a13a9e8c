//! Entries: the log, what was taken from lots, and striking a wrong one.

use super::fold::{Change, Fold, Line};
use super::lots::LotRecord;
use super::{Act, PlaceSetting, View, columns};
use crate::grain::{LotCode, MoistureTest};
use crate::quantity::{Instant, Milligrams, Problem, Temperature};
use rusqlite::{OptionalExtension, Row, params};

/// One line of the book.
#[derive(Debug, Clone)]
pub struct EntryRecord {
    /// Its number.
    pub entry: i64,
    /// What kind of entry it is.
    pub kind: String,
    /// When it happened.
    pub at: Instant,
    /// When it was recorded.
    pub recorded_at: Instant,
    /// Who recorded it.
    pub by: Option<String>,
    /// The lot it is about.
    pub lot: Option<LotCode>,
    /// The wet mass that came, went or was parted off.
    pub wet: Option<Milligrams>,
    /// The lot that was made by parting.
    pub new_lot: Option<LotCode>,
    /// The place.
    pub place: Option<String>,
    /// A reading.
    pub temperature: Option<Temperature>,
    /// A water activity.
    pub water_activity: Option<f64>,
    /// Reason, bake, note, or whose word it is.
    pub words: Option<String>,
    /// The entry it strikes.
    pub strikes: Option<i64>,
    /// The entry it is struck by.
    pub struck_by: Option<i64>,
    /// What only this kind of entry holds.
    pub detail: Detail,
}

/// What only one kind of entry holds.
#[derive(Debug, Clone)]
pub enum Detail {
    /// Nothing more.
    None,
    /// A lot came in.
    Arrival(Box<LotRecord>),
    /// A moisture test and the form of the grain.
    Test(MoistureTest, Box<LotRecord>),
    /// A place was stated to be something.
    Setting(PlaceSetting),
}

/// Which entries to list.
#[derive(Debug, Clone, Default)]
pub struct LogFilter<'a> {
    /// Only those about this lot.
    pub lot: Option<&'a LotRecord>,
    /// Only the last so many.
    pub last: Option<u32>,
}

/// How grain left a lot for good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taken {
    /// It went into a bake.
    Bake,
    /// It was thrown away.
    Discard,
}

/// Grain that left a lot for good.
#[derive(Debug, Clone)]
pub struct UsageRecord {
    /// When.
    pub at: Instant,
    /// From which lot.
    pub lot: LotRecord,
    /// How.
    pub taken: Taken,
    /// The bake, or the reason.
    pub words: String,
    /// How much.
    pub wet: Milligrams,
    /// Who recorded it.
    pub by: Option<String>,
}

/// Which usage to list.
#[derive(Debug, Clone, Default)]
pub struct UsageFilter<'a> {
    /// From this moment on.
    pub from: Option<Instant>,
    /// Before this moment.
    pub before: Option<Instant>,
    /// Only from this lot.
    pub lot: Option<&'a LotRecord>,
    /// Only from lots of this source.
    pub source: Option<&'a str>,
}

const IN_FORCE: &str =
    "NOT EXISTS (SELECT 1 FROM entry AS later WHERE later.struck_entry_id = entry.id)";

impl View<'_> {
    /// When the last entry was written.
    pub fn last_written(&self) -> anyhow::Result<Option<Instant>> {
        let last = self
            .connection
            .prepare_cached("SELECT recorded_at FROM entry ORDER BY id DESC LIMIT 1")?
            .query_row([], |row| row.get(0))
            .optional()?;
        Ok(last.map(columns::instant))
    }

    /// Entries in the order in which they were written.
    pub fn log(&self, filter: &LogFilter<'_>) -> anyhow::Result<Vec<EntryRecord>> {
        let _still = self.hold_still()?;
        let of_lot = match filter.lot {
            Some(_) => "(entry.lot_id = ?1 OR entry.new_lot_id = ?1)",
            None => "?1 IS NULL",
        };
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT entry.id, entry.kind, entry.at, entry.recorded_at, entry.recorded_by, entry.wet_mg, place.name,
                    entry.temperature_mc, entry.temperature_scale, entry.activity_ppm, entry.words,
                    entry.struck_entry_id, strike.id, entry.lot_id, entry.new_lot_id
             FROM entry
             LEFT JOIN place ON place.id = entry.place_id
             LEFT JOIN entry AS strike ON strike.struck_entry_id = entry.id
             WHERE {of_lot} ORDER BY entry.id DESC LIMIT ?2"
        ))?;
        let last = filter.last.map_or(-1, i64::from);
        let mut rows = statement.query(params![filter.lot.map(|lot| lot.id), last])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            found.push(self.read_entry(row)?);
        }
        found.reverse();
        Ok(found)
    }

    fn read_entry(&self, row: &Row<'_>) -> anyhow::Result<EntryRecord> {
        let lot_of = |id: Option<i64>| id.map(|id| self.lot_by_id(id)).transpose();
        let scale: Option<String> = row.get(8)?;
        let entry: i64 = row.get(0)?;
        let kind: String = row.get(1)?;
        let lot = lot_of(row.get(13)?)?;
        let detail = match (kind.as_str(), &lot) {
            ("pickup", Some(lot)) => Detail::Arrival(Box::new(lot.clone())),
            ("moisture", Some(lot)) => Detail::Test(self.test(entry)?, Box::new(lot.clone())),
            ("place", _) => Detail::Setting(self.setting(entry)?),
            _ => Detail::None,
        };
        Ok(EntryRecord {
            entry,
            kind,
            detail,
            at: columns::instant(row.get(2)?),
            recorded_at: columns::instant(row.get(3)?),
            by: row.get(4)?,
            wet: row.get::<_, Option<i64>>(5)?.map(Milligrams::new),
            place: row.get(6)?,
            temperature: row
                .get::<_, Option<i64>>(7)?
                .map(|milli| columns::temperature(milli, scale.as_deref())),
            water_activity: row.get::<_, Option<i64>>(9)?.map(columns::fraction),
            words: row.get(10)?,
            strikes: row.get(11)?,
            struck_by: row.get(12)?,
            lot: lot.map(|lot| lot.code),
            new_lot: lot_of(row.get(14)?)?.map(|lot| lot.code),
        })
    }

    /// What was taken from lots for good, in the order in which it happened.
    pub fn usage(&self, filter: &UsageFilter<'_>) -> anyhow::Result<Vec<UsageRecord>> {
        let _still = self.hold_still()?;
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT at, kind, words, wet_mg, recorded_by, lot_id FROM entry
             WHERE kind IN ('use', 'discard', 'treat', 'count') AND kind IN ('use', 'discard') AND at >= ?1 AND at < ?2 AND (?3 IS NULL OR lot_id = ?3) AND {IN_FORCE}
             ORDER BY at, id"
        ))?;
        let mut rows = statement.query(params![
            filter.from.map_or(i64::MIN, columns::seconds),
            filter.before.map_or(i64::MAX, columns::seconds),
            filter.lot.map(|lot| lot.id)
        ])?;
        let mut found = Vec::new();
        let mut lots: std::collections::HashMap<i64, LotRecord> = std::collections::HashMap::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(5)?;
            let lot = match lots.get(&id) {
                Some(lot) => lot.clone(),
                None => lots.entry(id).or_insert(self.lot_by_id(id)?).clone(),
            };
            if filter
                .source
                .is_some_and(|source| !lot.source.eq_ignore_ascii_case(source))
            {
                continue;
            }
            let taken = if row.get_ref(1)?.as_str().map_err(columns::damaged)? == "use" {
                Taken::Bake
            } else {
                Taken::Discard
            };
            found.push(UsageRecord {
                at: columns::instant(row.get(0)?),
                lot,
                taken,
                words: row.get(2)?,
                wet: Milligrams::new(row.get(3)?),
                by: row.get(4)?,
            });
        }
        Ok(found)
    }

    /// Hands every stock-changing entry in force to `fold`, of one lot or of all.
    pub(super) fn fold_entries(&self, lot_id: Option<i64>) -> anyhow::Result<Fold> {
        let of_lot = match lot_id {
            Some(_) => "(lot_id = ?1 OR new_lot_id = ?1)",
            None => "?1 IS NULL",
        };
        let mut statement = self.connection.prepare(&format!(
            "SELECT id, kind, lot_id, at, wet_mg, new_lot_id, place_id FROM entry
             WHERE {of_lot} AND kind IN ('pickup', 'move', 'part', 'use', 'discard') AND {IN_FORCE}"
        ))?;
        let mut rows = statement.query(params![lot_id])?;
        let mut fold = Fold::default();
        while let Some(row) = rows.next()? {
            let kind = match row.get_ref(1)?.as_str().map_err(columns::damaged)? {
                "pickup" => Change::Pickup {
                    wet: row.get(4)?,
                    place: row.get(6)?,
                },
                "move" => Change::Move { place: row.get(6)? },
                "part" => Change::Part {
                    wet: row.get(4)?,
                    new_lot: row.get(5)?,
                    place: row.get(6)?,
                },
                _ => Change::Taken { wet: row.get(4)? },
            };
            fold.add(&Line {
                entry: row.get(0)?,
                kind,
                lot: row.get(2)?,
                at: columns::instant(row.get(3)?),
            });
        }
        Ok(fold)
    }
}

/// What striking needs to know of an entry.
struct Struck {
    kind: String,
    lot: Option<i64>,
    new_lot: Option<i64>,
    place: Option<i64>,
}

impl Act<'_> {
    /// Strikes a wrong entry: it stays in the book and no longer counts.
    ///
    /// Refused where other entries stand on it, so that stock can never fall below nothing.
    pub fn strike(&mut self, entry: i64, reason: &str) -> anyhow::Result<i64> {
        let struck = self
            .transaction
            .query_row(
                "SELECT kind, lot_id, new_lot_id, place_id FROM entry WHERE id = ?1",
                params![entry],
                |row| {
                    Ok(Struck {
                        kind: row.get(0)?,
                        lot: row.get(1)?,
                        new_lot: row.get(2)?,
                        place: row.get(3)?,
                    })
                },
            )
            .optional()?
            .ok_or_else(|| {
                Problem::new(format!("there is no entry {entry} in the book"))
                    .hint("`draff log` lists them")
            })?;
        self.refuse_strike(entry, &struck)?;
        let lot = struck.lot.map(|id| self.view().lot_by_id(id)).transpose()?;
        self.refuse_future(self.signature.now)?;
        self.transaction.execute(
            "INSERT INTO entry (kind, lot_id, at, recorded_at, recorded_by, words, struck_entry_id)
             VALUES ('strike', ?1, ?2, ?2, ?3, ?4, ?5)",
            params![
                lot.as_ref().map(|lot| lot.id),
                columns::seconds(self.signature.now),
                self.signature.by,
                reason,
                entry
            ],
        )?;
        let strike = self.transaction.last_insert_rowid();
        for lot in [struck.lot, struck.new_lot].into_iter().flatten() {
            self.forget_test(lot)?;
            self.keep_again(lot)?;
        }
        Ok(strike)
    }

    fn refuse_strike(&self, entry: i64, struck: &Struck) -> anyhow::Result<()> {
        let already: Option<i64> = self
            .transaction
            .query_row(
                "SELECT id FROM entry WHERE struck_entry_id = ?1",
                params![entry],
                |row| row.get(0),
            )
            .optional()?;
        if let Some(already) = already {
            return Err(Problem::new(format!(
                "entry {entry} is struck already, by entry {already}"
            ))
            .into());
        }
        if struck.kind == "strike" {
            return Err(
                Problem::new(format!("entry {entry} is itself a strike and stays"))
                    .hint("enter again what it struck")
                    .into(),
            );
        }
        if struck.kind == "place" {
            let settings: i64 = self.transaction.query_row(
                &format!("SELECT count(*) FROM entry WHERE kind = 'place' AND place_id = ?1 AND {IN_FORCE}"),
                params![struck.place],
                |row| row.get(0),
            )?;
            if settings <= 1 {
                return Err(Problem::new(format!(
                    "entry {entry} is all that says what the place is"
                ))
                .hint("`draff place change` states it anew")
                .into());
            }
        }
        // Striking an arrival makes the lot void: nothing that took from it may stand, and nothing that was
        // found on it may be lost. Grain that came back to its mother lot was found warm or spoiled all the
        // same; a pickup that is booked in anew may have its tests and readings entered anew.
        let (arrived, kinds) = match struck.kind.as_str() {
            "pickup" => (struck.lot, "'use', 'discard', 'part', 'move', 'spoiled'"),
            "part" => (
                struck.new_lot,
                "'use', 'discard', 'part', 'move', 'spoiled', 'reading', 'cooled', 'activity', 'moisture'",
            ),
            _ => (None, ""),
        };
        if let Some(lot) = arrived {
            let standing: Vec<i64> = self
                .transaction
                .prepare(&format!(
                    "SELECT id FROM entry WHERE lot_id = ?1 AND kind IN ({kinds}) AND {IN_FORCE}"
                ))?
                .query_map(params![lot], |row| row.get(0))?
                .collect::<Result<_, _>>()?;
            if !standing.is_empty() {
                let numbers: Vec<String> = standing.iter().map(i64::to_string).collect();
                return Err(Problem::new(format!(
                    "entry {entry} is how the lot came, and entries {} stand on it",
                    numbers.join(", ")
                ))
                .hint("strike those first, the newest one first; what was found on a part belongs to its mother lot too")
                .into());
            }
        }
        Ok(())
    }

    /// Folds a lot's entries again and keeps the result.
    fn keep_again(&self, lot_id: i64) -> anyhow::Result<()> {
        let fold = self.view().fold_entries(Some(lot_id))?;
        match fold.held().get(&lot_id) {
            Some(held) if held.wet > 0 => {
                self.put_stock(lot_id, Milligrams::new(held.wet), held.place)?
            }
            _ => self.put_stock(lot_id, Milligrams::ZERO, 0)?,
        }
        Ok(())
    }
}
