//! Where grain came from and where it went: from lots to what was made of them and back.

use super::failure::in_entry;
use super::grists::GRIST;
use super::in_force::{FIRST, IN_FORCE};
use super::lots::{FACTS, KnownLots};
use super::uses_in_words::BakesOfUses;
use super::{EntryKind, LotRecord, Pieces, TreatmentRecord, View, Writers, columns};
use crate::dough::bake_code::BakeCode;
use crate::grain::Ending;
use crate::grain::cereals::{self, Says};
use crate::quantity::{Instant, Milligrams};
use chrono::NaiveDate;
use rusqlite::params;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

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
    pub writers: Writers,
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
    pub lot: Arc<LotRecord>,
    /// Where to.
    pub to: Destination,
    /// How much; negative where a treatment added water or a count found too much.
    pub wet: Milligrams,
    /// Whether people ate or are to eat it and it was past or unknown then, by what is known now. The keeping clock
    /// says so, not the book: nobody has asked it yet where this is false.
    pub unusable: bool,
    /// What the bake of the book into which it went was to be free of.
    pub free_of: Option<String>,
    /// What was said of it.
    pub words: Option<String>,
    /// Who wrote that down.
    pub writers: Writers,
}

impl Outflow {
    /// Whether it went into a bake, of the book or only named.
    pub const fn is_baked(&self) -> bool {
        matches!(self.to, Destination::Bake { .. } | Destination::Named)
    }
}

/// Where grain went for good.
#[derive(Debug, Clone)]
pub enum Destination {
    /// Into a bake of the book.
    Bake {
        /// Its code.
        code: BakeCode,
        /// Its pieces.
        pieces: Pieces,
    },
    /// Into something that was only named.
    Named,
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

/// Lots by their numbers, in the order in which they came to be: some bytes a lot, however many there are.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LotNumbers(Vec<i64>);

impl LotNumbers {
    /// The numbers.
    pub fn as_slice(&self) -> &[i64] {
        &self.0
    }

    /// Whether this lot is among them.
    pub fn holds(&self, lot: &LotRecord) -> bool {
        self.0.binary_search(&lot.id).is_ok()
    }

    /// Those that are not among the others.
    pub fn without(&self, others: &Self) -> Self {
        let is_other = |id: &i64| others.0.binary_search(id).is_ok();
        Self(self.0.iter().copied().filter(|id| !is_other(id)).collect())
    }
}

impl FromIterator<i64> for LotNumbers {
    fn from_iter<T: IntoIterator<Item = i64>>(numbers: T) -> Self {
        let mut numbers: Vec<i64> = numbers.into_iter().collect();
        numbers.sort_unstable();
        numbers.dedup();
        Self(numbers)
    }
}

impl<'l> FromIterator<&'l LotRecord> for LotNumbers {
    fn from_iter<T: IntoIterator<Item = &'l LotRecord>>(lots: T) -> Self {
        lots.into_iter().map(|lot| lot.id).collect()
    }
}

/// Lots that a recall is of.
#[derive(Debug, Clone, Default)]
pub struct Recalled {
    /// In the order in which they were brewed.
    pub lots: LotNumbers,
    /// Those of them whose grist names what was asked for.
    pub named: LotNumbers,
    /// Those of them whose grist is not known, in the order in which they were brewed.
    pub grist_unknown: Vec<i64>,
}

/// Which of the grain that left lots is meant.
#[derive(Debug, Clone, Copy)]
pub enum Of<'a> {
    /// All of it.
    All,
    /// What went into this bake.
    Bake(BakeCode),
    /// What went into something, or to somebody, that was only named.
    Said(&'a str),
}

/// Numbers as SQLite's JSON functions read them: one bound value for any number.
pub(super) fn list(numbers: &[i64]) -> String {
    let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    format!("[{}]", numbers.join(","))
}

impl View<'_> {
    /// Lots that came in.
    pub fn recalled(&self, filter: &RecallFilter) -> anyhow::Result<Recalled> {
        let grists = match &filter.grist {
            Some(asked) => Some(self.grists_that_may_hold(asked)?),
            None => None,
        };
        // By source and day there is an index; a day alone asks it once for each source. Corrected mash-outs are few.
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT lot.id, {GRIST} FROM source AS brewer CROSS JOIN lot ON lot.source_id = brewer.id {FACTS}
             WHERE (?1 IS NULL OR source.id IN (SELECT value FROM json_each(?1))) AND (lot.brewed_on BETWEEN ?2 AND ?3
                 OR lot.id IN (SELECT lot_id FROM lot_now WHERE mash_out_at BETWEEN ?5 AND ?6))
               AND (?4 IS NULL OR {GRIST} IS NULL OR {GRIST} IN (SELECT value FROM json_each(?4)))
               AND EXISTS (SELECT 1 FROM entry WHERE lot_id = lot.id AND kind = 'pickup' AND {IN_FORCE})
             ORDER BY lot.brewed_on, lot.id"
        ))?;
        let (from, to) = match filter.between {
            Some((from, to)) => (from.to_string(), to.to_string()),
            None => ("0000-00-00".to_owned(), "9999-99-99".to_owned()),
        };
        let mashed = filter.between.map(|(from, to)| {
            let zone = &self.about.zone;
            [zone.start_of_day(from), zone.end_of_day(to)].map(columns::seconds)
        });
        let [mashed_from, mashed_to] = mashed.map_or([None; 2], |mashed| mashed.map(Some));
        let sources = self.source_list_with_near(filter.source.as_deref())?;
        let mut rows =
            statement.query(params![sources, from, to, grists, mashed_from, mashed_to])?;
        let (mut lots, mut named, mut grist_unknown) = (Vec::new(), Vec::new(), Vec::new());
        let mut known: HashMap<String, Says> = HashMap::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(0)?;
            lots.push(id);
            let Some(asked) = &filter.grist else {
                continue;
            };
            let Some(grist) = row.get::<_, Option<String>>(1)? else {
                grist_unknown.push(id);
                continue;
            };
            let says = known
                .entry(grist)
                .or_insert_with_key(|grist| cereals::says(grist.parse().ok().as_ref(), asked));
            if *says == Says::Names {
                named.push(id);
            }
        }
        Ok(Recalled {
            lots: lots.into_iter().collect(),
            named: named.into_iter().collect(),
            grist_unknown,
        })
    }

    /// These lots and every lot that grain of them went into.
    pub fn descendants(&self, lots: &LotNumbers) -> anyhow::Result<LotNumbers> {
        self.family(
            lots,
            &format!(
                "SELECT entry.new_lot_id FROM family JOIN entry ON entry.lot_id = family.id
                 WHERE entry.new_lot_id IS NOT NULL AND {IN_FORCE}"
            ),
        )
    }

    /// These lots and every lot that their grain was in before.
    pub fn ancestors(&self, lots: &LotNumbers) -> anyhow::Result<LotNumbers> {
        self.family(
            lots,
            &format!(
                "SELECT entry.lot_id FROM family JOIN entry ON entry.new_lot_id = family.id AND {IN_FORCE}"
            ),
        )
    }

    fn family(&self, lots: &LotNumbers, next: &str) -> anyhow::Result<LotNumbers> {
        Ok(self
            .connection
            .prepare_cached(&format!(
                "WITH RECURSIVE family(id) AS (SELECT value FROM json_each(?1) UNION {next}) SELECT id FROM family"
            ))?
            .query_map(params![list(lots.as_slice())], |row| row.get::<_, i64>(0))?
            .collect::<Result<_, _>>()?)
    }

    /// What is on hand of each lot, and where, by the lot's number.
    pub fn held_by_number(&self) -> anyhow::Result<BTreeMap<i64, (Milligrams, String)>> {
        let mut statement = self.connection.prepare_cached(
            "SELECT lot_id, wet_mg, place.name FROM stock JOIN place ON place.id = stock.place_id",
        )?;
        let mut rows = statement.query([])?;
        let mut held = BTreeMap::new();
        while let Some(row) = rows.next()? {
            held.insert(row.get(0)?, (Milligrams::new(row.get(1)?), row.get(2)?));
        }
        Ok(held)
    }

    /// Lots of these numbers, in this order, with how they came to be and what of `held` is theirs.
    pub fn traced_lots(
        &self,
        numbers: &[i64],
        held: &BTreeMap<i64, (Milligrams, String)>,
    ) -> anyhow::Result<Vec<TracedLot>> {
        let traced = |id: &i64| self.traced(self.lot_by_id(*id)?, held.get(id).cloned());
        numbers.iter().map(traced).collect()
    }

    fn traced(
        &self,
        lot: LotRecord,
        held: Option<(Milligrams, String)>,
    ) -> anyhow::Result<TracedLot> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT id, kind, at, recorded_by, lot_id, wet_mg, amends_entry_id FROM entry
             WHERE ((lot_id = ?1 AND kind = 'pickup') OR new_lot_id = ?1) AND {IN_FORCE} ORDER BY id"
        ))?;
        let mut rows = statement.query(params![lot.id])?;
        let mut found = TracedLot {
            came: Instant::MIN_UTC,
            wet: Milligrams::ZERO,
            how: How::Pickup,
            made_of: Vec::new(),
            writers: Writers::default(),
            held,
            lot,
        };
        while let Some(row) = rows.next()? {
            let (entry, kind): (i64, EntryKind) = (row.get(0)?, row.get(1)?);
            let wet = Milligrams::new(row.get(5)?);
            let by = row.get(3).map_err(|error| in_entry(error, entry))?;
            found.came = columns::instant(row.get(2)?);
            found.writers = self.writers(by, row.get(6)?)?;
            let mut came = wet;
            if kind != EntryKind::Pickup {
                found.made_of.push((self.lot_by_id(row.get(4)?)?, wet));
                found.how = match kind {
                    EntryKind::Part => How::Part,
                    EntryKind::Join => How::Join,
                    _ => {
                        let record = self.treatment(entry)?;
                        came = record.treatment.wet_out;
                        How::Treatment(Box::new(record))
                    }
                };
            }
            found.wet = Milligrams::new(found.wet.get() + came.get());
        }
        Ok(found)
    }

    /// The entries by which grain left these lots for good, in the order in which it happened.
    pub fn outflow_numbers(&self, lots: &LotNumbers, of: Of<'_>) -> anyhow::Result<Vec<i64>> {
        let (bake, said) = match of {
            Of::All => (None, None),
            Of::Bake(code) => (Some(code), None),
            Of::Said(words) => (None, Some(words)),
        };
        let in_words = bake.map(|bake| self.entries_in_words(bake)).transpose()?;
        Ok(self
            .connection
            .prepare_cached(&format!(
                "SELECT entry.id FROM json_each(?1) JOIN entry ON entry.lot_id = value
                 WHERE entry.kind IN {kinds} AND {IN_FORCE}
                   AND (?2 IS NULL OR (kind = 'use' AND bake_id = ?2) OR entry.id IN (SELECT value FROM json_each(?4)))
                   AND (?3 IS NULL OR (kind IN {eaten} AND bake_id IS NULL AND words = ?3))
                 ORDER BY entry.at, {FIRST}",
                kinds = EntryKind::list(EntryKind::may_leave_book),
                eaten = EntryKind::list(EntryKind::is_eaten)
            ))?
            .query_map(
                params![
                    list(lots.as_slice()),
                    bake.map(BakeCode::number),
                    said,
                    in_words.map(|entries| list(&entries))
                ],
                |row| row.get(0),
            )?
            .collect::<Result<_, _>>()?)
    }

    /// What left lots by the entries of these numbers, in this order.
    pub fn outflows(&self, numbers: &[i64]) -> anyhow::Result<Vec<Outflow>> {
        let mut statement = self.connection.prepare_cached(
            "SELECT entry.at, entry.kind, entry.lot_id, entry.wet_mg, entry.words, entry.recorded_by, entry.bake_id,
                    entry.ending, treatment.out_mg, stock_count.less_mg, treatment.water_mg, entry.amends_entry_id, entry.id
             FROM json_each(?1) AS asked CROSS JOIN entry ON entry.id = asked.value
             LEFT JOIN treatment ON treatment.entry_id = entry.id
             LEFT JOIN stock_count ON stock_count.entry_id = entry.id
             ORDER BY asked.key",
        )?;
        let mut rows = statement.query(params![list(numbers)])?;
        let mut lots = KnownLots::default();
        let mut bakes = BakesOfUses::default();
        let mut found = Vec::with_capacity(numbers.len());
        while let Some(row) = rows.next()? {
            let entry: i64 = row.get(12)?;
            let of_entry = |error| in_entry(error, entry);
            let weighed = || row.get::<_, i64>(3);
            let mut words: Option<String> = row.get(4).map_err(of_entry)?;
            let mut free_of: Option<String> = None;
            let (to, wet) = match row.get(1)? {
                EntryKind::Use => {
                    let code = row.get::<_, Option<u32>>(6)?.map(BakeCode::new);
                    let to = match bakes.of_use(*self, code, words.as_deref())? {
                        Some(bake) => {
                            // Beside the number of a bake the words are its formula.
                            if code.is_none() {
                                words = Some(bake.setting.formula.name.clone());
                            }
                            free_of.clone_from(&bake.setting.free_of);
                            let (code, pieces) = (bake.code, bake.pieces());
                            Destination::Bake { code, pieces }
                        }
                        None => Destination::Named,
                    };
                    (to, weighed()?)
                }
                EntryKind::Discard => (
                    Destination::Discard(columns::ending(row.get(7)?)?),
                    weighed()?,
                ),
                EntryKind::Give => (Destination::Given, weighed()?),
                EntryKind::Treat => (Destination::Treatment, weighed()? - row.get::<_, i64>(8)?),
                _ => (Destination::Count, row.get(9)?),
            };
            let out = Outflow {
                at: columns::instant(row.get(0)?),
                lot: lots.get(*self, row.get(2)?)?,
                to,
                wet: Milligrams::new(wet),
                unusable: false,
                free_of,
                words,
                writers: self.writers(row.get(5).map_err(of_entry)?, row.get(11)?)?,
            };
            // What came out is less than grain and added water together: both are shown.
            let added = row.get::<_, Option<i64>>(10)?.unwrap_or(0);
            if added > 0 {
                found.push(Outflow {
                    wet: Milligrams::new(-added),
                    ..out.clone()
                });
            }
            found.push(Outflow {
                wet: Milligrams::new(wet + added),
                ..out
            });
        }
        Ok(found)
    }
}
