//! What left lots for good: into bakes, thrown away, lost in treatments, found missing.

use super::failure::in_entry;
use super::in_force::IN_FORCE;
use super::lots::KnownLots;
use super::uses_in_words::BakesOfUses;
use super::{EntryKind, LotRecord, TreatmentRecord, View, columns};
use crate::dough::bake_code::BakeCode;
use crate::grain::Ending;
use crate::quantity::{Instant, Milligrams};
use rusqlite::params;
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::sync::Arc;

/// How grain left a lot for good.
#[derive(Debug, Clone)]
pub enum UsageKind {
    /// It went into a bake.
    Bake,
    /// It was thrown away; how it ended, where that was said.
    Discard(Option<Ending>),
    /// It went to somebody as food.
    Given,
    /// It was lost in a treatment, or it is water that was added there.
    Treatment(Box<TreatmentRecord>),
    /// It was found missing, or too much, in a count.
    Count,
}

/// Grain that left a lot for good.
#[derive(Debug, Clone)]
pub struct UsageRecord {
    /// When.
    pub at: Instant,
    /// From which lot.
    pub lot: Arc<LotRecord>,
    /// The sources of the grain in that, its own first.
    pub sources: Arc<[String]>,
    /// How.
    pub kind: UsageKind,
    /// The bake in words, the formula of a bake of the book, the reason, or the note.
    pub words: String,
    /// The bake of the book.
    pub bake: Option<BakeCode>,
    /// How much; negative where a treatment added water or a count found too much.
    pub wet: Milligrams,
    /// Who recorded it first.
    pub by: Option<String>,
}

impl UsageRecord {
    /// The water that was added in the treatment that this was lost in, where it is one: what came, and no loss.
    fn water_added(&self) -> Option<Self> {
        let UsageKind::Treatment(treated) = &self.kind else {
            return None;
        };
        let water = treated.treatment.water;
        (water != Milligrams::ZERO).then(|| Self {
            wet: Milligrams::new(-water.get()),
            ..self.clone()
        })
    }
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

/// Where a list of usage goes on: after what was taken at this moment by this entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UsageMark(i64, i64);

/// A piece of a list of usage.
#[derive(Debug, Clone)]
pub struct UsageBatch {
    /// What was taken, in the order in which it happened.
    pub records: Vec<UsageRecord>,
    /// Where the list goes on; nothing where it has ended.
    pub next: Option<UsageMark>,
}

impl View<'_> {
    /// What was taken from lots for good, from a mark on; no more than `most` entries are looked at.
    pub fn usage(
        &self,
        filter: &UsageFilter<'_>,
        after: Option<UsageMark>,
        most: usize,
    ) -> anyhow::Result<UsageBatch> {
        let _still = self.hold_still()?;
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT at, kind, words, wet_mg, recorded_by, lot_id, bake_id, ending, id, amends_entry_id FROM entry
             WHERE kind IN {kinds} AND at >= ?1 AND (at > ?1 OR id > ?4) AND at < ?2 AND (?3 IS NULL OR lot_id = ?3)
               AND {IN_FORCE}
             ORDER BY at, id LIMIT ?5",
            kinds = EntryKind::list(EntryKind::may_leave_book)
        ))?;
        let sources = match filter.source {
            Some(name) => Some(self.sources_called(name)?),
            None => None,
        };
        let is_asked_for = |names: &[String]| {
            sources
                .as_ref()
                .is_none_or(|sources| sources.iter().any(|source| names.contains(&source.name)))
        };
        let from = filter.from.map_or(i64::MIN, columns::seconds);
        let UsageMark(from, after) = after.unwrap_or(UsageMark(from, i64::MIN));
        let mut rows = statement.query(params![
            from,
            filter.before.map_or(i64::MAX, columns::seconds),
            filter.lot.map(|lot| lot.id),
            after,
            i64::try_from(most).unwrap_or(i64::MAX)
        ])?;
        let mut batch = UsageBatch {
            records: Vec::new(),
            next: None,
        };
        let mut looked_at = 0;
        let mut lots = KnownLots::default();
        let mut named: HashMap<i64, Arc<[String]>> = HashMap::new();
        let mut bakes = BakesOfUses::default();
        while let Some(row) = rows.next()? {
            let (at, entry): (i64, i64) = (row.get(0)?, row.get(8)?);
            let of_entry = |error| in_entry(error, entry);
            looked_at += 1;
            batch.next = (looked_at == most).then_some(UsageMark(at, entry));
            let lot = lots.get(*self, row.get(5)?)?;
            let of_lot = match named.entry(lot.id) {
                Entry::Occupied(known) => known.into_mut(),
                Entry::Vacant(new) => new.insert(self.sources_in(&lot)?.into()),
            };
            if !is_asked_for(of_lot) {
                continue;
            }
            let sources = Arc::clone(of_lot);
            let weighed = || row.get(3).map(Milligrams::new);
            let (kind, wet) = match row.get(1).map_err(of_entry)? {
                EntryKind::Use => (UsageKind::Bake, weighed()?),
                EntryKind::Discard => (
                    UsageKind::Discard(row.get(7).and_then(columns::ending).map_err(of_entry)?),
                    weighed()?,
                ),
                EntryKind::Give => (UsageKind::Given, weighed()?),
                EntryKind::Treat => {
                    let treated = self.treatment(entry)?;
                    let lost = treated.treatment.water.get() + treated.treatment.wet_loss().get();
                    (
                        UsageKind::Treatment(Box::new(treated)),
                        Milligrams::new(lost),
                    )
                }
                _ => (UsageKind::Count, self.stock_count(entry)?.less),
            };
            let mut record = UsageRecord {
                at: columns::instant(at),
                lot,
                sources,
                kind,
                words: row
                    .get::<_, Option<String>>(2)
                    .map_err(of_entry)?
                    .unwrap_or_default(),
                wet,
                by: self.writers(row.get(4).map_err(of_entry)?, row.get(9)?)?.by,
                bake: row.get::<_, Option<u32>>(6)?.map(BakeCode::new),
            };
            if matches!(record.kind, UsageKind::Bake) && record.bake.is_none() {
                let words = Some(record.words.as_str());
                if let Some(bake) = bakes.of_use(*self, None, words)? {
                    record.bake = Some(bake.code);
                    record.words = bake.setting.formula.name.clone();
                }
            }
            batch.records.extend(record.water_added());
            if record.wet != Milligrams::ZERO {
                batch.records.push(record);
            }
        }
        Ok(batch)
    }
}
