//! Grain that was promised to a bake, as it is by then, and whether the dough can be made of it.

use super::{GRAM, rounding};
use crate::desk::dough_lots::{self, Dough, Wishes};
use crate::desk::facts::FactFinder;
use crate::desk::notice::Hindrance;
use crate::desk::promises::{self, Named};
use crate::desk::still_to_do::{self, Planned};
use crate::desk::unshown::{Judged, Unshown};
use crate::grain::{Form, LotCode};
use crate::ledger::{AcceptedPlan, View};
use crate::planning::condition::Condition;
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use crate::report::promise::{LostGrain, PromisedGrain};
use crate::report::sheet::StillTo;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use uom::si::f64::Mass;

/// What others have of the grain, or take before this bake.
pub(super) struct Others {
    /// What is promised to them.
    pub promised: Vec<PromisedGrain>,
    /// What this bake loses of frozen blocks that it names without a promise, as they come out before for another.
    pub lost: Vec<LostGrain>,
    /// The frozen blocks that they name without a promise.
    pub named: Vec<Named>,
    /// Whether the accepted plan leaves this bake out.
    pub is_left_out: bool,
}

/// Grain that was promised to a bake, as it is at a moment.
pub(super) struct Held {
    pub accepted_at: Instant,
    /// Each lot once, with how much of it is promised.
    pub answers: Vec<(LotAnswer, Milligrams)>,
    /// Whether the plan named other masses, by what was known of the moisture then.
    pub is_reweighed: bool,
    pub hindrance: Option<Hindrance>,
    /// What has to be shown of lots of it.
    pub conditions: BTreeMap<LotCode, Vec<Condition>>,
    /// What the plan still has to do with lots of it.
    pub still_to: HashMap<(LotCode, Form), StillTo>,
    /// The smallest step of the scale that the plan rounded to.
    pub step: Milligrams,
}

impl Held {
    /// What is promised to a bake, if anything is, with what others have.
    pub fn of(
        view: View<'_>,
        bake: &BakeAnswer,
        dough: Dough<'_>,
        (at, unshown): (Instant, Unshown),
    ) -> anyhow::Result<(Option<Self>, Others)> {
        let accepted = view.accepted_plan()?;
        let (mine, others) = promised(view, accepted.as_ref(), bake, (at, unshown))?;
        let Some(accepted) = accepted.filter(|_| !mine.is_empty()) else {
            return Ok((None, others));
        };
        let (mut finder, work) = (FactFinder::new(view)?, view.house()?.work);
        let planned = Planned {
            about: view.about(),
            work: &work,
            tasks: &accepted.tasks,
        };
        let (mut answers, mut judged, mut still_to) = (Vec::new(), Vec::new(), HashMap::new());
        for mut part in still_to_do::parts(view, &mut finder, &mine, at)? {
            let wanted = dough.formula.grain.form;
            let one = unshown.judge_promised(&planned, &mut part, wanted);
            let lot = &part.answer.lot;
            still_to.extend(one.still_to.map(|job| ((lot.code, lot.form), job)));
            answers.push((part.answer, part.wet));
            judged.push(one);
        }
        let step = work.step.max(GRAM);
        let hindrance = hindrance(
            bake,
            &mine,
            (answers.as_slice(), judged.as_slice(), step),
            dough,
        );
        let lots = answers.iter().map(|(answer, _)| answer.lot.code);
        let held = Self {
            accepted_at: accepted.accepted_at,
            is_reweighed: mine.iter().any(|one| one.is_reweighed),
            hindrance,
            conditions: lots
                .zip(judged.into_iter().map(|one| one.conditions))
                .collect(),
            still_to,
            answers,
            step,
        };
        Ok((Some(held), others))
    }
}

/// What the accepted plan promised to this bake, and what others have.
fn promised(
    view: View<'_>,
    accepted: Option<&AcceptedPlan>,
    bake: &BakeAnswer,
    (at, unshown): (Instant, Unshown),
) -> anyhow::Result<(Vec<PromisedGrain>, Others)> {
    let now = match unshown {
        Unshown::AsKnown => at,
        Unshown::CountedOn(now) => now,
    };
    let mut found = promises::at(view, accepted, at, now)?;
    if matches!(unshown, Unshown::AsKnown) {
        // What is weighed out now came out for this bake.
        found.grain.iter_mut().for_each(|one| one.out_before = None);
        found.named_lost.clear();
    }
    let code = bake.bake.code;
    found.named_lost.retain(|one| one.bake == code);
    found.named.retain(|one| one.bake != code);
    let (mine, promised) = found.grain.into_iter().partition(|one| one.bake == code);
    let others = Others {
        promised,
        lost: found.named_lost,
        named: found.named,
        is_left_out: accepted.is_some_and(|plan| promises::is_left_out(plan, bake)),
    };
    Ok((mine, others))
}

/// Why promised grain does not go into the dough, if there is a reason.
fn hindrance(
    bake: &BakeAnswer,
    mine: &[PromisedGrain],
    (answers, judged, step): (&[(LotAnswer, Milligrams)], &[Judged], Milligrams),
    dough: Dough<'_>,
) -> Option<Hindrance> {
    let setting = &bake.bake.setting;
    if mine.iter().any(|one| one.names_others) {
        return Some(Hindrance::OtherLotsNamed);
    }
    if let Some(one) = mine.iter().find(|one| one.missing > Milligrams::ZERO) {
        return Some(Hindrance::Gone {
            lot: one.code(),
            missing: one.missing,
        });
    }
    // What was parted, or handled on several days, counts as the lot that the plan named: put together it is one again.
    let named: BTreeSet<LotCode> = mine.iter().map(|one| one.named).collect();
    if setting
        .most_lots
        .is_some_and(|most| named.len() > most as usize)
    {
        return Some(Hindrance::TooManyLots);
    }
    if let Some((lot, out)) = mine
        .iter()
        .find_map(|one| Some((one.lot?, one.out_before?)))
    {
        return Some(Hindrance::OutBefore(lot, out));
    }
    for ((answer, _), judged) in answers.iter().zip(judged) {
        let (lot, keeping) = (answer.lot.code, &judged.keeping);
        if !keeping.verdict.may_be_used() {
            return Some(Hindrance::Unusable {
                lot,
                verdict: keeping.verdict,
                limit: keeping.binding.limit.clone(),
            });
        }
        let suits = if setting.lots.is_empty() {
            dough_lots::suits(&answer.lot, dough.formula, Wishes::of(setting))
        } else {
            // Who names a lot means it, whatever its form.
            dough_lots::refuse_may_hold(&answer.lot, setting.free_of.as_deref()).is_ok()
        };
        if !suits {
            return Some(Hindrance::DoesNotSuit(lot));
        }
    }
    // As the plan counted it: it would have promised no more than the bake takes.
    let careful = mine.iter().any(|one| one.careful);
    let dry = Milligrams::nearest(promised_dry(mine, (answers, judged), careful));
    let most = Milligrams::nearest(bake.needs.dry_highest);
    (dry.get() > most.get() + rounding(answers, step)).then_some(Hindrance::TooMuch { dry, most })
}

/// Dry grain of a promise as its plan counts it: in what was dried since no more than went into the dryer, however its moisture is
/// found by now.
fn promised_dry(
    mine: &[PromisedGrain],
    (answers, judged): (&[(LotAnswer, Milligrams)], &[Judged]),
    careful: bool,
) -> Mass {
    let mut sum = Mass::default();
    for ((answer, wet), judged) in answers.iter().zip(judged) {
        let mut part = promises::counted(&answer.estimate, careful);
        let is_dried =
            answer.lot.form.is_dry() && !matches!(judged.still_to, Some(StillTo::Dry(..)));
        for one in mine.iter().filter(|_| is_dried) {
            if let Some(moisture) = one
                .moisture
                .filter(|_| one.lot == Some(answer.lot.code) && one.state == State::Dried)
            {
                part = part.min(1.0 - moisture.then);
            }
        }
        sum += wet.mass() * part;
    }
    sum
}
