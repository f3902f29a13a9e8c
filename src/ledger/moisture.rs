//! Moisture tests in the book.

mod remembered;
mod weighed;

pub(super) use remembered::Remembered;

use super::failure::in_entry;
use super::in_force::{IN_FORCE, in_force};
use super::lots::{COLUMNS, FACTS, read_lot};
use super::new_entry::NewEntry;
use super::trace::list;
use super::{Act, EntryKind, LotRecord, View, columns};
use crate::grain::LotCode;
use crate::grain::moisture_test::{MoistureTest, Sample};
use crate::grain::weighing::Weighing;
use crate::quantity::{Instant, Milligrams};
use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};
use std::cmp::Reverse;
use weighed::{STEPS, WEIGHED, WEIGHINGS, Weighed};

/// A moisture test of a lot.
#[derive(Debug, Clone)]
pub struct TestRecord {
    /// Its entry.
    pub entry: i64,
    /// When the sample was taken.
    pub at: Instant,
    /// Who recorded it.
    pub by: Option<String>,
    /// What was weighed.
    pub test: MoistureTest,
}

/// The moisture tests of another lot of the same source, kind and form, and of its parts.
#[derive(Debug, Clone)]
pub struct EarlierLot {
    /// The lot that came in, which parts of it and what was made of it share.
    pub origin: LotCode,
    /// Its brew day.
    pub brewed_on: NaiveDate,
    /// What was weighed, in the order in which it was found.
    pub tests: Vec<MoistureTest>,
}

impl EarlierLot {
    /// Whether the tests were of grain that came in as one of these lots.
    pub fn is_of(&self, origins: &[LotRecord]) -> bool {
        origins.iter().any(|origin| origin.code == self.origin)
    }
}

/// How many earlier lots say what to expect of the next. More would outweigh a brewery's change of ways.
const EARLIER_LOTS: usize = 30;
/// How many lots of each other source do, and of how many sources, those tested last: they weigh little.
const LOTS_ELSEWHERE: usize = 5;
const SOURCES_ELSEWHERE: usize = 8;

/// The lot of a test, its entry, when it was and who wrote it down.
type WrittenTest = (i64, i64, Instant, Option<String>);

impl View<'_> {
    /// The tests of a lot since it was last treated or joined, those of the lot it was parted from included,
    /// oldest first.
    pub fn tests(&self, lot: &LotRecord) -> anyhow::Result<Vec<TestRecord>> {
        let mut lots = vec![lot.id];
        let mut current = lot.id;
        // The lot it was split from is the same grain, whether it was tested before or after the parting.
        while let Some(made) = self.made_by(current)?.first()
            && made.kind == EntryKind::Part
        {
            lots.push(made.of);
            current = made.of;
        }
        let found = self.tests_of(&lots)?.into_iter();
        let mut found: Vec<TestRecord> = found.map(|(_, record)| record).collect();
        found.sort_by_key(|test| (test.at, test.entry));
        Ok(found)
    }

    /// The tests of some lots, each with the number of its lot: lot by lot, in the order in which they were written.
    fn tests_of(&self, lots: &[i64]) -> anyhow::Result<Vec<(i64, TestRecord)>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT entry.lot_id, entry.id, entry.at, entry.recorded_by, {WEIGHED}
             FROM json_each(?1) AS lot CROSS JOIN entry ON entry.lot_id = lot.value
             LEFT JOIN moisture_test ON moisture_test.entry_id = entry.id {WEIGHINGS}
             WHERE entry.kind = 'moisture' AND {IN_FORCE}
               AND NOT EXISTS (
                   SELECT 1 FROM sample_continued AS on_it WHERE on_it.opened = entry.id AND {continued})
             ORDER BY lot.key, entry.id, {STEPS}",
            continued = in_force("on_it.entry_id")
        ))?;
        let mut rows = statement.query(params![list(lots)])?;
        let mut found: Vec<(WrittenTest, Weighed)> = Vec::new();
        while let Some(row) = rows.next()? {
            let (lot, entry): (i64, i64) = (row.get(0)?, row.get(1)?);
            if found.last().is_none_or(|((_, last, ..), _)| *last != entry) {
                let by = row.get(3).map_err(|error| in_entry(error, entry))?;
                let head = (lot, entry, columns::instant(row.get(2)?), by);
                found.push((head, Weighed::begin(row, 4)?));
            }
            if let Some((_, weighed)) = found.last_mut() {
                weighed.add(row, 4)?;
            }
        }
        let record = |((lot, entry, at, by), weighed): (WrittenTest, Weighed)| {
            let test = weighed.test()?;
            let record = TestRecord {
                entry,
                at,
                by,
                test,
            };
            Ok((lot, record))
        };
        found.into_iter().map(record).collect()
    }

    /// When the readings of a sample were written down: in this entry, or in the first of those that it weighs on which has
    /// the very same. With its number.
    pub fn written_down(&self, entry: i64, sample: &Sample) -> anyhow::Result<(i64, Instant)> {
        let mut first = entry;
        while let Some(opened) = self
            .connection
            .prepare_cached("SELECT opened FROM sample_continued WHERE entry_id = ?1")?
            .query_row(params![first], |row| row.get(0))
            .optional()?
            && self.test(opened)?.samples.contains(sample)
        {
            first = opened;
        }
        Ok((first, self.entry(first)?.recorded_at))
    }

    /// What was weighed in one test.
    pub(super) fn test(&self, entry: i64) -> anyhow::Result<MoistureTest> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {WEIGHED} FROM moisture_test {WEIGHINGS} WHERE moisture_test.entry_id = ?1 ORDER BY {STEPS}"
        ))?;
        let mut rows = statement.query(params![entry])?;
        let first = rows.next()?.ok_or(rusqlite::Error::QueryReturnedNoRows)?;
        let mut weighed = Weighed::begin(first, 0)?;
        weighed.add(first, 0)?;
        while let Some(row) = rows.next()? {
            weighed.add(row, 0)?;
        }
        weighed.test()
    }

    /// The latest tested lots of the same source, kind and form with all their tests, newest lot first.
    ///
    /// The very grain of `lot` is among them where it was tested: leave it out with [`EarlierLot::is_of`].
    pub fn earlier_lots(&self, lot: &LotRecord) -> anyhow::Result<Vec<EarlierLot>> {
        self.newest_tested(lot.source_id, lot, EARLIER_LOTS)
    }

    /// The same as they were on a day: those brewed up to it.
    pub fn lots_until(&self, lot: &LotRecord, last: NaiveDate) -> anyhow::Result<Vec<EarlierLot>> {
        self.tested_lots(lot.source_id, lot, last, EARLIER_LOTS)
    }

    /// The latest tested lots of each other source in the same kind and form, the source tested last first.
    pub fn lots_elsewhere(&self, lot: &LotRecord) -> anyhow::Result<Vec<Vec<EarlierLot>>> {
        let _still = self.hold_still()?;
        let sources: Vec<i64> = self
            .connection
            .prepare_cached(
                "SELECT coalesce(is_one.same_as, source.id) AS own, max((
                     SELECT max(brewed_on) FROM tested WHERE source_id = source.id AND kind = ?2 AND form = ?3)) AS newest
                 FROM source LEFT JOIN source_now AS is_one ON is_one.source_id = source.id
                 WHERE own <> ?1 GROUP BY own HAVING newest IS NOT NULL ORDER BY newest DESC, own LIMIT ?4",
            )?
            .query_map(
                params![lot.source_id, lot.kind.as_str(), lot.form.as_str(), SOURCES_ELSEWHERE as i64],
                |row| row.get(0),
            )?
            .collect::<Result<_, _>>()?;
        sources
            .into_iter()
            .map(|source| self.newest_tested(source, lot, LOTS_ELSEWHERE))
            .collect()
    }

    /// As remembered, unless an act is under way: what it writes may be taken back.
    fn newest_tested(
        &self,
        source: i64,
        like: &LotRecord,
        most: usize,
    ) -> anyhow::Result<Vec<EarlierLot>> {
        let _still = self.hold_still()?;
        let read = || self.tested_lots(source, like, NaiveDate::MAX, most);
        let Some(remembered) = self.remembered else {
            return read();
        };
        let group = (source, like.kind.as_str(), like.form.as_str(), most);
        remembered.borrow_mut().of(*self, group, read)
    }

    fn tested_lots(
        &self,
        source: i64,
        like: &LotRecord,
        last: NaiveDate,
        most: usize,
    ) -> anyhow::Result<Vec<EarlierLot>> {
        let _still = self.hold_still()?;
        let sources: Vec<i64> = self
            .connection
            .prepare_cached("SELECT ?1 UNION SELECT source_id FROM source_now WHERE same_as = ?1")?
            .query_map(params![source], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        // Of each source by itself, so that only its own lots are looked at. Most came in as they are.
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS}, newest.is_made FROM (
                 SELECT brewed_on, lot_id, EXISTS (SELECT 1 FROM entry WHERE new_lot_id = tested.lot_id) AS is_made
                 FROM tested WHERE source_id = ?1 AND kind = ?2 AND form = ?3 AND brewed_on <= ?5
                 ORDER BY brewed_on DESC, lot_id DESC LIMIT ?4) AS newest
             CROSS JOIN lot ON lot.id = newest.lot_id {FACTS} ORDER BY newest.brewed_on DESC, newest.lot_id DESC"
        ))?;
        let (kind, form) = (like.kind.as_str(), like.form.as_str());
        // A book holds no year of more than four digits.
        let last = last
            .min(NaiveDate::from_ymd_opt(9999, 12, 31).unwrap_or(last))
            .to_string();
        let mut lots: Vec<(LotRecord, bool)> = Vec::new();
        for source in sources {
            let newest = statement
                .query_map(params![source, kind, form, most as i64, last], |row| {
                    Ok((read_lot(row)?, row.get(10)?))
                })?;
            for lot in newest {
                lots.push(lot?);
            }
        }
        lots.sort_by_key(|(lot, _)| Reverse((lot.code.brewed_on(), lot.id)));
        lots.truncate(most);
        let numbers: Vec<i64> = lots.iter().map(|(lot, _)| lot.id).collect();
        let mut tests = self.tests_of(&numbers)?.into_iter().peekable();
        let mut found: Vec<EarlierLot> = Vec::new();
        for (tested, is_made) in lots {
            let mut own = Vec::new();
            while let Some((_, record)) = tests.next_if(|(lot, _)| *lot == tested.id) {
                own.push(record.test);
            }
            let first = if is_made {
                // Drained, soaked and mixed grain says nothing of what comes from a brewery.
                let (_, making) = self.making(&tested)?;
                if !making.is_usual_way() {
                    continue;
                }
                let Some(first) = self.origins(&tested)?.pop() else {
                    continue;
                };
                first
            } else {
                tested
            };
            let (origin, brewed_on) = (first.code, first.brewed_on(&self.about.zone));
            // Parts of one lot are one grain.
            match found.iter_mut().find(|known| known.origin == origin) {
                Some(known) => known.tests.extend(own),
                None => found.push(EarlierLot {
                    origin,
                    brewed_on,
                    tests: own,
                }),
            }
        }
        Ok(found)
    }
}

impl Act<'_> {
    /// Records a moisture test; one that weighs on the samples of an earlier entry takes its place.
    pub(crate) fn moisture(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        test: &MoistureTest,
        continues: Option<i64>,
    ) -> anyhow::Result<i64> {
        let entry = self.write_checked(lot, at, NewEntry::Moisture)?;
        self.write_test(entry, test)?;
        if let Some(opened) = continues {
            self.transaction.execute(
                "INSERT INTO sample_continued (entry_id, opened) VALUES (?1, ?2)",
                params![entry, opened],
            )?;
        }
        self.list_as_tested(lot.id)?;
        Ok(entry)
    }

    /// Writes what was weighed in a test.
    pub(super) fn write_test(&self, entry: i64, test: &MoistureTest) -> rusqlite::Result<()> {
        let readability = test.laboratory.is_none().then_some(test.readability.get());
        self.transaction.execute(
            "INSERT INTO moisture_test (entry_id, method, readability_mg, laboratory_ppm, laboratory_sd_ppm)
             VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                entry,
                test.method.as_str(),
                readability,
                test.laboratory.as_ref().map(|found| columns::ppm(found.wet_basis.get())),
                test.laboratory.as_ref().map(|found| columns::ppm(found.standard_uncertainty)),
            ],
        )?;
        for (index, sample) in test.samples.iter().enumerate() {
            self.weighing(entry, index, 1, &sample.first)?;
            if let Some(second) = &sample.second {
                self.weighing(entry, index, 2, second)?;
            }
        }
        for (index, sample) in test.open.iter().enumerate() {
            self.pan(entry, test.samples.len() + index, 1, sample.pan, sample.wet)?;
        }
        Ok(())
    }

    fn weighing(
        &self,
        entry: i64,
        index: usize,
        stage: i64,
        weighing: &Weighing,
    ) -> rusqlite::Result<()> {
        let sample = index as i64 + 1;
        self.pan(entry, index, stage, weighing.pan(), weighing.wet())?;
        for (step, dry) in (1_i64..).zip(weighing.dry()) {
            self.transaction.execute(
                "INSERT INTO drying (entry_id, sample, stage, step, dry_mg) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![entry, sample, stage, step, dry.get()],
            )?;
        }
        Ok(())
    }

    fn pan(
        &self,
        entry: i64,
        index: usize,
        stage: i64,
        pan: Milligrams,
        wet: Milligrams,
    ) -> rusqlite::Result<()> {
        self.transaction.execute(
            "INSERT INTO weighing (entry_id, sample, stage, pan_mg, wet_mg) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![entry, index as i64 + 1, stage, pan.get(), wet.get()],
        )?;
        Ok(())
    }

    /// Keeps again whether a lot is on the list of tested ones, and as what.
    pub(super) fn keep_tested(&self, lot_id: i64) -> anyhow::Result<()> {
        self.transaction
            .execute("DELETE FROM tested WHERE lot_id = ?1", params![lot_id])?;
        let view = self.view();
        let lot = view.lot_by_id(lot_id)?;
        if view.is_void(&lot)?.is_none() && !view.tests_of(&[lot_id])?.is_empty() {
            self.list_as_tested(lot_id)?;
        }
        Ok(())
    }

    fn list_as_tested(&self, lot_id: i64) -> rusqlite::Result<()> {
        self.transaction.execute(
            "INSERT OR IGNORE INTO tested (source_id, kind, form, brewed_on, lot_id)
             SELECT coalesce(facts.source_id, lot.source_id), coalesce(facts.kind, lot.kind),
                    coalesce(facts.form, lot.form), brewed_on, lot.id
             FROM lot LEFT JOIN lot_now AS facts ON facts.lot_id = lot.id WHERE lot.id = ?1",
            params![lot_id],
        )?;
        Ok(())
    }
}
