//! Handling grain: treating, joining, counting and throwing it away.

use super::in_force::IN_FORCE;
use super::new_entry::{NewEntry, Product, Withdrawal};
use super::{
    Act, BookRefusal, CountRecord, Detail, EntryKind, LotRecord, PlaceRecord, columns, lot_facts,
};
use crate::grain::{Ending, LotCode, Treatment};
use crate::quantity::{Instant, Milligrams, Temperature};
use rusqlite::{OptionalExtension, params};

/// A treatment to book.
#[derive(Debug, Clone, Copy)]
pub struct NewTreatment<'a> {
    /// What was weighed.
    pub treatment: Treatment,
    /// How many minutes it took, and how warm it was.
    pub lasted: Option<(u32, Temperature)>,
    /// Where the product lies.
    pub to: &'a PlaceRecord,
    /// A note.
    pub note: Option<&'a str>,
}

/// What a join made.
#[derive(Debug, Clone)]
pub struct Joined {
    /// The lot that was made.
    pub lot: LotRecord,
    /// What went in.
    pub parts: Vec<(LotRecord, Milligrams)>,
}

impl Act<'_> {
    /// Books a treatment: what went in leaves the lot, what came out is a lot of its own.
    ///
    /// Whether the weights are possible is the caller's question to the grain.
    pub(crate) fn treat(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        new: &NewTreatment<'_>,
    ) -> anyhow::Result<LotRecord> {
        let treatment = &new.treatment;
        let form = treatment.step.form(lot.form)?;
        self.refuse_begun_before_arrival(lot, at, new.lasted)?;
        self.refuse_moved_after(lot, at)?;
        let product = self.make_of(lot, form)?;
        let made = Product {
            lot: product.id,
            place: new.to.id,
            note: new.note,
        };
        let entry = self.take(lot, at, treatment.wet_in, Withdrawal::Treat(made))?;
        self.write_treatment(entry, treatment, new.lasted)?;
        self.put_stock(product.id, treatment.wet_out, new.to.id)?;
        Ok(product)
    }

    /// Refuses a treatment that ended at a moment and began before its grain was with us.
    pub(super) fn refuse_begun_before_arrival(
        &self,
        lot: &LotRecord,
        at: Instant,
        lasted: Option<(u32, Temperature)>,
    ) -> anyhow::Result<()> {
        let began = lasted.map_or(at, |(minutes, _)| {
            at - chrono::Duration::minutes(i64::from(minutes))
        });
        self.view().refuse_before_arrival(lot, began)
    }

    /// Writes what was weighed in a treatment, how long it took and how warm it was.
    pub(super) fn write_treatment(
        &self,
        entry: i64,
        treatment: &Treatment,
        lasted: Option<(u32, Temperature)>,
    ) -> rusqlite::Result<()> {
        self.transaction.execute(
            "INSERT INTO treatment (entry_id, step, out_mg, water_mg, left_mg, dry_loss_mg, minutes, temperature_mc, temperature_scale)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            params![
                entry,
                treatment.step.as_str(),
                treatment.wet_out.get(),
                treatment.water.get(),
                treatment.left.get(),
                treatment.dry_loss.get(),
                lasted.map(|(minutes, _)| minutes),
                lasted.map(|(_, warm)| warm.milli_celsius()),
                lasted.map(|(_, warm)| columns::scale_letter(warm.scale())),
            ],
        )?;
        Ok(())
    }

    /// Puts all that is left of several lots together. The lot that is made is called after the oldest, and
    /// has its day.
    ///
    /// Whether each may be used is the caller's question to the keeping clock.
    pub(crate) fn join(
        &mut self,
        lots: &[LotRecord],
        at: Instant,
        to: &PlaceRecord,
        note: Option<&str>,
    ) -> anyhow::Result<Joined> {
        refuse_unlike(lots)?;
        let mut parts = Vec::with_capacity(lots.len());
        for lot in lots {
            self.refuse_moved_after(lot, at)?;
            let (left, _) = self.stock_of(lot)?;
            parts.push((lot.clone(), left));
        }
        let oldest = lots
            .iter()
            .min_by_key(|lot| (lot.mash_out.unwrap_or(Instant::MIN_UTC), lot.id))
            .ok_or(BookRefusal::NothingToJoin)?;
        let joined = self.make_joined(oldest, &parts)?;
        let made = Product {
            lot: joined.id,
            place: to.id,
            note,
        };
        let mut all = Milligrams::ZERO;
        for (lot, wet) in &parts {
            self.take(lot, at, *wet, Withdrawal::Join(made))?;
            all = all.checked_add(*wet).ok_or(BookRefusal::TooHeavy)?;
        }
        self.put_stock(joined.id, all, to.id)?;
        Ok(Joined { lot: joined, parts })
    }

    fn make_joined(
        &mut self,
        oldest: &LotRecord,
        parts: &[(LotRecord, Milligrams)],
    ) -> anyhow::Result<LotRecord> {
        let source = self.source_of(oldest)?;
        let number = self.next_number(&source, oldest.code.brewed_on())?;
        let code = LotCode::new(&source.letters, oldest.code.brewed_on(), number)?;
        let facts = parts
            .iter()
            .map(|(lot, wet)| Ok((self.view().facts_now(lot.id)?, lot.id, *wet)))
            .collect::<rusqlite::Result<Vec<_>>>()?;
        let facts = lot_facts::joined(&facts).ok_or(BookRefusal::NothingToJoin)?;
        let (mash_out, grist) = (facts.mash_out, facts.grist);
        self.transaction.execute(
            "INSERT INTO lot (source_id, brewed_on, number, mash_out_at, kind, form, grist)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![
                source.id,
                code.brewed_on().to_string(),
                number,
                mash_out.map(columns::seconds),
                oldest.kind.as_str(),
                oldest.form.as_str(),
                grist
            ],
        )?;
        Ok(LotRecord {
            id: self.transaction.last_insert_rowid(),
            code,
            mash_out,
            grist,
            ..oldest.clone()
        })
    }

    /// Books what a count found of a lot; gives what the book said, and by how much what was found is less.
    pub(crate) fn count(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        found: Milligrams,
        note: Option<&str>,
    ) -> anyhow::Result<(Milligrams, Milligrams)> {
        let (left, place) = self.stock_of(lot)?;
        self.refuse_before_other_weights(lot, at)?;
        let less = Milligrams::new(left.get() - found.get());
        self.refuse_found_too_much(lot, (left, found), Milligrams::ZERO)?;
        let entry = self.write_checked(lot, at, NewEntry::Count { note })?;
        self.transaction.execute(
            "INSERT INTO stock_count (entry_id, found_mg, less_mg) VALUES (?1, ?2, ?3)",
            params![entry, found.get(), less.get()],
        )?;
        self.put_stock(lot.id, found, place)?;
        Ok((left, less))
    }

    /// Writes what a count really found, in the place of another: the difference is to what the book says by now of
    /// that time.
    pub(super) fn count_again(
        &self,
        lot: &LotRecord,
        entry: i64,
        (was, found): (CountRecord, Milligrams),
    ) -> anyhow::Result<()> {
        let booked = self.view().booked_before(lot, entry)?;
        self.refuse_found_too_much(lot, (booked, found), was.less)?;
        let less = booked.get() - found.get();
        self.transaction.execute(
            "INSERT INTO stock_count (entry_id, found_mg, less_mg) VALUES (?1, ?2, ?3)",
            params![entry, found.get(), less],
        )?;
        Ok(())
    }

    /// Works the differences of the counts after a corrected one out anew: each measured what was there, so what it found
    /// stands. They stand and fall with the correction.
    pub(super) fn later_counts_anew(
        &self,
        lot: &LotRecord,
        corrected: i64,
        reason: &str,
    ) -> anyhow::Result<()> {
        let mut before = corrected;
        while let Some(next) = self.view().next_count(lot, before)?
            && let Detail::Counted(count) = &next.detail
        {
            let booked = self.view().booked_before(lot, next.entry)?;
            if booked.get() - count.found.get() == count.less.get() {
                break;
            }
            let anew = NewEntry::Count {
                note: next.words.as_deref(),
            };
            before = anew.write_amending(
                &self.transaction,
                (Some(lot.id), next.at),
                &self.signature,
                (next.entry, reason),
            )?;
            self.count_again(lot, before, (*count, count.found))?;
            self.settle(next.entry)?;
            self.go_with(&[before], corrected)?;
        }
        Ok(())
    }

    /// Refuses what would make more grain of a lot than scales explain, see [`super::View::most_found`].
    fn refuse_found_too_much(
        &self,
        lot: &LotRecord,
        (left, found): (Milligrams, Milligrams),
        instead_of: Milligrams,
    ) -> anyhow::Result<()> {
        let beyond = self.view().most_found(lot, (left, found), instead_of)?;
        beyond.map_or(Ok(()), |most| {
            Err(BookRefusal::FoundTooMuch {
                lot: lot.code,
                left,
                found,
                most,
            }
            .into())
        })
    }

    /// A count speaks of all that was booked before it, so nothing may have been weighed after it.
    pub(super) fn refuse_before_other_weights(
        &self,
        lot: &LotRecord,
        at: Instant,
    ) -> anyhow::Result<()> {
        let later: Option<i64> = self
            .transaction
            .prepare_cached(&format!(
                "SELECT id FROM entry WHERE lot_id = ?1 AND at > ?2
                   AND kind IN {kinds}
                   AND {IN_FORCE}
                 ORDER BY id DESC LIMIT 1",
                kinds = EntryKind::list(EntryKind::weighs_out)
            ))?
            .query_row(params![lot.id, columns::seconds(at)], |row| row.get(0))
            .optional()?;
        match later {
            None => Ok(()),
            Some(entry) => Err(BookRefusal::WeighedLater {
                lot: lot.code,
                entry,
            }
            .into()),
        }
    }

    /// Gives grain to somebody as food. Whether it may be used is the caller's question to the keeping clock.
    pub(crate) fn give(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        wet: Milligrams,
        to: &str,
    ) -> anyhow::Result<i64> {
        self.take(lot, at, wet, Withdrawal::Give { to })
    }

    /// Throws grain away.
    pub(crate) fn discard(
        &mut self,
        lot: &LotRecord,
        at: Instant,
        wet: Milligrams,
        reason: &str,
        ending: Option<Ending>,
    ) -> anyhow::Result<i64> {
        self.take(lot, at, wet, Withdrawal::Discard { reason, ending })
    }
}

/// Refuses to join what cannot be one lot.
fn refuse_unlike(lots: &[LotRecord]) -> Result<(), BookRefusal> {
    let Some((first, others)) = lots.split_first().filter(|(_, others)| !others.is_empty()) else {
        return Err(BookRefusal::NothingToJoin);
    };
    for lot in others {
        if lot.form != first.form {
            return Err(BookRefusal::FormsDiffer(
                (first.code, first.form),
                (lot.code, lot.form),
            ));
        }
        if lot.kind != first.kind {
            return Err(BookRefusal::KindsDiffer(
                (first.code, first.kind),
                (lot.code, lot.kind),
            ));
        }
    }
    Ok(())
}
