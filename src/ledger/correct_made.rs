//! Correcting an entry that made a lot: the one that takes its place made the same lot, which keeps its code.

use super::in_force::IN_FORCE;
use super::new_entry::{NewEntry, Product, Withdrawal};
use super::refusal::Arrival;
use super::{Act, Amended, BookRefusal, EntryKind, EntryRecord, LotRecord, columns};
use crate::quantity::{Instant, Milligrams};
use anyhow::Context;
use rusqlite::{OptionalExtension, params};

impl Act<'_> {
    /// What is written in the place of an entry that made a lot.
    pub(super) fn made_anew<'b>(
        &self,
        old: &EntryRecord,
        new: &Amended<'b>,
        (wet, place): (Milligrams, i64),
    ) -> anyhow::Result<NewEntry<'b>> {
        let product = self.struck(old.entry)?.new_lot;
        let made = Product {
            lot: product.context("the entry made no lot")?,
            place,
            note: new.words,
        };
        let withdrawal = match old.kind {
            EntryKind::Treat => Withdrawal::Treat(made),
            EntryKind::Part => Withdrawal::Part(made),
            EntryKind::Join => Withdrawal::Join(made),
            _ => return Err(BookRefusal::NotCorrected(old.entry, old.kind).into()),
        };
        Ok(NewEntry::Withdrawal(wet, withdrawal))
    }

    /// Writes beside an entry that takes the place of another what it says of the lot that was made: what was weighed in a
    /// treatment, and how thick a part lies, which stays as it was stated.
    pub(super) fn write_beside_made(
        &self,
        entry: i64,
        (old, new): (&EntryRecord, &Amended<'_>),
    ) -> rusqlite::Result<()> {
        if let Some((treatment, lasted)) = &new.treated {
            self.write_treatment(entry, treatment, *lasted)?;
        }
        self.transaction.execute(
            "INSERT INTO lot_depth (entry_id, depth_um) SELECT ?1, depth_um FROM lot_depth WHERE entry_id = ?2",
            params![entry, old.entry],
        )?;
        Ok(())
    }

    /// Refuses a moment at which a lot cannot have been made of another: before that one came, on the other side of a move
    /// of it, or after something that happened to what was made. `entry` is the one that made it, `was` when that was.
    pub(super) fn refuse_made_out_of_order(
        &self,
        entry: i64,
        lot: &LotRecord,
        (was, at): (Instant, Instant),
    ) -> anyhow::Result<()> {
        self.view().refuse_before_arrival(lot, at)?;
        // What was moved at the same moment was moved first.
        let moved: Option<i64> = self
            .transaction
            .query_row(
                &format!(
                    "SELECT id FROM entry WHERE lot_id = ?1 AND kind = 'move' AND at > ?2 AND at <= ?3 AND {IN_FORCE}
                     ORDER BY at LIMIT 1"
                ),
                params![
                    lot.id,
                    columns::seconds(was.min(at)),
                    columns::seconds(was.max(at))
                ],
                |row| row.get(0),
            )
            .optional()?;
        if let Some(entry) = moved {
            return Err(BookRefusal::MovedLater {
                lot: lot.code,
                entry,
            }
            .into());
        }
        let of = self.struck(entry)?;
        let Some(made) = of.new_lot else {
            return Ok(());
        };
        // A treatment of it began before the moment at which it was weighed.
        let earliest: Option<(i64, i64)> = self
            .transaction
            .query_row(
                &format!(
                    "SELECT entry.id, entry.at - 60 * coalesce(treatment.minutes, 0) AS began
                     FROM entry LEFT JOIN treatment ON treatment.entry_id = entry.id
                     WHERE entry.lot_id = ?1 AND entry.kind NOT IN ('cooled', 'strike') AND {IN_FORCE}
                     ORDER BY began, entry.id LIMIT 1"
                ),
                params![made],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        match earliest
            .map(|(entry, began)| (entry, columns::instant(began)))
            .filter(|(_, began)| *began < at)
        {
            None => Ok(()),
            Some((entry, began)) => Err(BookRefusal::BeforeArrival {
                lot: self.view().lot_by_id(made)?.code,
                how: match of.kind {
                    EntryKind::Part => Arrival::PartedOff,
                    _ => Arrival::Made,
                },
                came: at,
                at: began,
                entry: Some(entry),
            }
            .into()),
        }
    }
}
