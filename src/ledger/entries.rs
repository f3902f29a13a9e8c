//! Entries: the log.

use super::failure::in_entry;
use super::fold::{Change, Fold, Line};
use super::in_force::{FIRST, IN_FORCE};
use super::lots::{KnownLots, LotRecord};
use super::trace::list;
use super::{
    BakeSetting, BookRefusal, CountRecord, EntryKind, Measured, PlaceSetting, PlanSize,
    ReadingFile, SourceChange, TreatmentRecord, View, columns,
};
use crate::dough::bake_code::BakeCode;
use crate::grain::{Ending, LotCode, MoistureTest};
use crate::quantity::{Instant, Milligrams, Temperature};
use rusqlite::{OptionalExtension, Params, Row, params};
use std::sync::Arc;

/// One line of the book.
#[derive(Debug, Clone)]
pub struct EntryRecord {
    /// Its number.
    pub entry: i64,
    /// What kind of entry it is.
    pub kind: EntryKind,
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
    /// The bake it is about.
    pub bake: Option<BakeCode>,
    /// Reason, bake, note, or whose word it is.
    pub words: Option<String>,
    /// The entry it strikes.
    pub strikes: Option<i64>,
    /// The entry it is struck by.
    pub struck_by: Option<i64>,
    /// The entry that struck what its lot came by, where this was found on the lot: it says nothing of any grain then.
    pub lot_struck_by: Option<i64>,
    /// The entry it takes the place of.
    pub amends: Option<i64>,
    /// The entry that takes its place.
    pub amended_by: Option<i64>,
    /// Who recorded first what it takes the place of.
    pub first_by: Option<String>,
    /// Why it amends another.
    pub reason: Option<String>,
    /// How discarded grain ended, where that was said.
    pub ending: Option<Ending>,
    /// What only this kind of entry holds.
    pub detail: Detail,
}

/// What names an entry in a list.
#[derive(Debug, Clone, Copy)]
pub struct EntryHead {
    /// Its number.
    pub entry: i64,
    /// What kind of entry it is.
    pub kind: EntryKind,
    /// When it happened.
    pub at: Instant,
    /// The lot it is about.
    pub lot: Option<LotCode>,
    /// The bake it is about.
    pub bake: Option<BakeCode>,
}

impl EntryRecord {
    /// What names it.
    pub const fn head(&self) -> EntryHead {
        EntryHead {
            entry: self.entry,
            kind: self.kind,
            at: self.at,
            lot: self.lot,
            bake: self.bake,
        }
    }

    /// Whether it says something of its own that counts. Whether it counts was decided in `in_force.rs`; a strike that does
    /// says nothing of its own, it takes another entry out.
    pub fn says_something_in_force(&self) -> bool {
        self.struck_by.is_none() && self.amended_by.is_none() && self.kind != EntryKind::Strike
    }
}

/// What only one kind of entry holds.
#[derive(Debug, Clone)]
pub enum Detail {
    /// Nothing more.
    None,
    /// A lot came in.
    Arrival(Arc<LotRecord>),
    /// A moisture test and the form of the grain.
    Test(MoistureTest, Arc<LotRecord>),
    /// A place was stated to be something.
    Setting(PlaceSetting),
    /// What a bake is to be.
    Bake(Box<BakeSetting>),
    /// What a bake came to.
    Baked(Measured),
    /// What a treatment did.
    Treated(Box<TreatmentRecord>),
    /// What a count found.
    Counted(CountRecord),
    /// A logger's file was read.
    Readings(ReadingFile),
    /// A plan was accepted.
    Plan(PlanSize),
    /// A source is called otherwise, or is one with another.
    Source(SourceChange),
}

/// Which entries to list.
#[derive(Debug, Clone, Default)]
pub struct LogFilter<'a> {
    /// Only those about this lot.
    pub lot: Option<&'a LotRecord>,
    /// Only those about this bake.
    pub bake: Option<BakeCode>,
    /// With those about the bake, these, which name it in words.
    pub beside: &'a [i64],
    /// Only the one of this number.
    pub entry: Option<i64>,
    /// Only those of this kind.
    pub kind: Option<EntryKind>,
    /// Only the last so many.
    pub last: Option<u32>,
}

impl LogFilter<'_> {
    /// As SQL: ?1 is the lot, ?2 the bake, ?3 the entry, ?4 the number that lies before, ?6 the kind, ?7 what goes with the
    /// bake. A plus keeps SQLite from going through all later entries to find those of one lot.
    fn condition(&self) -> String {
        let all = self.lot.is_none() && self.bake.is_none() && self.entry.is_none();
        [
            match self.lot {
                Some(_) => "(entry.lot_id = ?1 OR entry.new_lot_id = ?1)",
                None => "?1 IS NULL",
            },
            match self.bake {
                Some(_) if self.beside.is_empty() => "entry.bake_id = ?2 AND ?7 IS NOT NULL",
                Some(_) => "(entry.bake_id = ?2 OR entry.id IN (SELECT value FROM json_each(?7)))",
                None => "?2 IS NULL AND ?7 IS NOT NULL",
            },
            match self.entry {
                Some(_) => "entry.id = ?3",
                None => "?3 IS NULL",
            },
            match self.kind {
                Some(_) => "+entry.kind = ?6",
                None => "?6 IS NULL",
            },
            if all {
                "entry.id > ?4"
            } else {
                "+entry.id > ?4"
            },
        ]
        .join(" AND ")
    }

    /// What the condition takes, and how many rows there may be.
    fn with(&self, after: i64, most: i64) -> impl Params {
        (
            self.lot.map(|lot| lot.id),
            self.bake.map(BakeCode::number),
            self.entry,
            after,
            most,
            self.kind,
            list(self.beside),
        )
    }
}

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

    /// How many entries there are.
    pub fn entry_count(&self) -> anyhow::Result<i64> {
        Ok(self
            .connection
            .query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?)
    }

    /// One entry.
    pub fn entry(&self, entry: i64) -> anyhow::Result<EntryRecord> {
        let found = self.log(&LogFilter {
            entry: Some(entry),
            ..LogFilter::default()
        })?;
        found
            .into_iter()
            .next()
            .ok_or_else(|| BookRefusal::NoEntry(entry).into())
    }

    /// Entries in the order in which they were written.
    pub fn log(&self, filter: &LogFilter<'_>) -> anyhow::Result<Vec<EntryRecord>> {
        let _still = self.hold_still()?;
        self.log_after(filter, self.before_last(filter)?, usize::MAX)
    }

    /// The number after which the last so many entries begin that a filter asks for; 0 where it asks for all.
    pub fn before_last(&self, filter: &LogFilter<'_>) -> anyhow::Result<i64> {
        let Some(last) = filter.last else {
            return Ok(0);
        };
        let first: Option<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT min(id) FROM (SELECT id FROM entry WHERE {condition} ORDER BY id DESC LIMIT ?5)",
                condition = filter.condition()
            ))?
            .query_row(filter.with(0, i64::from(last)), |row| row.get(0))?;
        Ok(first.map_or(i64::MAX, |first| first - 1))
    }

    /// Entries after the one of a number, no more than `most`. What a filter says of the last so many is not
    /// looked at.
    pub fn log_after(
        &self,
        filter: &LogFilter<'_>,
        after: i64,
        most: usize,
    ) -> anyhow::Result<Vec<EntryRecord>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT entry.id, entry.kind, entry.at, entry.recorded_at, entry.recorded_by, entry.wet_mg, place.name,
                    entry.temperature_mc, entry.temperature_scale, entry.activity_ppm, entry.words,
                    entry.struck_entry_id, taken.id, entry.lot_id, entry.new_lot_id, entry.bake_id, entry.ending,
                    taken.kind, entry.amends_entry_id, entry.reason
             FROM entry
             LEFT JOIN place ON place.id = entry.place_id
             LEFT JOIN out_of_force AS gone ON gone.entry_id = entry.id
             LEFT JOIN entry AS taken ON taken.id = gone.by_entry_id
             WHERE {condition} ORDER BY entry.id LIMIT ?5",
            condition = filter.condition()
        ))?;
        let most = i64::try_from(most).unwrap_or(i64::MAX);
        let mut rows = statement.query(filter.with(after, most))?;
        let mut found = Vec::new();
        let mut lots = KnownLots::default();
        while let Some(row) = rows.next()? {
            let entry: i64 = row.get(0)?;
            let read = self.read_entry(row, &mut lots);
            found.push(read.map_err(|error| match error.downcast() {
                Ok(error) => anyhow::Error::from(in_entry(error, entry)),
                Err(error) => error,
            })?);
        }
        Ok(found)
    }

    /// The entries that were written after the one of this number, each with its kind.
    pub fn kinds_since(&self, entry: i64) -> anyhow::Result<Vec<(i64, EntryKind)>> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT id, kind FROM entry WHERE id > ?1 ORDER BY id")?;
        let rows = statement.query_map([entry], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<rusqlite::Result<Vec<_>>>()?)
    }

    /// What names the same entries: a fraction of the work, since nothing else of them is looked up.
    pub fn heads_after(
        &self,
        filter: &LogFilter<'_>,
        after: i64,
        most: usize,
    ) -> anyhow::Result<Vec<EntryHead>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT id, kind, at, lot_id, bake_id FROM entry WHERE {condition} ORDER BY id LIMIT ?5",
            condition = filter.condition()
        ))?;
        let most = i64::try_from(most).unwrap_or(i64::MAX);
        let mut lots = KnownLots::default();
        let mut head = |row: &Row<'_>| -> rusqlite::Result<EntryHead> {
            Ok(EntryHead {
                entry: row.get(0)?,
                kind: row.get(1)?,
                at: columns::instant(row.get(2)?),
                lot: lots.code(*self, row.get(3)?)?,
                bake: row.get::<_, Option<u32>>(4)?.map(BakeCode::new),
            })
        };
        let found = statement.query_map(filter.with(after, most), |row| {
            let entry = row.get(0)?;
            head(row).map_err(|error| in_entry(error, entry))
        })?;
        Ok(found.collect::<Result<_, _>>()?)
    }

    fn read_entry(&self, row: &Row<'_>, lots: &mut KnownLots) -> anyhow::Result<EntryRecord> {
        let scale: Option<String> = row.get(8)?;
        let entry: i64 = row.get(0)?;
        let kind: EntryKind = row.get(1)?;
        let lot = match row.get::<_, Option<i64>>(13)? {
            Some(id) => Some(lots.get(*self, id)?),
            None => None,
        };
        let taken_out_by: Option<i64> = row.get(12)?;
        let amends: Option<i64> = row.get(18)?;
        let first_by = match amends {
            Some(_) => self.writers(row.get(4)?, amends)?.by,
            None => None,
        };
        let is_struck = row.get::<_, Option<EntryKind>>(17)? == Some(EntryKind::Strike);
        let lot_struck_by = match &lot {
            Some(lot) if kind.finds() && taken_out_by.is_none() => lots.is_void(*self, lot)?,
            _ => None,
        };
        let detail = match (kind, &lot) {
            (EntryKind::Pickup, Some(lot)) => {
                Detail::Arrival(Arc::new(self.lot_as_of(entry, lot)?))
            }
            (EntryKind::Moisture, Some(lot)) => Detail::Test(self.test(entry)?, Arc::clone(lot)),
            (EntryKind::Readings, _) => Detail::Readings(self.reading_file(entry)?),
            (EntryKind::Place, _) => Detail::Setting(self.setting(entry)?),
            (EntryKind::Bake, _) => Detail::Bake(Box::new(self.bake_setting(entry)?)),
            (EntryKind::Baked, _) => Detail::Baked(self.measured(entry)?),
            (EntryKind::Plan, _) => Detail::Plan(self.plan_size(entry)?),
            (EntryKind::Treat, _) => Detail::Treated(Box::new(self.treatment(entry)?)),
            (EntryKind::Count, _) => Detail::Counted(self.stock_count(entry)?),
            (EntryKind::Source, _) => Detail::Source(self.source_change(entry)?),
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
            struck_by: taken_out_by.filter(|_| is_struck),
            lot_struck_by,
            amends,
            first_by,
            amended_by: taken_out_by.filter(|_| !is_struck),
            reason: row.get(19)?,
            lot: lot.map(|lot| lot.code),
            new_lot: lots.code(*self, row.get(14)?)?,
            bake: row.get::<_, Option<u32>>(15)?.map(BakeCode::new),
            ending: columns::ending(row.get(16)?)?,
        })
    }

    /// Adds up every stock-changing entry in force, of one lot or of all.
    pub(super) fn fold_entries(&self, lot_id: Option<i64>) -> anyhow::Result<Fold> {
        self.fold_before(lot_id, (Instant::MAX_UTC, i64::MAX))
    }

    /// The same up to an entry, by when it was and by the number under which it was written first.
    pub(super) fn fold_before(
        &self,
        lot_id: Option<i64>,
        before: (Instant, i64),
    ) -> anyhow::Result<Fold> {
        let of_lot = match lot_id {
            Some(_) => "(lot_id = ?1 OR new_lot_id = ?1)",
            None => "?1 IS NULL",
        };
        let mut statement = self.connection.prepare(&format!(
            "SELECT {FIRST}, kind, lot_id, at, wet_mg, new_lot_id, place_id, treatment.out_mg, stock_count.less_mg
             FROM entry
             LEFT JOIN treatment ON treatment.entry_id = entry.id AND entry.kind = 'treat'
             LEFT JOIN stock_count ON stock_count.entry_id = entry.id AND entry.kind = 'count'
             WHERE {of_lot} AND kind IN {kinds} AND {IN_FORCE}",
            kinds = EntryKind::list(EntryKind::moves_grain)
        ))?;
        let mut rows = statement.query(params![lot_id])?;
        let mut fold = Fold::default();
        while let Some(row) = rows.next()? {
            let (entry, at): (i64, Instant) = (row.get(0)?, columns::instant(row.get(3)?));
            if (at, entry) >= before {
                continue;
            }
            let kind = match row.get(1)? {
                EntryKind::Pickup => Change::Pickup {
                    wet: row.get(4)?,
                    place: row.get(6)?,
                },
                EntryKind::Move => Change::Move { place: row.get(6)? },
                EntryKind::Part | EntryKind::Join => Change::Made {
                    wet: row.get(4)?,
                    out: row.get(4)?,
                    new_lot: row.get(5)?,
                    place: row.get(6)?,
                },
                EntryKind::Treat => Change::Made {
                    wet: row.get(4)?,
                    out: row.get(7)?,
                    new_lot: row.get(5)?,
                    place: row.get(6)?,
                },
                EntryKind::Count => Change::Taken { wet: row.get(8)? },
                _ => Change::Taken { wet: row.get(4)? },
            };
            fold.add(&Line {
                entry,
                kind,
                lot: row.get(2)?,
                at,
            });
        }
        Ok(fold)
    }
}
