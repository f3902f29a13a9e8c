//! What left lots for good: into bakes, thrown away, lost in treatments, found missing.

use super::in_force::IN_FORCE;
use super::{EntryKind, LotRecord, TreatmentRecord, View, columns};
use crate::dough::bake_code::BakeCode;
use crate::grain::Ending;
use crate::quantity::{Instant, Milligrams};
use rusqlite::params;
use std::collections::HashMap;

/// How grain left a lot for good.
#[derive(Debug, Clone)]
pub enum Taken {
    /// It went into a bake.
    Bake,
    /// It was thrown away; how it ended, where that was said.
    Discard(Option<Ending>),
    /// It went to somebody as food.
    Given,
    /// It is what came out less than went into a treatment.
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
    pub lot: LotRecord,
    /// How.
    pub taken: Taken,
    /// The bake in words, the formula of a bake of the book, the reason, or the note.
    pub words: String,
    /// The bake of the book.
    pub bake: Option<BakeCode>,
    /// How much; below nothing where a treatment added water or a count found too much.
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

impl View<'_> {
    /// What was taken from lots for good, in the order in which it happened.
    pub fn usage(&self, filter: &UsageFilter<'_>) -> anyhow::Result<Vec<UsageRecord>> {
        let _still = self.hold_still()?;
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT at, kind, words, wet_mg, recorded_by, lot_id, bake_id, ending, id FROM entry
             WHERE kind IN {kinds} AND at >= ?1 AND at < ?2 AND (?3 IS NULL OR lot_id = ?3) AND {IN_FORCE}
             ORDER BY at, id",
            kinds = EntryKind::list(EntryKind::leaves_for_good)
        ))?;
        let sources = match filter.source {
            Some(name) => Some(self.sources_called(name)?),
            None => None,
        };
        let mut rows = statement.query(params![
            filter.from.map_or(i64::MIN, columns::seconds),
            filter.before.map_or(i64::MAX, columns::seconds),
            filter.lot.map(|lot| lot.id)
        ])?;
        let mut found = Vec::new();
        let mut lots: HashMap<i64, LotRecord> = HashMap::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(5)?;
            let lot = match lots.get(&id) {
                Some(lot) => lot.clone(),
                None => lots.entry(id).or_insert(self.lot_by_id(id)?).clone(),
            };
            if sources
                .as_ref()
                .is_some_and(|sources| !sources.iter().any(|source| source.name == lot.source))
            {
                continue;
            }
            let entry: i64 = row.get(8)?;
            let weighed = || row.get(3).map(Milligrams::new);
            let (taken, wet) = match row.get(1)? {
                EntryKind::Use => (Taken::Bake, weighed()?),
                EntryKind::Discard => (Taken::Discard(columns::ending(row.get(7)?)?), weighed()?),
                EntryKind::Give => (Taken::Given, weighed()?),
                EntryKind::Treat => {
                    let treated = self.treatment(entry)?;
                    let loss = treated.treatment.wet_loss();
                    (Taken::Treatment(Box::new(treated)), loss)
                }
                _ => (Taken::Count, self.stock_count(entry)?.less),
            };
            if wet == Milligrams::ZERO {
                continue;
            }
            found.push(UsageRecord {
                at: columns::instant(row.get(0)?),
                lot,
                taken,
                words: row.get::<_, Option<String>>(2)?.unwrap_or_default(),
                wet,
                by: row.get(4)?,
                bake: row.get::<_, Option<u32>>(6)?.map(BakeCode::new),
            });
        }
        Ok(found)
    }
}
