//! What a user does: each act writes entries and the kept state in one transaction.

use super::chain::{self, Newest};
use super::in_force::IN_FORCE;
use super::new_entry::{NewEntry, Product, Withdrawal};
use super::sources::Source;
use super::{About, BakeRecord, BookRefusal, LotRecord, PlaceRecord, View, columns};
use crate::grain::{Form, LotCode};
use crate::quantity::{Instant, Length, Milligrams, Temperature, WaterActivity};
use chrono::NaiveDate;
use rusqlite::{OptionalExtension, Transaction, params};
use std::collections::HashMap;

/// When an act is recorded, and by whom.
#[derive(Debug, Clone)]
pub struct Signature {
    /// The present moment.
    pub now: Instant,
    /// The name given with `--by`.
    pub by: Option<String>,
}

/// An open act of the user. Dropped before it is finished, nothing of it is written.
pub(crate) struct Act<'a> {
    pub(super) transaction: Transaction<'a>,
    pub(super) about: &'a About,
    code_ends: bool,
    pub(super) signature: Signature,
    pub(super) sources: HashMap<String, Source>,
    pub(super) places: HashMap<String, PlaceRecord>,
    /// Highest lot number of each source and brew date met in this act.
    pub(super) numbers: HashMap<(i64, NaiveDate), u32>,
    /// What was there before this act.
    since: Newest,
}

impl<'a> Act<'a> {
    pub(super) fn new(
        transaction: Transaction<'a>,
        (about, code_ends): (&'a About, bool),
        signature: &Signature,
    ) -> rusqlite::Result<Self> {
        Ok(Self {
            since: Newest::of(&transaction)?,
            transaction,
            about,
            code_ends,
            signature: signature.clone(),
            sources: HashMap::new(),
            places: HashMap::new(),
            numbers: HashMap::new(),
        })
    }

    /// Links what was written to the chain and commits. Only now is anything acknowledged.
    pub(super) fn finish(self) -> rusqlite::Result<()> {
        chain::extend(&self.transaction, self.since)?;
        self.transaction.commit()
    }

    /// The present moment.
    pub(crate) fn now(&self) -> Instant {
        self.signature.now
    }

    /// Questions to the book as this act has left it so far.
    pub(crate) fn view(&self) -> View<'_> {
        View {
            connection: &self.transaction,
            about: self.about,
            code_ends: self.code_ends,
            remembered: None,
        }
    }

    /// Records the grain's own temperature.
    pub(crate) fn reading(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        temperature: Temperature,
    ) -> anyhow::Result<i64> {
        self.write_checked(lot, at, NewEntry::Reading(temperature))
    }

    /// Records somebody's word that the grain was cold from a moment on.
    pub(crate) fn cooled(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        said_by: &str,
    ) -> anyhow::Result<i64> {
        if lot.mash_out.is_some_and(|mash_out| at < mash_out) {
            return Err(BookRefusal::ColdBeforeMashOut {
                lot: lot.code,
                mash_out: lot.mash_out.unwrap_or(at),
                entry: None,
            }
            .into());
        }
        // The word may speak of the time before the lot was fetched.
        self.write(Some(lot.id), at, NewEntry::Cooled { said_by })
    }

    /// Records a measured water activity.
    pub(crate) fn activity(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        activity: WaterActivity,
    ) -> anyhow::Result<i64> {
        self.write_checked(lot, at, NewEntry::Activity(activity))
    }

    /// Records that a lot was found spoiled.
    pub(crate) fn spoiled(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        found: &str,
    ) -> anyhow::Result<i64> {
        self.write_checked(lot, at, NewEntry::Spoiled { found })
    }

    /// Moves all that is left of a lot.
    pub(crate) fn move_all(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        to: &PlaceRecord,
        note: Option<&str>,
    ) -> anyhow::Result<i64> {
        let (left, from) = self.stock_of(lot)?;
        self.refuse_out_of_order(lot, at, None)?;
        if from == to.id {
            return Err(BookRefusal::AlreadyThere {
                lot: lot.code,
                place: to.name.clone(),
            }
            .into());
        }
        let entry = self.write_checked(lot, at, NewEntry::Move { place: to.id, note })?;
        self.put_stock(lot.id, left, to.id)?;
        Ok(entry)
    }

    /// Moves a part of a lot, which becomes a lot of its own with the same history.
    pub(crate) fn move_part(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        wet: Milligrams,
        to: &PlaceRecord,
        note: Option<&str>,
    ) -> anyhow::Result<LotRecord> {
        self.part(lot, at, wet, to, (note, None))
    }

    /// Parts grain off a lot, which may lie in a layer of a stated depth from then on.
    pub(crate) fn part(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        wet: Milligrams,
        to: &PlaceRecord,
        (note, depth): (Option<&str>, Option<Length>),
    ) -> anyhow::Result<LotRecord> {
        self.refuse_moved_after(lot, at)?;
        let part = self.make_of(lot, lot.form)?;
        let made = Product {
            lot: part.id,
            place: to.id,
            note,
        };
        let entry = self.take(lot, at, wet, Withdrawal::Part(made))?;
        if let Some(depth) = depth {
            self.transaction.execute(
                "INSERT INTO lot_depth (entry_id, depth_um) VALUES (?1, ?2)",
                params![entry, depth.micrometres()],
            )?;
        }
        self.put_stock(part.id, wet, to.id)?;
        Ok(part)
    }

    /// Makes a lot of another, with a code of its own.
    pub(super) fn make_of(&mut self, lot: &LotRecord, form: Form) -> anyhow::Result<LotRecord> {
        let source = self.source_of(lot)?;
        let number = self.next_number(&source, lot.code.brewed_on())?;
        let code = LotCode::new(&source.letters, lot.code.brewed_on(), number)?;
        self.transaction.execute(
            "INSERT INTO lot (source_id, brewed_on, number, mash_out_at, kind, form, grist, parent_id)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            params![
                source.id,
                code.brewed_on().to_string(),
                number,
                lot.mash_out.map(columns::seconds),
                lot.kind.as_str(),
                form.as_str(),
                lot.grist,
                lot.id
            ],
        )?;
        Ok(LotRecord {
            id: self.transaction.last_insert_rowid(),
            code,
            form,
            ..lot.clone()
        })
    }

    /// Draws grain for a bake. Whether it may be used is the caller's question to the keeping clock.
    pub(crate) fn use_grain(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        wet: Milligrams,
        bake: &str,
    ) -> anyhow::Result<i64> {
        let used = Withdrawal::Use {
            words: bake,
            bake: None,
        };
        self.take(lot, at, wet, used)
    }

    /// Draws grain for a bake of the book. Whether it may be used is the caller's question to the keeping clock.
    pub(crate) fn use_for_bake(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        wet: Milligrams,
        bake: &BakeRecord,
    ) -> anyhow::Result<i64> {
        let used = Withdrawal::Use {
            words: &bake.setting.formula.name,
            bake: Some(bake.id),
        };
        self.take(lot, at, wet, used)
    }

    /// Takes grain from a lot, never more than is there.
    pub(super) fn take(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        wet: Milligrams,
        withdrawal: Withdrawal<'_>,
    ) -> anyhow::Result<i64> {
        let (left, place) = self.stock_of(lot)?;
        let Some(rest) = left.taken(wet) else {
            return Err(BookRefusal::MoreThanLeft {
                lot: lot.code,
                left,
                wanted: wet,
            }
            .into());
        };
        let entry = self.write_checked(lot, at, NewEntry::Withdrawal(wet, withdrawal))?;
        self.put_stock(lot.id, rest, place)?;
        Ok(entry)
    }

    pub(super) fn stock_of(&self, lot: &LotRecord) -> anyhow::Result<(Milligrams, i64)> {
        self.view()
            .stock(lot.id)?
            .ok_or_else(|| BookRefusal::NothingLeft(lot.code).into())
    }

    pub(super) fn put_stock(
        &self,
        lot_id: i64,
        wet: Milligrams,
        place_id: i64,
    ) -> rusqlite::Result<()> {
        if wet == Milligrams::ZERO {
            self.transaction
                .prepare_cached("DELETE FROM stock WHERE lot_id = ?1")?
                .execute(params![lot_id])?;
        } else {
            self.transaction
                .prepare_cached(
                    "INSERT INTO stock (lot_id, wet_mg, place_id) VALUES (?1, ?2, ?3)
                     ON CONFLICT (lot_id) DO UPDATE SET wet_mg = excluded.wet_mg, place_id = excluded.place_id",
                )?
                .execute(params![lot_id, wet.get(), place_id])?;
        }
        Ok(())
    }

    /// Folds a lot's entries again and keeps the result.
    pub(super) fn keep_again(&self, lot_id: i64) -> anyhow::Result<()> {
        let fold = self.view().fold_entries(Some(lot_id))?;
        match fold.held().get(&lot_id) {
            // A count that found too much can be all that later entries took from.
            Some(held) if held.wet < 0 => {
                return Err(BookRefusal::WouldOverdraw {
                    lot: self.view().lot_by_id(lot_id)?.code,
                    by: Milligrams::new(-held.wet),
                }
                .into());
            }
            Some(held) if held.wet > 0 => {
                self.put_stock(lot_id, Milligrams::new(held.wet), held.place)?
            }
            _ => self.put_stock(lot_id, Milligrams::ZERO, 0)?,
        }
        Ok(())
    }

    /// Writes an entry about a lot that is with us: not before it came, not after now.
    pub(super) fn write_checked(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        entry: NewEntry<'_>,
    ) -> anyhow::Result<i64> {
        self.view().refuse_before_arrival(lot, at)?;
        self.write(Some(lot.id), at, entry)
    }

    /// Places are known in time order only: a move cannot be slipped in before or beside another one. One that comes back
    /// does not hinder itself, so its entry is given.
    pub(super) fn refuse_out_of_order(
        &self,
        lot: &LotRecord,
        at: Instant,
        itself: Option<i64>,
    ) -> anyhow::Result<()> {
        let later: Option<i64> = self
            .transaction
            .prepare_cached(&format!(
                "SELECT id FROM entry WHERE lot_id = ?1 AND kind = 'move' AND at >= ?2 AND id IS NOT ?3 AND {IN_FORCE}
                 ORDER BY at LIMIT 1"
            ))?
            .query_row(params![lot.id, columns::seconds(at), itself], |row| {
                row.get(0)
            })
            .optional()?;
        match later {
            None => Ok(()),
            Some(entry) => Err(BookRefusal::MovedLater {
                lot: lot.code,
                entry,
            }
            .into()),
        }
    }

    /// The same for what is made of a lot: what was moved at the same moment was moved first.
    pub(super) fn refuse_moved_after(&self, lot: &LotRecord, at: Instant) -> anyhow::Result<()> {
        self.refuse_out_of_order(lot, at + chrono::Duration::seconds(1), None)
    }

    /// Writes an entry that is not after now; gives its number.
    pub(super) fn write(
        &mut self,
        lot: Option<i64>,
        at: Instant,
        entry: NewEntry<'_>,
    ) -> anyhow::Result<i64> {
        self.refuse_future(at)?;
        Ok(entry.write(&self.transaction, lot, at, &self.signature)?)
    }

    /// Refuses a time after now: the book holds what has happened.
    pub(crate) fn refuse_future(&self, at: Instant) -> anyhow::Result<()> {
        if at > self.signature.now {
            return Err(BookRefusal::AfterNow {
                at,
                now: self.signature.now,
            }
            .into());
        }
        Ok(())
    }
}
