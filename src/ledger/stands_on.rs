//! What stands on the entry by which a lot came.

use super::in_force::IN_FORCE;
use super::strike::Struck;
use super::{Act, EntryKind};
use rusqlite::params;
use std::collections::BTreeSet;

impl Act<'_> {
    /// All that has to be struck before an entry by which a lot came, the newest first.
    pub(crate) fn stands_on_entry(&self, entry: i64) -> anyhow::Result<Vec<i64>> {
        self.stands_on(&self.struck(entry)?)
    }

    /// The same of an entry of any kind: nothing where no lot came by it.
    pub(super) fn stands_on(&self, entry: &Struck) -> anyhow::Result<Vec<i64>> {
        let arrived = match entry.kind {
            EntryKind::Pickup => entry.lot,
            kind if kind.makes_lot() => entry.new_lot,
            _ => None,
        };
        let mut standing = BTreeSet::new();
        if let Some(lot) = arrived {
            self.add_what_stands_on(lot, entry.kind, &mut standing)?;
        }
        Ok(standing.into_iter().rev().collect())
    }

    /// Adds all that has to be struck before what made a lot: what was done with it, and with the lots that were made of it
    /// since. A bake stands for the grain that it took, and an entry that corrects another brings it.
    fn add_what_stands_on(
        &self,
        lot: i64,
        made_by: EntryKind,
        standing: &mut BTreeSet<i64>,
    ) -> anyhow::Result<()> {
        let kinds = EntryKind::list(|kind| {
            kind.moves_grain() && kind != EntryKind::Pickup
                || kind == EntryKind::Spoiled
                || made_by.makes_lot() && kind.finds()
        });
        let found: Vec<i64> = self
            .transaction
            .prepare(&format!(
                "SELECT id FROM entry WHERE lot_id = ?1 AND kind IN {kinds} AND {IN_FORCE}"
            ))?
            .query_map(params![lot], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        for entry in found {
            let is = self.struck(entry)?;
            let done = match (is.kind, is.bake) {
                (EntryKind::Use, Some(bake)) => self.ended(bake, None)?,
                _ => None,
            };
            standing.extend(match done {
                Some(done) => self.strikes_of_done(done)?,
                None => self.corrections_of(entry)?,
            });
            if let Some(made) = is.new_lot.filter(|made| *made != lot) {
                self.add_what_stands_on(made, is.kind, standing)?;
            }
        }
        Ok(())
    }
}
