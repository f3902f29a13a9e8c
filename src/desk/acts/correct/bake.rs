//! Corrects what a bake came to. Its grain stands in entries of its own, and goes along where the time was wrong.

use super::fields::{OF_BAKED, refuse_fields, refuse_unchanged};
use super::mixing::{learned_anew, not_given_again};
use super::{Correct, Corrected, Correction};
use crate::desk::acts::far_from_sheet::{CameTo, OnSheet, name_entries};
use crate::desk::acts::strike::lots_of;
use crate::desk::draws::OutflowsBefore;
use crate::desk::guard::{self, Compare};
use crate::desk::notice::NotLearned;
use crate::desk::{Answer, Desk, Notice, Refusal};
use crate::dough::batch::warmth;
use crate::ledger::{
    BakeEnd, BakeRecord, BakeResult, EntryKind, EntryRecord, LogFilter, Measured, View,
};
use crate::quantity::{Instant, Milligrams, Scale, Temperature};
use crate::report::bake::BakeAnswer;
use anyhow::Context;

impl Desk {
    /// Corrects what a bake came to. At another time its grain may have been past or unknown: that is told, as of a use that is
    /// corrected.
    pub(super) fn correct_bake(
        &mut self,
        request: &Correct<'_>,
    ) -> anyhow::Result<Answer<Corrected>> {
        let ((done, bake, told), lacking) = self.act(Compare::Promises, |act| {
            let entry = act.view().entry(request.entry)?;
            act.refuse_out_of_force(entry.entry)?;
            refuse_grain_of_same_bake(&entry, &request.right)
                .and_then(|()| refuse_fields(&entry, &request.right))
                .map_err(|refusal| held_by_its_grain(act.view(), &entry, refusal))?;
            let code = entry.bake.context("a done bake has no code")?.to_string();
            let bake = BakeAnswer::of(act.view().bake(&code)?)?;
            let Some(BakeEnd::Done(was)) = &bake.bake.end else {
                return Err(Refusal::BakeNotDone(bake.bake.code).into());
            };
            let gone_out = OutflowsBefore::of(act.view(), lots_of(act.view(), &entry)?)?;
            let as_of = guard::judged_as_of(act.view(), act.now())?;
            let learned = learned_anew(act.view(), &bake, (&entry, was), &request.right)?;
            let unknown = not_given_again(act.view(), &bake.needs.formula)?;
            let (is, mut told) = put_right(&bake, was, &request.right, (learned, unknown));
            let by = act.correct_bake(&entry, (&bake.bake, &is), request.reason)?;
            let by = act.view().entry(by)?;
            refuse_unchanged(&entry, &by)?;
            name_entries(&mut told, &[], &[], by.entry);
            let marks = gone_out.marks(act.view())?;
            told.extend(marks.notices());
            let gone = std::iter::once((&entry, by.entry));
            told.extend(guard::better_by_clock(
                act.view(),
                (as_of, act.now()),
                gone,
            )?);
            let done = Corrected {
                entry,
                by,
                lot: None,
                bake: None,
                unusable: marks.set,
            };
            Ok((done, act.view().bake(&code)?, told))
        })?;
        let answer = self.with_its_bake(done, bake)?;
        Ok(answer.with_notices(lacking).with_notices(told))
    }

    /// What was done, with the bake as it stands now.
    pub(super) fn with_its_bake(
        &self,
        done: Corrected,
        bake: BakeRecord,
    ) -> anyhow::Result<Answer<Corrected>> {
        let bake = self.bake_as_it_stands(bake)?;
        let done = Corrected {
            bake: Some(bake.answer),
            ..done
        };
        Ok(Answer::new(done, bake.cautions))
    }
}

/// Refuses that grain is said anew of the bake that is done: that stands in its own entries.
fn refuse_grain_of_same_bake(entry: &EntryRecord, right: &Correction<'_>) -> Result<(), Refusal> {
    // With the bake it is the grain that went in anyway.
    if right.used.is_empty() || right.bake.is_some() {
        return Ok(());
    }
    Err(Refusal::NotInEntry {
        entry: entry.entry,
        kind: entry.kind,
        field: "wet",
    })
}

/// What a bake came to with what is right, and what is to be told of it. What its sheet said stays as it was said, unless that of
/// another sheet is given. By how much mixing warmed the dough may have been `learned` anew, else `unknown` says why nothing
/// follows from the dough alone.
fn put_right(
    bake: &BakeAnswer,
    was: &BakeResult,
    right: &Correction<'_>,
    (mut learned, unknown): (Option<Result<f64, NotLearned>>, NotLearned),
) -> (BakeResult, Vec<Notice>) {
    let at: Instant = right.at.unwrap_or(was.at);
    let mut told = Vec::new();
    let was_said = (was.measured.said_pour, was.measured.said_hold);
    // Of another sheet nothing else is known: neither its grain, nor the part of its water for thirst.
    let (said, said_thirst, sheet_grain) = match right.said.filter(|said| *said != was_said) {
        Some(said) => (said, None, Vec::new()),
        None => (was_said, was.measured.said_thirst, was.sheet_grain.clone()),
    };
    let mut measured = Measured {
        said_pour: said.0,
        said_hold: said.1,
        said_thirst,
        water: right.water.or(was.measured.water),
        pieces: right.pieces.or(was.measured.pieces),
        baked: right.baked.or(was.measured.baked),
        came_out: right.came_out.or(was.measured.came_out),
        ..was.measured
    };
    let dough = right.dough_temp.map(Temperature::milli_celsius);
    if let Some(dough) = dough.filter(|dough| was.measured.dough_milli_celsius != Some(*dough)) {
        measured.dough_milli_celsius = Some(dough);
        learned = learned.or_else(|| Some(learned_by(bake, &was.measured, dough, unknown)));
    }
    if let Some(learned) = learned {
        measured.mixing_kelvin = learned.as_ref().ok().copied();
        told.push(match learned {
            Ok(kelvin) => Notice::MixingWarmed(kelvin),
            // The entry is written later, and named then.
            Err(why) => Notice::MixingHeatNotLearned(why, 0),
        });
    }
    let setting = &bake.bake.setting;
    let came_to = CameTo {
        grain: None,
        water: measured.water,
        pieces: measured.pieces,
        baked: measured.baked,
        dough_temp: measured
            .dough_milli_celsius
            .map(|milli| Temperature::new(milli, Scale::Celsius)),
        mixed_at: right.at,
    };
    told.extend(came_to.far_from(&OnSheet {
        grain: Milligrams::ZERO,
        is_of_book: right.said.is_none(),
        pour: measured.said_pour,
        hold: measured.said_hold,
        pieces: setting.pieces,
        dough: Milligrams::new(setting.piece.get() * i64::from(setting.pieces)),
        mix_at: bake.needs.timetable.mix_at,
    }));
    let is = BakeResult {
        entry: None,
        at,
        sheet_grain,
        measured,
        note: right.words(was.note.as_deref()).map(str::to_owned),
        ..was.clone()
    };
    (is, told)
}

/// By how much mixing warmed a dough that was as warm as is right now. The temperatures of what went in are not kept, so
/// where none is given again this follows from what was learned first.
fn learned_by(
    bake: &BakeAnswer,
    was: &Measured,
    dough: i32,
    unknown: NotLearned,
) -> Result<f64, NotLearned> {
    let celsius = |milli: i32| f64::from(milli) / 1e3;
    let (Some(written), Some(rise)) = (was.dough_milli_celsius, was.mixing_kelvin) else {
        return Err(unknown);
    };
    // The water was for the dough as it was written down, so it says nothing of one at another temperature.
    if bake.needs.formula.dough_temperature.is_none() {
        return Err(NotLearned::WaterUnknown);
    }
    warmth::rise_corrected(rise, (celsius(written), celsius(dough)))
        .map_err(NotLearned::Unexplained)
}

/// A refusal to correct something of grain that went into a bake: the bake may hold it.
pub(super) fn held_by_its_bake(
    view: View<'_>,
    entry: &EntryRecord,
    refusal: Refusal,
) -> anyhow::Error {
    match refusal {
        Refusal::NotInEntry { field, .. } if OF_BAKED.contains(&field) => {
            held_elsewhere(view, entry, EntryKind::Use, EntryKind::Baked, refusal)
        }
        _ => refusal.into(),
    }
}

/// A refusal to correct something of a done bake: its grain may hold it.
pub(super) fn held_by_its_grain(
    view: View<'_>,
    entry: &EntryRecord,
    refusal: Refusal,
) -> anyhow::Error {
    match refusal {
        Refusal::NotInEntry {
            field: "wet" | "lot",
            ..
        } => held_elsewhere(view, entry, EntryKind::Baked, EntryKind::Use, refusal),
        _ => refusal.into(),
    }
}

/// The refusal with the entries of this kind that hold it, where the entry is of the other kind and of a bake.
fn held_elsewhere(
    view: View<'_>,
    entry: &EntryRecord,
    kind: EntryKind,
    holds: EntryKind,
    refusal: Refusal,
) -> anyhow::Error {
    let (Some(bake), &Refusal::NotInEntry { field, .. }) = (entry.bake, &refusal) else {
        return refusal.into();
    };
    if entry.kind != kind {
        return refusal.into();
    }
    let of_bake = view.log(&LogFilter {
        bake: Some(bake),
        kind: Some(holds),
        ..LogFilter::default()
    });
    let in_force = |all: Vec<EntryRecord>| {
        let all = all.into_iter().filter(EntryRecord::says_something_in_force);
        all.map(|one| one.entry).collect::<Vec<i64>>()
    };
    match of_bake.map(in_force) {
        Ok(stands_in) => Refusal::FactOfBake {
            entry: entry.entry,
            bake,
            stands_in,
            field,
        }
        .into(),
        Err(error) => error,
    }
}
