//! Where grain came from and where it went: from lots to what was made of them and back.

use super::in_force::IN_FORCE;
use super::lots::{COLUMNS, FACTS, read_lot};
use super::{EntryKind, LotRecord, TreatmentRecord, View, columns};
use crate::dough::bake_code::BakeCode;
use crate::grain::Ending;
use crate::grain::cereals::{self, Says};
use crate::quantity::{Instant, Milligrams};
use chrono::NaiveDate;
use rusqlite::params;
use std::collections::HashMap;

/// A lot and how it came to be.
#[derive(Debug, Clone)]
pub struct TracedLot {
    /// The lot.
    pub lot: LotRecord,
    /// When it came to be.
    pub came: Instant,
    /// How much it was then.
    pub wet: Milligrams,
    /// How.
    pub how: How,
    /// What it was made of, none if it came in.
    pub made_of: Vec<(LotRecord, Milligrams)>,
    /// Who wrote that down.
    pub by: Option<String>,
    /// What is left of it, and where.
    pub held: Option<(Milligrams, String)>,
}

/// How a lot came to be.
#[derive(Debug, Clone)]
pub enum How {
    /// It came in.
    Pickup,
    /// It was parted off.
    Part,
    /// It came out of a treatment.
    Treatment(Box<TreatmentRecord>),
    /// It was put together.
    Join,
}

/// Grain that left a lot for good.
#[derive(Debug, Clone)]
pub struct Outflow {
    /// When.
    pub at: Instant,
    /// From which lot.
    pub lot: LotRecord,
    /// Where to.
    pub to: Gone,
    /// How much; below nothing where a treatment added water or a count found too much.
    pub wet: Milligrams,
    /// What was said of it.
    pub words: Option<String>,
    /// Who wrote that down.
    pub by: Option<String>,
}

/// Where grain went for good.
#[derive(Debug, Clone)]
pub enum Gone {
    /// Into a bake of the book.
    Bake(BakeCode),
    /// Into something that was only named.
    Said,
    /// To somebody as food.
    Given,
    /// Thrown away.
    Discard(Option<Ending>),
    /// Lost in a treatment.
    Treatment,
    /// Found missing.
    Count,
}

/// Which lots that came in to trace; what is not given does not limit.
#[derive(Debug, Clone, Default)]
pub struct RecallFilter {
    /// A malt or cereal, or a part of its name: lots whose grist names it, and lots that may hold it, see
    /// [`cereals::says`].
    pub grist: Option<String>,
    /// The name of the source.
    pub source: Option<String>,
    /// Brewed from this day to that one.
    pub between: Option<(NaiveDate, NaiveDate)>,
}

/// The grist of a lot as it is known by now.
const GRIST: &str = "CASE WHEN facts.lot_id IS NULL THEN lot.grist ELSE facts.grist END";

/// Lots as SQLite's JSON functions read them: one bound value for any number of lots.
fn list(lots: &[LotRecord]) -> String {
    let ids: Vec<String> = lots.iter().map(|lot| lot.id.to_string()).collect();
    format!("[{}]", ids.join(","))
}

impl View<'_> {
    /// Lots that came in, in the order in which they were brewed.
    pub fn recalled(&self, filter: &RecallFilter) -> anyhow::Result<Vec<LotRecord>> {
        let grists = match &filter.grist {
            Some(asked) => Some(self.grists_that_may_hold(asked)?),
            None => None,
        };
        // By source and day there is an index; a day alone asks it once for each source.
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM source AS brewer CROSS JOIN lot ON lot.source_id = brewer.id {FACTS}
             WHERE (?1 IS NULL OR source.id IN (SELECT value FROM json_each(?1))) AND lot.brewed_on BETWEEN ?2 AND ?3
               AND (?4 IS NULL OR {GRIST} IS NULL OR {GRIST} IN (SELECT value FROM json_each(?4)))
               AND EXISTS (SELECT 1 FROM entry WHERE lot_id = lot.id AND kind = 'pickup' AND {IN_FORCE})
             ORDER BY lot.brewed_on, lot.id"
        ))?;
        let (from, to) = match filter.between {
            Some((from, to)) => (from.to_string(), to.to_string()),
            None => ("0000-00-00".to_owned(), "9999-99-99".to_owned()),
        };
        let found = statement
            .query_map(
                params![
                    self.source_list_with_near(filter.source.as_deref())?,
                    from,
                    to,
                    grists
                ],
                read_lot,
            )?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }

    /// Every grist of the book that names what is asked for, or may hold it, as a JSON array: a book has many
    /// lots and few grists.
    fn grists_that_may_hold(&self, asked: &str) -> anyhow::Result<String> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT grist FROM lot WHERE grist IS NOT NULL UNION SELECT grist FROM lot_now WHERE grist IS NOT NULL")?;
        let mut rows = statement.query([])?;
        let mut found: Vec<String> = Vec::new();
        while let Some(row) = rows.next()? {
            let text: String = row.get(0)?;
            if cereals::says(text.parse().ok().as_ref(), asked) != Says::Without {
                found.push(text);
            }
        }
        Ok(serde_json::to_string(&found)?)
    }

    /// Lots that grain was used of for something that was only named.
    pub fn lots_used_for(&self, words: &str) -> anyhow::Result<Vec<LotRecord>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM lot {FACTS}
             WHERE lot.id IN (SELECT lot_id FROM entry WHERE kind = 'use' AND words = ?1 AND bake_id IS NULL AND {IN_FORCE})
             ORDER BY lot.brewed_on, lot.id"
        ))?;
        let found = statement
            .query_map(params![words], read_lot)?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }

    /// These lots and every lot that grain of them went into, in the order in which they came to be.
    pub fn descendants(&self, lots: &[LotRecord]) -> anyhow::Result<Vec<TracedLot>> {
        self.family(
            lots,
            &format!(
                "SELECT entry.new_lot_id FROM family JOIN entry ON entry.lot_id = family.id
                 WHERE entry.new_lot_id IS NOT NULL AND {IN_FORCE}"
            ),
        )
    }

    /// These lots and every lot that their grain was in before, in the order in which they came to be.
    pub fn ancestors(&self, lots: &[LotRecord]) -> anyhow::Result<Vec<TracedLot>> {
        self.family(
            lots,
            &format!(
                "SELECT entry.lot_id FROM family JOIN entry ON entry.new_lot_id = family.id AND {IN_FORCE}"
            ),
        )
    }

    fn family(&self, lots: &[LotRecord], next: &str) -> anyhow::Result<Vec<TracedLot>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "WITH RECURSIVE family(id) AS (SELECT value FROM json_each(?1) UNION {next})
             SELECT {COLUMNS}, stock.wet_mg, place.name
             FROM family JOIN lot ON lot.id = family.id {FACTS}
             LEFT JOIN stock ON stock.lot_id = lot.id LEFT JOIN place ON place.id = stock.place_id
             ORDER BY lot.id"
        ))?;
        let mut rows = statement.query(params![list(lots)])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let held = row
                .get::<_, Option<i64>>(10)?
                .map(Milligrams::new)
                .zip(row.get::<_, Option<String>>(11)?);
            found.push(self.traced(read_lot(row)?, held)?);
        }
        Ok(found)
    }

    fn traced(
        &self,
        lot: LotRecord,
        held: Option<(Milligrams, String)>,
    ) -> anyhow::Result<TracedLot> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT id, kind, at, recorded_by, lot_id, wet_mg FROM entry
             WHERE ((lot_id = ?1 AND kind = 'pickup') OR new_lot_id = ?1) AND {IN_FORCE} ORDER BY id"
        ))?;
        let mut rows = statement.query(params![lot.id])?;
        let mut found = TracedLot {
            came: Instant::MIN_UTC,
            wet: Milligrams::ZERO,
            how: How::Pickup,
            made_of: Vec::new(),
            by: None,
            held,
            lot,
        };
        while let Some(row) = rows.next()? {
            let kind: EntryKind = row.get(1)?;
            let wet = Milligrams::new(row.get(5)?);
            found.came = columns::instant(row.get(2)?);
            found.by = row.get(3)?;
            let mut came = wet;
            if kind != EntryKind::Pickup {
                found.made_of.push((self.lot_by_id(row.get(4)?)?, wet));
                found.how = match kind {
                    EntryKind::Part => How::Part,
                    EntryKind::Join => How::Join,
                    _ => {
                        let record = self.treatment(row.get(0)?)?;
                        came = record.treatment.wet_out;
                        How::Treatment(Box::new(record))
                    }
                };
            }
            found.wet = Milligrams::new(found.wet.get() + came.get());
        }
        Ok(found)
    }

    /// What left these lots for good, in the order in which it happened.
    pub fn outflows(&self, lots: &[LotRecord]) -> anyhow::Result<Vec<Outflow>> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT entry.at, entry.kind, entry.lot_id, entry.wet_mg, entry.words, entry.recorded_by, entry.bake_id,
                    entry.ending, treatment.out_mg, stock_count.less_mg
             FROM json_each(?1) JOIN entry ON entry.lot_id = value
             LEFT JOIN treatment ON treatment.entry_id = entry.id
             LEFT JOIN stock_count ON stock_count.entry_id = entry.id
             WHERE entry.kind IN {kinds} AND {IN_FORCE}
             ORDER BY entry.at, entry.id",
            kinds = EntryKind::list(EntryKind::leaves_for_good)
        ))?;
        let by_id: HashMap<i64, &LotRecord> = lots.iter().map(|lot| (lot.id, lot)).collect();
        let mut rows = statement.query(params![list(lots)])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(2)?;
            let Some(lot) = by_id.get(&id) else {
                continue;
            };
            let weighed = || row.get::<_, i64>(3);
            let (to, wet) = match row.get(1)? {
                EntryKind::Use => match row.get::<_, Option<u32>>(6)? {
                    Some(bake) => (Gone::Bake(BakeCode::new(bake)), weighed()?),
                    None => (Gone::Said, weighed()?),
                },
                EntryKind::Discard => (Gone::Discard(columns::ending(row.get(7)?)?), weighed()?),
                EntryKind::Give => (Gone::Given, weighed()?),
                EntryKind::Treat => (Gone::Treatment, weighed()? - row.get::<_, i64>(8)?),
                _ => (Gone::Count, row.get(9)?),
            };
            found.push(Outflow {
                at: columns::instant(row.get(0)?),
                lot: (*lot).clone(),
                to,
                wet: Milligrams::new(wet),
                words: row.get(4)?,
                by: row.get(5)?,
            });
        }
        Ok(found)
    }
}
