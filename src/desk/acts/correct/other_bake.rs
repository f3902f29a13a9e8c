//! Moves what a bake came to to the bake that was meant: the one that was named by mistake is done no more, and the same is written
//! down of the other, with the grain that went in. Where the bake stays and other grain went in, it is written down anew.

use super::bake::held_by_its_grain;
use super::fields::refuse_fields;
use super::mixing::not_given_again;
use super::{Correct, Corrected, Correction};
use crate::desk::acts::finish_bake::{self, FinishBake};
use crate::desk::acts::strike::lots_of;
use crate::desk::draws::OutflowsBefore;
use crate::desk::free_of::FreeOfBefore;
use crate::desk::guard::{self, Compare};
use crate::desk::notice::NotLearned;
use crate::desk::{Answer, Desk, Notice, Refusal};
use crate::ledger::{BakeEnd, BakeResult, View};
use crate::quantity::{Milligrams, Scale, Temperature};
use crate::report::bake::BakeAnswer;
use anyhow::Context;

/// Whether a correction names the bake that is done anyway, and no other grain than went in: that moves nothing.
pub(super) fn keeps_bake_and_grain(
    view: View<'_>,
    request: &Correct<'_>,
    code: &str,
) -> anyhow::Result<bool> {
    let bake = view.bake(code)?;
    if view.entry(request.entry)?.bake != Some(bake.code) {
        return Ok(false);
    }
    if request.right.used.is_empty() {
        return Ok(true);
    }
    let Some(BakeEnd::Done(was)) = &bake.end else {
        return Ok(false);
    };
    let mut right = Vec::new();
    for (lot, wet) in request.right.used {
        right.push((view.lot(lot)?.code.to_string(), *wet));
    }
    let mut went_in = used(was);
    right.sort();
    went_in.sort();
    Ok(right == went_in)
}

impl Desk {
    /// Moves a done bake to another one, which is guarded as if it were written down anew, and as a strike of the first. The
    /// bake may be the same, with other grain.
    pub(super) fn move_to_bake(
        &mut self,
        request: &Correct<'_>,
        code: &str,
    ) -> anyhow::Result<Answer<Corrected>> {
        let right = &request.right;
        let ((done, bake, told), lacking) = self.act(Compare::Promises, |act| {
            let entry = act.view().entry(request.entry)?;
            act.refuse_out_of_force(entry.entry)?;
            refuse_fields(&entry, right)
                .map_err(|refusal| held_by_its_grain(act.view(), &entry, refusal))?;
            let named = entry.bake.context("a done bake has no code")?.to_string();
            let wrong = BakeAnswer::of(act.view().bake(&named)?)?;
            let meant = BakeAnswer::of(act.view().bake(code)?)?;
            let is_same = meant.bake.code == wrong.bake.code;
            if !is_same {
                meant.bake.refuse_ended()?;
            }
            let Some(BakeEnd::Done(was)) = &wrong.bake.end else {
                return Err(Refusal::BakeNotDone(wrong.bake.code).into());
            };
            let as_of = guard::judged_as_of(act.view(), act.now())?;
            let judged = guard::judge_all(act.view(), as_of)?;
            let lots = lots_of(act.view(), &entry)?;
            let free_of = FreeOfBefore::of(act.view(), lots.clone())?;
            let gone_out = OutflowsBefore::of(act.view(), lots)?;
            let first = act.undo_bake(entry.entry, request.reason)?;
            // By now it is open.
            let meant = BakeAnswer::of(act.view().bake(code)?)?;
            let used = match right.used {
                [] => used(was),
                used => used.to_vec(),
            };
            let at = right.at.unwrap_or(was.at);
            // What the sheet of the same bake said stays as it was said.
            let said = right.said.or(is_same.then_some(said_of(was)));
            let finish = finish((code, said), (was, right), &used);
            let unknown = not_given_again(act.view(), &meant.needs.formula)?;
            let keep = |is: &mut BakeResult, told: &mut Vec<Notice>| {
                keep(((&wrong, was), (&meant, is)), (right, unknown), told);
            };
            let (by, mut told) = finish_bake::write_down(act, &finish, (&meant, at), keep)?;
            let judged_now = guard::judge_all(act.view(), as_of)?;
            guard::refuse_late_since(act.view(), first, &judged, &judged_now)?;
            let marks = gone_out.marks(act.view())?;
            guard::refuse_cleared_late_since(act.view(), first, &marks.cleared)?;
            told.extend(guard::judged_otherwise(&judged, &judged_now, None));
            let gone = std::iter::once((&entry, by));
            told.extend(guard::better_by_clock(
                act.view(),
                (as_of, act.now()),
                gone,
            )?);
            // What is marked of the bake that is written down was told there.
            for notice in free_of.told(act.view())?.into_iter().chain(marks.notices()) {
                if !told.contains(&notice) {
                    told.push(notice);
                }
            }
            let done = Corrected {
                entry,
                by: act.view().entry(by)?,
                lot: None,
                bake: None,
                unusable: marks.set,
            };
            Ok((done, act.view().bake(code)?, told))
        })?;
        let answer = self.with_its_bake(done, bake)?;
        Ok(answer.with_notices(lacking).with_notices(told))
    }
}

/// What went in of each lot: of one that was added to, in all.
pub(super) fn used(was: &BakeResult) -> Vec<(String, Milligrams)> {
    let mut used: Vec<(String, Milligrams)> = Vec::new();
    for (lot, wet) in &was.draws {
        let code = lot.code.to_string();
        match used.iter_mut().find(|(known, _)| *known == code) {
            Some((_, sum)) => *sum = Milligrams::new(sum.get() + wet.get()),
            None => used.push((code, *wet)),
        }
    }
    used
}

/// What is written down of the bake that was meant: what the other one came to, and what is right.
fn finish<'a>(
    (code, said): (&'a str, Option<(Milligrams, Milligrams)>),
    (was, right): (&'a BakeResult, &Correction<'a>),
    used: &'a [(String, Milligrams)],
) -> FinishBake<'a> {
    let measured = &was.measured;
    let dough = measured.dough_milli_celsius;
    FinishBake {
        bake: code,
        at: Some(right.at.unwrap_or(was.at)),
        used,
        said,
        water: right.water.or(measured.water),
        pieces: right.pieces.or(measured.pieces),
        baked: right.baked.or(measured.baked),
        dough_temp: right
            .dough_temp
            .or(dough.map(|milli| Temperature::new(milli, Scale::Celsius))),
        water_temp: right.water_temp,
        temperatures: right.temperatures.clone(),
        came_out: right.came_out.or(measured.came_out),
        note: right.words(was.note.as_deref()),
        ..FinishBake::default()
    }
}

/// What the sheet said to pour first and to hold back.
const fn said_of(was: &BakeResult) -> (Milligrams, Milligrams) {
    (was.measured.said_pour, was.measured.said_hold)
}

/// Keeps what goes along as it was: a rating of an earlier version, what else is known of the sheet of the same bake, and by how much
/// mixing warmed the dough. The temperatures of what went in are not kept, so that follows from what was learned first, unless they
/// are given again.
fn keep(
    ((wrong, was), (meant, is)): ((&BakeAnswer, &BakeResult), (&BakeAnswer, &mut BakeResult)),
    (right, unknown): (&Correction<'_>, NotLearned),
    told: &mut Vec<Notice>,
) {
    is.measured.rating = was.measured.rating;
    let is_same_bake = meant.bake.code == wrong.bake.code;
    if is_same_bake && right.said.is_none_or(|said| said == said_of(was)) {
        is.measured.said_thirst = was.measured.said_thirst;
        is.sheet_grain = was.sheet_grain.clone();
    }
    let is_given = right.dough_temp.is_some()
        || right.water_temp.is_some()
        || !right.temperatures.of_what_goes_in().is_empty();
    if is_given {
        return;
    }
    told.retain(|notice| {
        !matches!(
            notice,
            Notice::MixingWarmed(_) | Notice::MixingHeatNotLearned(..)
        )
    });
    // Doughs of two formulas warm by different amounts, and the weights of one say nothing of the other; nor does other grain.
    let (of, formula) = (&wrong.bake.setting.formula, &meant.bake.setting.formula);
    let is_same_formula = (&of.name, of.version) == (&formula.name, formula.version);
    let is_same = is_same_bake || (is_same_formula && right.used.is_empty());
    is.measured.mixing_kelvin = was.measured.mixing_kelvin.filter(|_| is_same);
    if was.measured.mixing_kelvin.is_some() && !is_same {
        told.push(Notice::MixingHeatNotLearned(unknown, 0));
    }
}
