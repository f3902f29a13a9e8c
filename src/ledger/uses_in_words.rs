//! Uses whose bake the book holds as a text. Earlier versions took the code of a bake for the name of anything.

use super::in_force::IN_FORCE;
use super::{BakeEnd, BakeRecord, EntryKind, LotNumbers, LotRecord, View, columns};
use crate::dough::bake_code::BakeCode;
use crate::quantity::{Instant, Milligrams};
use rusqlite::params;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// Grain that was used for a bake of the book whose code stands in the words of the entry alone.
#[derive(Debug, Clone)]
pub struct UseInWords {
    /// The entry.
    pub entry: i64,
    /// When.
    pub at: Instant,
    /// The bake.
    pub bake: BakeCode,
    /// The lot.
    pub lot: LotRecord,
    /// How much.
    pub wet: Milligrams,
}

/// The bakes of the book into which grain went, each read once.
#[derive(Default)]
pub(super) struct BakesOfUses(HashMap<BakeCode, Option<BakeRecord>>);

impl BakesOfUses {
    /// The bake of a use, by its number or else by its words; nothing where these are no code of the book.
    pub(super) fn of_use(
        &mut self,
        view: View<'_>,
        bake: Option<BakeCode>,
        words: Option<&str>,
    ) -> anyhow::Result<Option<&BakeRecord>> {
        let Some(code) = bake.or_else(|| words.and_then(BakeCode::meant_by)) else {
            return Ok(None);
        };
        let bake = match self.0.entry(code) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(new) => new.insert(view.bake_by_code(code)?),
        };
        Ok(bake.as_ref())
    }
}

impl View<'_> {
    /// The bake of the book whose code a text is, and nothing else.
    pub fn bake_in_words(&self, text: &str) -> anyhow::Result<Option<BakeRecord>> {
        match BakeCode::meant_by(text) {
            Some(code) => self.bake_by_code(code),
            None => Ok(None),
        }
    }

    /// Every use whose words are the code of a bake of the book, and that has no other word of that bake.
    pub fn uses_in_words(&self) -> anyhow::Result<Vec<UseInWords>> {
        // Each text once, from the index alone. What is no text is told where its entry is read.
        let mut said = self
            .connection
            .prepare_cached("SELECT DISTINCT words FROM entry WHERE kind = 'use'")?;
        let mut uses = self.connection.prepare_cached(&format!(
            "SELECT id, lot_id, wet_mg, at FROM entry
             WHERE kind = 'use' AND words = ?1 AND bake_id IS NULL AND {IN_FORCE}"
        ))?;
        let mut rows = said.query([])?;
        let mut bakes = BakesOfUses::default();
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let Ok(Some(words)) = row.get_ref(0)?.as_str_or_null() else {
                continue;
            };
            let Some(bake) = bakes.of_use(*self, None, Some(words))? else {
                continue;
            };
            let mut of_words = uses.query(params![words])?;
            while let Some(row) = of_words.next()? {
                found.push(UseInWords {
                    entry: row.get(0)?,
                    at: columns::instant(row.get(3)?),
                    bake: bake.code,
                    lot: self.lot_by_id(row.get(1)?)?,
                    wet: Milligrams::new(row.get(2)?),
                });
            }
        }
        found.sort_by_key(|one| one.entry);
        Ok(found)
    }

    /// The entries among them that are of one bake.
    pub fn entries_in_words(&self, bake: BakeCode) -> anyhow::Result<Vec<i64>> {
        let mut uses = self.uses_in_words()?;
        uses.retain(|one| one.bake == bake);
        Ok(uses.into_iter().map(|one| one.entry).collect())
    }

    /// Lots whose grain a bake took, by its result or by a use that has its code in words.
    pub fn lots_in_bake(&self, bake: &BakeRecord) -> anyhow::Result<LotNumbers> {
        let mut lots: Vec<i64> = Vec::new();
        if let Some(BakeEnd::Done(result)) = &bake.end {
            lots.extend(result.draws.iter().map(|(lot, _)| lot.id));
        }
        let uses = self.uses_in_words()?;
        let of_bake = uses.iter().filter(|one| one.bake == bake.code);
        lots.extend(of_bake.map(|one| one.lot.id));
        Ok(lots.into_iter().collect())
    }

    /// Lots that grain was used of for something that was only named.
    pub fn lots_used_for(&self, words: &str) -> anyhow::Result<LotNumbers> {
        Ok(self
            .connection
            .prepare_cached(&format!(
                "SELECT DISTINCT lot_id FROM entry WHERE kind IN {eaten} AND words = ?1 AND bake_id IS NULL AND {IN_FORCE}",
                eaten = EntryKind::list(EntryKind::is_eaten)
            ))?
            .query_map(params![words], |row| row.get::<_, i64>(0))?
            .collect::<Result<_, _>>()?)
    }
}
