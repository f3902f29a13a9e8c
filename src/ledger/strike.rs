//! Striking a wrong entry: it stays in the book and no longer counts.

use super::in_force::IN_FORCE;
use super::refusal::NotStruck;
use super::{Act, BookRefusal, EntryKind, LotRecord, columns};
use crate::dough::bake_code::BakeCode;
use rusqlite::{OptionalExtension, params};
use std::collections::BTreeSet;

/// What striking needs to know of an entry.
pub(super) struct Struck {
    pub(super) kind: EntryKind,
    pub(super) lot: Option<i64>,
    pub(super) new_lot: Option<i64>,
    place: Option<i64>,
    pub(super) bake: Option<i64>,
    pub(super) strikes: Option<i64>,
    pub(super) amends: Option<i64>,
    at: i64,
}

/// What striking did.
pub(crate) struct StruckBy {
    /// The entry that strikes.
    pub entry: i64,
    /// Entries of the same act that were struck with it.
    pub with_it: Vec<i64>,
    /// Entries that count again, where a strike or a correction was struck.
    pub back: Vec<i64>,
    /// Entries that count no more, since what takes their place counts again.
    pub out: Vec<i64>,
}

impl Act<'_> {
    /// Strikes a wrong entry: it stays in the book and no longer counts. A strike that is struck gives back all that
    /// it took.
    ///
    /// Refused where other entries stand on it, so that stock can never fall below zero.
    pub(crate) fn strike(&mut self, entry: i64, reason: &str) -> anyhow::Result<StruckBy> {
        let struck = self.struck(entry)?;
        self.refuse_out_of_force(entry)?;
        self.refuse_future(self.signature.now)?;
        if struck.kind == EntryKind::Strike {
            return self.bring_back(entry, &struck, reason);
        }
        self.refuse_strike(entry, &struck)?;
        let mut with_it = Vec::new();
        if struck.kind == EntryKind::Baked && struck.amends.is_none() {
            // What it drew was drawn by the same act, and goes back with it.
            // A draw that had been corrected gives the one before it back, which goes too.
            let mut lots = BTreeSet::new();
            let mut draws = self.draws_in_force(struck.bake)?;
            with_it.extend(draws.iter().map(|(draw, _)| *draw));
            while !draws.is_empty() {
                for (draw, lot) in draws {
                    self.write_strike(draw, Some(lot), struck.bake, reason)?;
                    lots.insert(lot);
                }
                draws = self.draws_in_force(struck.bake)?;
            }
            for lot in lots {
                self.keep_again(lot)?;
            }
        }
        if struck.kind == EntryKind::Join && struck.amends.is_none() {
            // One act put them together, and takes them apart again.
            for made in self.view().made_by(struck.new_lot.unwrap_or(0))? {
                if made.entry != entry {
                    self.write_strike(made.entry, Some(made.of), None, reason)?;
                    with_it.push(made.entry);
                    self.keep_again(made.of)?;
                }
            }
        }
        // What was read or said of the grain was corrected with its pickup, and goes back with it; so do the grain of a
        // bake that went to another time, and all parts of a join.
        let (mut strikes, mut corrected) = (Vec::new(), Vec::new());
        for amended in self.corrected_with(entry, &struck)? {
            let with = self.struck(amended)?;
            if let (EntryKind::Join, Some(amends)) = (with.kind, with.amends) {
                self.refuse_unfit_again((amended, &with), amends)?;
            }
            strikes.push(self.write_strike(amended, with.lot, with.bake, reason)?);
            with_it.push(amended);
            corrected.push(with);
        }
        let strike = self.write_strike(entry, struck.lot, struck.bake, reason)?;
        self.go_with(&strikes, strike)?;
        for with in &corrected {
            self.keep_all_of(with)?;
        }
        self.keep_all_of(&struck)?;
        let grain = corrected
            .iter()
            .filter(|with| matches!(with.kind, EntryKind::Use | EntryKind::Join));
        Ok(StruckBy {
            entry: strike,
            with_it,
            back: grain
                .filter_map(|with| with.amends)
                .chain(struck.amends)
                .collect(),
            out: Vec::new(),
        })
    }

    /// Keeps again all that follows from an entry which does or does not count by now.
    fn keep_all_of(&mut self, changed: &Struck) -> anyhow::Result<()> {
        // What a correction takes the place of may be about another lot.
        let before = match changed.amends {
            Some(amended) => self.struck(amended)?.lot,
            None => None,
        };
        for lot in [changed.lot, changed.new_lot, before].into_iter().flatten() {
            self.keep_again(lot)?;
            self.keep_facts(lot)?;
        }
        if let Some(bake) = changed.bake {
            self.keep_bake(bake)?;
        }
        if changed.kind == EntryKind::Source {
            self.keep_sources()?;
        }
        Ok(())
    }

    /// Strikes a strike, and with it those of the same act: what they struck counts again, if it could be written
    /// anew.
    fn bring_back(&mut self, strike: i64, of: &Struck, reason: &str) -> anyhow::Result<StruckBy> {
        let named = of.strikes.unwrap_or(0);
        let struck = self.struck(named)?;
        if let Some(first) = struck.strikes {
            self.refuse_out_of_force(first)?;
            return Err(BookRefusal::NotStruck {
                entry: strike,
                why: NotStruck::StrikesAStrike(first),
            }
            .into());
        }
        if let Some(with) = self.last_strike_of_its_act(strike, &struck)? {
            let why = NotStruck::StruckWith(with);
            return Err(BookRefusal::NotStruck { entry: strike, why }.into());
        }
        let mut strikes = Vec::new();
        let (mut back, mut out) = (Vec::new(), Vec::new());
        for (strike, entry) in self.strikes_of_one_act(strike, &struck)? {
            let struck = self.struck(entry)?;
            if let Some(amended) = struck.amends {
                match self.view().taken_out_by(amended)? {
                    None => out.push(amended),
                    // Another correction has taken its place meanwhile.
                    Some((_, false)) => self.refuse_out_of_force(amended)?,
                    // The grain of the bake went back with what it corrects.
                    Some((by, true)) if struck.kind == EntryKind::Baked => {
                        let why = NotStruck::BakeIsStruck(by);
                        return Err(BookRefusal::NotStruck { entry: strike, why }.into());
                    }
                    Some((_, true)) => {}
                }
            }
            let by = self.write_strike(strike, struck.lot, struck.bake, reason)?;
            strikes.push((strike, by));
            back.push((entry, struck));
        }
        // What is asked of one entry looks at the facts that come back with it; a refusal undoes all of it.
        for (_, struck) in &back {
            for lot in [struck.lot, struck.new_lot].into_iter().flatten() {
                self.keep_facts(lot)?;
            }
        }
        for (entry, struck) in &back {
            self.refuse_back(*entry, struck)?;
        }
        for (_, struck) in &back {
            self.keep_all_of(struck)?;
        }
        let own = strikes.pop().map_or(0, |(_, by)| by);
        Ok(StruckBy {
            entry: own,
            with_it: strikes.into_iter().map(|(strike, _)| strike).collect(),
            back: back.into_iter().map(|(entry, _)| entry).collect(),
            out,
        })
    }

    /// Refuses to let an entry count again that could not be written anew.
    fn refuse_back(&self, entry: i64, back: &Struck) -> anyhow::Result<()> {
        let at = columns::instant(back.at);
        if let Some(lot) = back.lot {
            let lot = self.lot_that_came(lot, entry)?;
            self.refuse_unfit((back.kind, entry, at), &lot, at, None)?;
            match back.kind {
                EntryKind::Move => self.refuse_out_of_order(&lot, at, Some(entry))?,
                EntryKind::Count => self.refuse_before_other_weights(&lot, at)?,
                EntryKind::Moisture => {
                    let opened: Option<i64> = self
                        .transaction
                        .query_row(
                            &format!(
                                "SELECT other.entry_id FROM sample_continued AS own
                                 JOIN sample_continued AS other ON other.opened = own.opened AND other.entry_id <> own.entry_id
                                 JOIN entry ON entry.id = other.entry_id
                                 WHERE own.entry_id = ?1 AND {IN_FORCE}"
                            ),
                            params![entry],
                            |row| row.get(0),
                        )
                        .optional()?;
                    if let Some(other) = opened {
                        let why = NotStruck::WeighedOn(other);
                        return Err(BookRefusal::NotStruck { entry, why }.into());
                    }
                }
                kind if kind.makes_lot() => self.refuse_moved_after(&lot, at)?,
                _ => {}
            }
        }
        if let (Some(place), EntryKind::Place) = (back.place, back.kind) {
            let places = self.view().places()?;
            let later = places
                .iter()
                .find(|known| known.id == place)
                .filter(|known| known.settings.last().is_some_and(|last| last.from > at));
            if let Some(later) = later {
                return Err(BookRefusal::PlaceStatedLater(later.name.clone()).into());
            }
        }
        if let (Some(bake), EntryKind::Use) = (back.bake, back.kind)
            && let Some(by) = self.bake_undone_by(bake)?
        {
            // Grain that was added to a done bake is grain of no dough without it.
            let why = NotStruck::GrainOfStruckBake(by);
            return Err(BookRefusal::NotStruck { entry, why }.into());
        }
        if let (Some(bake), EntryKind::Baked | EntryKind::Drop | EntryKind::Bake) =
            (back.bake, back.kind)
            && let Some(ended) = self.ended(bake, Some(entry))?
        {
            let bake = u32::try_from(bake)
                .map(BakeCode::new)
                .map_err(columns::damaged)?;
            let why = NotStruck::BakeEnded { bake, ended };
            return Err(BookRefusal::NotStruck { entry, why }.into());
        }
        Ok(())
    }

    /// What ended a bake and is in force, but for one entry.
    pub(super) fn ended(
        &self,
        bake: i64,
        other_than: Option<i64>,
    ) -> rusqlite::Result<Option<i64>> {
        self.transaction.query_row(
            &format!(
                "SELECT min(id) FROM entry WHERE bake_id = ?1 AND kind IN ('baked', 'drop')
                       AND id IS NOT ?2 AND {IN_FORCE}"
            ),
            params![bake, other_than],
            |row| row.get(0),
        )
    }

    /// The entry that struck last what says that a bake is done, where nothing says it any more.
    fn bake_undone_by(&self, bake: i64) -> rusqlite::Result<Option<i64>> {
        self.transaction.query_row(
            &format!(
                "SELECT max(by_entry_id) FROM out_of_force JOIN entry AS was ON was.id = out_of_force.entry_id
                 WHERE was.bake_id = ?1 AND was.kind = 'baked'
                   AND NOT EXISTS (SELECT 1 FROM entry WHERE bake_id = ?1 AND kind = 'baked' AND {IN_FORCE})"
            ),
            params![bake],
            |row| row.get(0),
        )
    }

    pub(super) fn struck(&self, entry: i64) -> anyhow::Result<Struck> {
        self.transaction
            .query_row(
                "SELECT kind, lot_id, new_lot_id, place_id, bake_id, struck_entry_id, amends_entry_id, at
                 FROM entry WHERE id = ?1",
                params![entry],
                |row| {
                    Ok(Struck {
                        kind: row.get(0)?,
                        lot: row.get(1)?,
                        new_lot: row.get(2)?,
                        place: row.get(3)?,
                        bake: row.get(4)?,
                        strikes: row.get(5)?,
                        amends: row.get(6)?,
                        at: row.get(7)?,
                    })
                },
            )
            .optional()?
            .ok_or_else(|| BookRefusal::NoEntry(entry).into())
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
        let strike = self.transaction.last_insert_rowid();
        self.settle(entry)?;
        Ok(strike)
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
        let refuse = |why| BookRefusal::NotStruck { entry, why }.into();
        if let Some(amends) = struck.amends {
            self.refuse_weighed_on(entry)?;
            self.refuse_unfit_again((entry, struck), amends)?;
            return self.refuse_strike_of_moved_grain(entry, struck);
        }
        if struck.kind == EntryKind::Moisture && self.continues_a_sample(entry)? {
            // In the middle of a chain it would leave two ends, and one dish would count twice.
            self.refuse_weighed_on(entry)?;
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
        // found on it may be lost. Grain that came back to the lot it was split from was found warm or spoiled all the
        // same; a pickup that is booked in anew may have its tests and readings entered anew.
        match self.stands_on(struck)? {
            none if none.is_empty() => Ok(()),
            standing => Err(refuse(NotStruck::RestOnIt(standing))),
        }
    }

    /// The lot of an entry that would count again. Refused where the entry by which that lot came is struck.
    fn lot_that_came(&self, lot: i64, entry: i64) -> anyhow::Result<LotRecord> {
        let lot = self.view().lot_by_id(lot)?;
        match self.view().is_void(&lot)? {
            None => Ok(lot),
            Some(by) => {
                let why = NotStruck::LotIsVoid(lot.code, by);
                Err(BookRefusal::NotStruck { entry, why }.into())
            }
        }
    }

    /// Refuses that what a correction took the place of counts again where that cannot have been.
    pub(super) fn refuse_unfit_again(
        &self,
        (entry, correction): (i64, &Struck),
        amends: i64,
    ) -> anyhow::Result<()> {
        let before = self.struck(amends)?;
        let Some(lot) = before.lot else {
            return Ok(());
        };
        let lot = self.lot_that_came(lot, amends)?;
        if before.kind == EntryKind::Move && before.lot != correction.lot {
            self.refuse_out_of_order(&lot, columns::instant(before.at), None)?;
        }
        self.refuse_unfit(
            (before.kind, entry, columns::instant(correction.at)),
            &lot,
            columns::instant(before.at),
            None,
        )
    }

    /// A bake's draws stand and fall with what it came to, and what it came to stands on what it was to be.
    fn refuse_strike_of_bake(&self, entry: i64, struck: &Struck) -> anyhow::Result<()> {
        let Some(bake) = struck.bake else {
            return Ok(());
        };
        let refuse = |why| BookRefusal::NotStruck { entry, why }.into();
        let code = u32::try_from(bake)
            .map(BakeCode::new)
            .map_err(columns::damaged)?;
        let ended = self.ended(bake, None)?;
        match (struck.kind, ended) {
            // Grain that was added to a bake that was done by then is an act of its own.
            (EntryKind::Use, Some(done))
                if self
                    .corrections_of(done)?
                    .last()
                    .is_some_and(|first| *first < entry) =>
            {
                Ok(())
            }
            (EntryKind::Use, Some(done)) => {
                let strike = self.strikes_of_done(done)?;
                Err(refuse(NotStruck::GrainOfDoneBake {
                    bake: code,
                    done,
                    strike,
                }))
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
}
