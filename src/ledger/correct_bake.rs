//! Correcting what a bake came to: another record takes its place, whole, and its grain goes along to another time.

use super::new_entry::NewEntry;
use super::refusal::NotStruck;
use super::strike::Struck;
use super::{Act, Amended, BakeRecord, BakeResult, BookRefusal, EntryKind, EntryRecord, LogFilter};
use crate::quantity::Instant;
use anyhow::Context;
use std::collections::BTreeSet;

impl Act<'_> {
    /// Puts what a bake came to in the place of the entry that says it so far; gives its number. At another time its grain
    /// is drawn then too. Whether that grain could be used then is the caller's question to the keeping clock.
    pub(crate) fn correct_bake(
        &mut self,
        old: &EntryRecord,
        (bake, result): (&BakeRecord, &BakeResult),
        reason: &str,
    ) -> anyhow::Result<i64> {
        self.refuse_out_of_force(old.entry)?;
        self.refuse_future(result.at)?;
        self.refuse_after_it_was_written(old, result.at)?;
        let moved = if result.at == old.at {
            Vec::new()
        } else {
            self.draw_at(bake, result.at, reason)?
        };
        let entry = NewEntry::Baked(bake.id, result.note.as_deref()).write_amending(
            &self.transaction,
            (None, result.at),
            &self.signature,
            (old.entry, reason),
        )?;
        self.write_result(entry, bake, result)?;
        self.go_with(&moved, entry)?;
        self.settle(old.entry)?;
        self.keep_bake(bake.id)?;
        Ok(entry)
    }

    /// Draws the grain of a bake at another moment; gives the entries that say so.
    fn draw_at(
        &mut self,
        bake: &BakeRecord,
        at: Instant,
        reason: &str,
    ) -> anyhow::Result<Vec<i64>> {
        let draws = self.view().log(&LogFilter {
            bake: Some(bake.code),
            kind: Some(EntryKind::Use),
            ..LogFilter::default()
        })?;
        let mut moved = Vec::new();
        for draw in draws.iter().filter(|draw| draw.says_something_in_force()) {
            let code = draw.lot.context("the grain is of no lot")?;
            let lot = self.view().lot(&code.to_string())?;
            let new = Amended {
                lot: &lot,
                at,
                wet: draw.wet,
                temperature: None,
                place: None,
                words: draw.words.as_deref(),
                ending: None,
                activity: None,
                test: None,
                treated: None,
                arrival: None,
            };
            moved.push(self.correct(draw, &new, reason)?);
        }
        Ok(moved)
    }

    /// The grain of a bake that was corrected to another time goes back with the bake alone, and as the bake moved it.
    pub(super) fn refuse_strike_of_moved_grain(
        &self,
        entry: i64,
        struck: &Struck,
    ) -> anyhow::Result<()> {
        let refuse = |why| BookRefusal::NotStruck { entry, why }.into();
        match (struck.kind, struck.bake) {
            (EntryKind::Use, Some(_)) => match self.leader_in_force(entry)? {
                Some(bake) => Err(refuse(NotStruck::MovedWithBake(bake))),
                None => Ok(()),
            },
            (EntryKind::Baked, _) => {
                let since = self.grain_corrected_since(entry)?;
                if !since.is_empty() {
                    return Err(refuse(NotStruck::GrainCorrectedSince(since)));
                }
                for draw in self.all_with(entry)? {
                    let moved = self.struck(draw)?;
                    if let Some(amends) = moved.amends {
                        self.refuse_unfit_again((draw, &moved), amends)?;
                    }
                }
                Ok(())
            }
            _ => Ok(()),
        }
    }

    /// Corrections of grain that an entry moved with its bake, written since and by themselves, the newest first.
    fn grain_corrected_since(&self, baked: i64) -> anyhow::Result<Vec<i64>> {
        let mut since = BTreeSet::new();
        for mut draw in self.all_with(baked)? {
            while let Some((by, false)) = self.view().taken_out_by(draw)? {
                // What went along with a later time of the bake goes back with that.
                if self.leader(by)?.is_none() {
                    since.insert(by);
                }
                draw = by;
            }
        }
        Ok(since.into_iter().rev().collect())
    }

    /// All that has to be struck so that a bake is done no more, the newest first: the entry that says it is, those that it
    /// takes the place of, and what was corrected since of grain that these moved.
    pub(super) fn strikes_of_done(&self, done: i64) -> anyhow::Result<Vec<i64>> {
        let mut all = BTreeSet::new();
        for entry in self.corrections_of(done)? {
            all.insert(entry);
            all.extend(self.grain_corrected_since(entry)?);
        }
        Ok(all.into_iter().rev().collect())
    }

    /// Strikes all by which a bake is done; gives the entry that said so first.
    pub(crate) fn undo_bake(&mut self, done: i64, reason: &str) -> anyhow::Result<i64> {
        let all = self.strikes_of_done(done)?;
        let mut gone = BTreeSet::new();
        for entry in &all {
            // A newer one may have taken it with it.
            if !gone.contains(entry) {
                gone.extend(self.strike(*entry, reason)?.with_it);
            }
        }
        all.last().copied().context("nothing says that it is done")
    }

    /// An entry and those that it takes the place of, the newest first.
    pub(crate) fn corrections_of(&self, entry: i64) -> anyhow::Result<Vec<i64>> {
        let mut all = vec![entry];
        let mut before = self.struck(entry)?.amends;
        while let Some(amended) = before {
            all.push(amended);
            before = self.struck(amended)?.amends;
        }
        Ok(all)
    }
}
