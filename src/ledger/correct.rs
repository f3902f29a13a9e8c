//! Correcting: an entry that takes the place of a wrong one, whole, with the reason. Both stay in the book.

use super::failure::in_entry;
use super::in_force::{FIRST, IN_FORCE};
use super::lot_facts::Facts;
use super::new_entry::{NewEntry, Withdrawal};
use super::refusal::{Arrival, NotStruck};
use super::{
    Act, BookRefusal, Detail, EntryKind, EntryRecord, LotRecord, PlaceRecord, View, columns,
};
use crate::grain::{Ending, Form, MoistureTest, Treatment, is_of_brew_day};
use crate::quantity::{Instant, Milligrams, Temperature, WaterActivity};
use anyhow::Context;
use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};
use std::collections::BTreeSet;

/// All that an entry says from now on, what stays as it was too.
#[derive(Debug, Clone)]
pub struct Amended<'a> {
    /// The lot that it is about.
    pub lot: &'a LotRecord,
    /// When it happened.
    pub at: Instant,
    /// The wet mass; of a count what was found.
    pub wet: Option<Milligrams>,
    /// The grain's temperature.
    pub temperature: Option<Temperature>,
    /// The place.
    pub place: Option<&'a PlaceRecord>,
    /// Reason, bake, note, or whose word it is.
    pub words: Option<&'a str>,
    /// How grain ended that was thrown away.
    pub ending: Option<Ending>,
    /// The water activity.
    pub activity: Option<WaterActivity>,
    /// What was weighed.
    pub test: Option<&'a MoistureTest>,
    /// What was weighed in a treatment, and how many minutes it took and how warm it was, where that was said.
    pub treated: Option<(Treatment, Option<(u32, Temperature)>)>,
    /// The facts of a lot that came in.
    pub arrival: Option<AmendedArrival<'a>>,
}

/// The facts of a lot that came in, as they are from now on.
#[derive(Debug, Clone)]
pub struct AmendedArrival<'a> {
    /// The name of another source, and whether that is a new one; nothing for the same one.
    pub source: Option<(&'a str, bool)>,
    /// The brew day; that of the code where it is not said to be another.
    pub brewed_on: NaiveDate,
    /// When mashing was over, where known.
    pub mash_out: Option<Instant>,
    /// What was mashed.
    pub grist: Option<&'a str>,
    /// Its form.
    pub form: Form,
}

/// Who wrote an act down, and who corrected that.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Writers {
    /// Who wrote it down first.
    pub by: Option<String>,
    /// Whether it was corrected since.
    pub is_corrected: bool,
    /// Who corrected it last, where that was said.
    pub corrected_by: Option<String>,
}

impl View<'_> {
    /// Who wrote down what an entry says, by whom that entry was recorded and which one it takes the place of.
    pub(super) fn writers(
        &self,
        by: Option<String>,
        amends: Option<i64>,
    ) -> rusqlite::Result<Writers> {
        let Some(amended) = amends else {
            return Ok(Writers {
                by,
                ..Writers::default()
            });
        };
        let first = self
            .connection
            .prepare_cached(&format!(
                "SELECT id, recorded_by FROM entry
                 WHERE id = (SELECT {FIRST} FROM entry WHERE entry.id = ?1)"
            ))?
            .query_row(params![amended], |row| {
                let entry = row.get(0)?;
                row.get(1).map_err(|error| in_entry(error, entry))
            })?;
        Ok(Writers {
            by: first,
            is_corrected: true,
            corrected_by: by,
        })
    }

    /// The entry that was written first, of one and those that it takes the place of.
    pub fn first_of(&self, entry: &EntryRecord) -> anyhow::Result<EntryRecord> {
        let mut first = entry.clone();
        while let Some(amended) = first.amends {
            first = self.entry(amended)?;
        }
        Ok(first)
    }
}

impl Act<'_> {
    /// Puts an entry in the place of another; gives its number. Whether grain that was used or is on hand may be
    /// used by that is the caller's question to the keeping clock.
    pub(crate) fn correct(
        &mut self,
        old: &EntryRecord,
        new: &Amended<'_>,
        reason: &str,
    ) -> anyhow::Result<i64> {
        self.refuse_out_of_force(old.entry)?;
        self.refuse_future(new.at)?;
        self.refuse_after_it_was_written(old, new.at)?;
        let lot = new.lot;
        self.refuse_unfit(
            (old.kind, old.entry, old.at),
            lot,
            new.at,
            new.arrival.as_ref(),
        )?;
        let was = self.struck(old.entry)?;
        let is_other_lot = was.lot != Some(lot.id);
        if old.kind == EntryKind::Move && is_other_lot {
            self.refuse_out_of_order(lot, new.at, None)?;
        }
        if let Some((_, lasted)) = new.treated {
            self.refuse_begun_before_arrival(lot, new.at, lasted)?;
        }
        let entry = self.whole(old, new)?.write_amending(
            &self.transaction,
            (Some(lot.id), new.at),
            &self.signature,
            (old.entry, reason),
        )?;
        if let Some(test) = new.test {
            self.refuse_weighed_on(old.entry)?;
            self.write_test(entry, test)?;
            self.transaction.execute(
                "INSERT INTO sample_continued (entry_id, opened)
                 SELECT ?1, opened FROM sample_continued WHERE entry_id = ?2",
                params![entry, old.entry],
            )?;
        }
        if old.kind.makes_lot() {
            self.write_beside_made(entry, (old, new))?;
        }
        if let Detail::Counted(count) = &old.detail {
            let found = new.wet.context("the count found nothing")?;
            self.count_again(lot, entry, (*count, found))?;
        }
        if let Some(arrival) = &new.arrival {
            let before = self.view().facts_now(lot.id)?;
            let source_id = match arrival.source {
                Some((name, is_new)) => self.source(name, is_new)?.named,
                None => before.source_id,
            };
            let facts = Facts {
                source_id,
                mash_out: arrival.mash_out,
                form: arrival.form,
                grist: arrival.grist.map(str::to_owned),
                ..before
            };
            self.state_facts(entry, &facts)?;
        }
        self.settle(old.entry)?;
        if old.kind == EntryKind::Count {
            self.later_counts_anew(lot, entry, reason)?;
        }
        // Nothing was there any more that could be moved.
        if old.kind == EntryKind::Move
            && is_other_lot
            && self.view().booked_before(lot, entry)? <= Milligrams::ZERO
        {
            return Err(BookRefusal::NothingLeft(lot.code).into());
        }
        let lots: BTreeSet<i64> = [was.lot, Some(lot.id), was.new_lot]
            .into_iter()
            .flatten()
            .collect();
        for id in lots {
            self.keep_again(id)?;
            self.keep_facts(id)?;
        }
        Ok(entry)
    }

    /// Refuses a time after the one at which the entry was first written down: nobody writes what is still to come.
    pub(super) fn refuse_after_it_was_written(
        &self,
        old: &EntryRecord,
        at: Instant,
    ) -> anyhow::Result<()> {
        let first = self.view().first_of(old)?;
        if at > first.recorded_at {
            return Err(BookRefusal::AfterItWasWritten {
                entry: first.entry,
                written: first.recorded_at,
                at,
                goes_along: false,
            }
            .into());
        }
        Ok(())
    }

    /// What is written in the place of an entry.
    fn whole<'b>(&self, old: &EntryRecord, new: &Amended<'b>) -> anyhow::Result<NewEntry<'b>> {
        let wet = || new.wet.context("the entry weighs nothing");
        let words = || new.words.context("the entry says nothing");
        let place = || Ok::<_, anyhow::Error>(new.place.context("the entry names no place")?.id);
        Ok(match old.kind {
            EntryKind::Pickup => NewEntry::Pickup {
                wet: wet()?,
                place: place()?,
                note: new.words,
            },
            EntryKind::Move => NewEntry::Move {
                place: place()?,
                note: new.words,
            },
            EntryKind::Use => NewEntry::Withdrawal(
                wet()?,
                Withdrawal::Use {
                    words: words()?,
                    bake: old.bake.map(|bake| i64::from(bake.number())),
                },
            ),
            EntryKind::Discard => NewEntry::Withdrawal(
                wet()?,
                Withdrawal::Discard {
                    reason: words()?,
                    ending: new.ending,
                },
            ),
            EntryKind::Give => NewEntry::Withdrawal(wet()?, Withdrawal::Give { to: words()? }),
            EntryKind::Reading => {
                NewEntry::Reading(new.temperature.context("the entry reads nothing")?)
            }
            EntryKind::Cooled => NewEntry::Cooled { said_by: words()? },
            EntryKind::Spoiled => NewEntry::Spoiled { found: words()? },
            EntryKind::Activity => {
                NewEntry::Activity(new.activity.context("the entry measured nothing")?)
            }
            EntryKind::Count => NewEntry::Count { note: new.words },
            EntryKind::Moisture => NewEntry::Moisture,
            kind if kind.makes_lot() => self.made_anew(old, new, (wet()?, place()?))?,
            _ => return Err(BookRefusal::NotCorrected(old.entry, old.kind).into()),
        })
    }

    /// Refuses an entry that does not count, with what takes it out; of corrections the last one, which counts.
    pub(crate) fn refuse_out_of_force(&self, entry: i64) -> anyhow::Result<()> {
        let why = match (
            self.view().in_place_of(entry)?,
            self.view().taken_out_by(entry)?,
        ) {
            (Some(by), _) => NotStruck::Amended(by),
            (None, Some((by, _))) => NotStruck::Already(by),
            (None, None) => return Ok(()),
        };
        Err(BookRefusal::NotStruck { entry, why }.into())
    }

    /// Whether samples of an entry were weighed before in another one.
    pub(super) fn continues_a_sample(&self, entry: i64) -> rusqlite::Result<bool> {
        self.transaction.query_row(
            "SELECT EXISTS (SELECT 1 FROM sample_continued WHERE entry_id = ?1)",
            params![entry],
            |row| row.get(0),
        )
    }

    /// Refuses samples that were weighed on in another entry in force.
    pub(super) fn refuse_weighed_on(&self, entry: i64) -> anyhow::Result<()> {
        let on_it: Option<i64> = self
            .transaction
            .query_row(
                &format!(
                    "SELECT entry.id FROM sample_continued JOIN entry ON entry.id = entry_id
                     WHERE opened = ?1 AND {IN_FORCE}"
                ),
                params![entry],
                |row| row.get(0),
            )
            .optional()?;
        match on_it {
            None => Ok(()),
            Some(on_it) => Err(BookRefusal::NotStruck {
                entry,
                why: NotStruck::WeighedOn(on_it),
            }
            .into()),
        }
    }

    /// Refuses a moment at which an entry about a lot cannot have happened, as for one that is written anew: before
    /// the lot came, or a move out of its order. `was` is what the entry is, its number and when it was.
    pub(super) fn refuse_unfit(
        &self,
        was: (EntryKind, i64, Instant),
        lot: &LotRecord,
        at: Instant,
        arrival: Option<&AmendedArrival<'_>>,
    ) -> anyhow::Result<()> {
        let (kind, entry, was_at) = was;
        match kind {
            EntryKind::Pickup => {
                let (mash_out, brewed_on) = match arrival {
                    Some(arrival) => (arrival.mash_out, arrival.brewed_on),
                    None => (lot.mash_out, lot.brewed_on(&self.about.zone)),
                };
                self.refuse_earlier(lot, (was_at, at), (mash_out, brewed_on))
            }
            EntryKind::Cooled => match lot.mash_out.filter(|mash_out| at < *mash_out) {
                Some(mash_out) => Err(BookRefusal::ColdBeforeMashOut {
                    lot: lot.code,
                    mash_out,
                    entry: None,
                }
                .into()),
                None => Ok(()),
            },
            EntryKind::Move => {
                self.view().refuse_before_arrival(lot, at)?;
                self.refuse_between(lot, entry, (was_at, at))
            }
            kind if kind.makes_lot() => self.refuse_made_out_of_order(entry, lot, (was_at, at)),
            _ => self.view().refuse_before_arrival(lot, at),
        }
    }

    /// Refuses a pickup after what happened to the lot, or a mash-out after it was said to be cold.
    fn refuse_earlier(
        &self,
        lot: &LotRecord,
        (was, at): (Instant, Instant),
        (mash_out, brewed_on): (Option<Instant>, NaiveDate),
    ) -> anyhow::Result<()> {
        // What was read at the pickup goes with it.
        let earlier: Option<(i64, i64)> = self
            .transaction
            .query_row(
                &format!(
                    "SELECT id, at FROM entry WHERE lot_id = ?1 AND kind NOT IN ('pickup', 'cooled', 'strike')
                       AND at < ?2 AND NOT (kind = 'reading' AND at = ?3) AND {IN_FORCE} ORDER BY at, id LIMIT 1"
                ),
                params![lot.id, columns::seconds(at), columns::seconds(was)],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        if let Some((entry, earlier)) = earlier {
            return Err(BookRefusal::BeforeArrival {
                lot: lot.code,
                how: Arrival::Collected,
                came: at,
                at: columns::instant(earlier),
                entry: Some(entry),
            }
            .into());
        }
        let Some(mash_out) = mash_out else {
            return Ok(());
        };
        let mashed = self.about.zone.local(mash_out);
        if !is_of_brew_day(mashed, brewed_on) {
            return Err(BookRefusal::NotTheBrewDay {
                lot: lot.code,
                mashed_on: mashed.date(),
                brewed_on,
            }
            .into());
        }
        if mash_out > at {
            return Err(BookRefusal::MashedOutAfterPickup {
                lot: lot.code,
                mash_out,
                came: at,
            }
            .into());
        }
        let cold: Option<i64> = self
            .transaction
            .query_row(
                &format!("SELECT id FROM entry WHERE lot_id = ?1 AND kind = 'cooled' AND at < ?2 AND {IN_FORCE} LIMIT 1"),
                params![lot.id, columns::seconds(mash_out)],
                |row| row.get(0),
            )
            .optional()?;
        match cold {
            None => Ok(()),
            Some(entry) => Err(BookRefusal::ColdBeforeMashOut {
                lot: lot.code,
                mash_out,
                entry: Some(entry),
            }
            .into()),
        }
    }

    /// Refuses to put a move before or after another one.
    fn refuse_between(
        &self,
        lot: &LotRecord,
        entry: i64,
        (was, at): (Instant, Instant),
    ) -> anyhow::Result<()> {
        let between: Option<i64> = self
            .transaction
            .query_row(
                &format!(
                    "SELECT id FROM entry WHERE lot_id = ?1 AND kind IN ('move', 'part', 'treat', 'join') AND id <> ?2
                       AND at BETWEEN ?3 AND ?4 AND {IN_FORCE} ORDER BY at LIMIT 1"
                ),
                params![
                    lot.id,
                    entry,
                    columns::seconds(was.min(at)),
                    columns::seconds(was.max(at))
                ],
                |row| row.get(0),
            )
            .optional()?;
        match between.filter(|_| was != at) {
            None => Ok(()),
            Some(entry) => Err(BookRefusal::MovedLater {
                lot: lot.code,
                entry,
            }
            .into()),
        }
    }
}
