//! Striking a wrong entry: it stays in the book and no longer counts.

use super::entries::IN_FORCE;
use super::refusal::NotStruck;
use super::{Act, EntryKind, Refusal, columns};
use crate::dough::bake_code::BakeCode;
use crate::quantity::Milligrams;
use rusqlite::{OptionalExtension, params};

/// What striking needs to know of an entry.
struct Struck {
    kind: EntryKind,
    lot: Option<i64>,
    new_lot: Option<i64>,
    place: Option<i64>,
    bake: Option<i64>,
}

impl Act<'_> {
    /// Strikes a wrong entry: it stays in the book and no longer counts.
    ///
    /// Refused where other entries stand on it, so that stock can never fall below nothing.
    pub(crate) fn strike(&mut self, entry: i64, reason: &str) -> anyhow::Result<i64> {
        let struck = self
            .transaction
            .query_row(
                "SELECT kind, lot_id, new_lot_id, place_id, bake_id FROM entry WHERE id = ?1",
                params![entry],
                |row| {
                    Ok(Struck {
                        kind: row.get(0)?,
                        lot: row.get(1)?,
                        new_lot: row.get(2)?,
                        place: row.get(3)?,
                        bake: row.get(4)?,
                    })
                },
            )
            .optional()?
            .ok_or(Refusal::NoEntry(entry))?;
        self.refuse_strike(entry, &struck)?;
        self.refuse_future(self.signature.now)?;
        if struck.kind == EntryKind::Baked {
            // What it drew was drawn by the same act, and goes back with it.
            for (draw, lot) in self.draws_in_force(struck.bake)? {
                self.write_strike(draw, Some(lot), struck.bake, reason)?;
                self.keep_again(lot)?;
            }
        }
        if struck.kind == EntryKind::Join {
            // One act put them together, and takes them apart again.
            for made in self.view().made_by(struck.new_lot.unwrap_or(0))? {
                if made.entry != entry {
                    self.write_strike(made.entry, Some(made.of), None, reason)?;
                    self.keep_again(made.of)?;
                }
            }
        }
        let strike = self.write_strike(entry, struck.lot, struck.bake, reason)?;
        for lot in [struck.lot, struck.new_lot].into_iter().flatten() {
            self.forget_test(lot)?;
            self.keep_again(lot)?;
        }
        if let Some(bake) = struck.bake {
            self.keep_bake(bake)?;
        }
        Ok(strike)
    }

    fn write_strike(
        &self,
        entry: i64,
        lot: Option<i64>,
        bake: Option<i64>,
        reason: &str,
    ) -> rusqlite::Result<i64> {
        self.transaction.execute(
            "INSERT INTO entry (kind, lot_id, at, recorded_at, recorded_by, words, struck_entry_id, bake_id)
             VALUES ('strike', ?1, ?2, ?2, ?3, ?4, ?5, ?6)",
            params![
                lot,
                columns::seconds(self.signature.now),
                self.signature.by,
                reason,
                entry,
                bake
            ],
        )?;
        Ok(self.transaction.last_insert_rowid())
    }

    /// The draws of a bake that are in force: entry and lot.
    fn draws_in_force(&self, bake: Option<i64>) -> rusqlite::Result<Vec<(i64, i64)>> {
        self.transaction
            .prepare(&format!(
                "SELECT id, lot_id FROM entry WHERE bake_id = ?1 AND kind = 'use' AND {IN_FORCE} ORDER BY id"
            ))?
            .query_map(params![bake], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect()
    }

    fn refuse_strike(&self, entry: i64, struck: &Struck) -> anyhow::Result<()> {
        let refuse = |why| Refusal::NotStruck { entry, why }.into();
        let already: Option<i64> = self
            .transaction
            .query_row(
                "SELECT id FROM entry WHERE struck_entry_id = ?1",
                params![entry],
                |row| row.get(0),
            )
            .optional()?;
        if let Some(already) = already {
            return Err(refuse(NotStruck::Already(already)));
        }
        if struck.kind == EntryKind::Strike {
            return Err(refuse(NotStruck::IsAStrike));
        }
        if struck.kind == EntryKind::Place {
            let settings: i64 = self.transaction.query_row(
                &format!("SELECT count(*) FROM entry WHERE kind = 'place' AND place_id = ?1 AND {IN_FORCE}"),
                params![struck.place],
                |row| row.get(0),
            )?;
            if settings <= 1 {
                return Err(refuse(NotStruck::OnlyStatementOfPlace));
            }
        }
        self.refuse_strike_of_bake(entry, struck)?;
        // Striking an arrival makes the lot void: nothing that took from it may stand, and nothing that was
        // found on it may be lost. Grain that came back to its mother lot was found warm or spoiled all the
        // same; a pickup that is booked in anew may have its tests and readings entered anew.
        let arrived = match struck.kind {
            EntryKind::Pickup => struck.lot,
            kind if kind.makes_lot() => struck.new_lot,
            _ => None,
        };
        if let Some(lot) = arrived {
            let kinds = EntryKind::list(|kind| {
                kind.moves_grain() && kind != EntryKind::Pickup
                    || kind == EntryKind::Spoiled
                    || struck.kind.makes_lot() && kind.finds()
            });
            let standing: Vec<i64> = self
                .transaction
                .prepare(&format!(
                    "SELECT id FROM entry WHERE lot_id = ?1 AND kind IN {kinds} AND {IN_FORCE}"
                ))?
                .query_map(params![lot], |row| row.get(0))?
                .collect::<Result<_, _>>()?;
            if !standing.is_empty() {
                return Err(refuse(NotStruck::RestOnIt(standing)));
            }
        }
        Ok(())
    }

    /// A bake's draws stand and fall with what it came to, and what it came to stands on what it was to be.
    fn refuse_strike_of_bake(&self, entry: i64, struck: &Struck) -> anyhow::Result<()> {
        let Some(bake) = struck.bake else {
            return Ok(());
        };
        let refuse = |why| Refusal::NotStruck { entry, why }.into();
        let code = u32::try_from(bake)
            .map(BakeCode::new)
            .map_err(columns::damaged)?;
        let ended: Option<i64> = self
            .transaction
            .query_row(
                &format!(
                    "SELECT id FROM entry WHERE bake_id = ?1 AND kind IN ('baked', 'drop') AND {IN_FORCE}"
                ),
                params![bake],
                |row| row.get(0),
            )
            .optional()?;
        match (struck.kind, ended) {
            (EntryKind::Use, Some(done)) => {
                Err(refuse(NotStruck::GrainOfDoneBake { bake: code, done }))
            }
            (EntryKind::Bake, Some(ended)) => {
                Err(refuse(NotStruck::BakeEnded { bake: code, ended }))
            }
            (EntryKind::Bake, None) => {
                let said: i64 = self.transaction.query_row(
                    &format!("SELECT count(*) FROM entry WHERE bake_id = ?1 AND kind = 'bake' AND {IN_FORCE}"),
                    params![bake],
                    |row| row.get(0),
                )?;
                if said > 1 {
                    return Ok(());
                }
                Err(refuse(NotStruck::OnlyStatementOfBake(code)))
            }
            _ => Ok(()),
        }
    }

    /// Folds a lot's entries again and keeps the result.
    fn keep_again(&self, lot_id: i64) -> anyhow::Result<()> {
        let fold = self.view().fold_entries(Some(lot_id))?;
        match fold.held().get(&lot_id) {
            // A count that found too much can be all that later entries took from.
            Some(held) if held.wet < 0 => {
                return Err(Refusal::WouldOverdraw {
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
}
