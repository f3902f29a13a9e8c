//! The lots of a bake: those that the accepted plan promised to it, with the masses that it promised, or else those
//! that it names, or else the first to expire of what is promised to no other bake.

mod earlier_bakes;
mod held;

use super::dough_lots::{self, Dough, LotsInDough, Wishes};
use super::notice::Hindrance;
use super::unshown::Unshown;
use super::{Notice, plan_facts, promises, thawing};
use crate::dough::bake_code::BakeCode;
use crate::dough::batch;
use crate::grain::{Form, LotCode};
use crate::ledger::View;
use crate::planning::problem::WaterRoom;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use crate::report::promise::PromisedGrain;
use crate::report::sheet::StillTo;
use held::Held;
use std::collections::{BTreeMap, HashMap};
use uom::si::f64::Mass;

/// The lots, and the dough that they make.
pub struct Found<'a> {
    /// The lots with what is taken of each.
    pub lots: LotsInDough,
    /// The dough, with the grain share that promised grain comes to, or what there is where the lots fall short.
    pub dough: Dough<'a>,
    /// What is to be said of it.
    pub notice: Option<Notice>,
    /// What the plan still has to do with lots of it, which have that form in the dough.
    pub still_to: HashMap<(LotCode, Form), StillTo>,
    /// Bakes mixed earlier, which no plan promised anything, whose grain is left to them.
    pub left_to: Vec<BakeCode>,
}

/// Chooses the lots for a bake. A notice tells of promised grain that may not be used at that moment, or of which less is
/// left.
pub fn find<'a>(
    view: View<'_>,
    bake: &BakeAnswer,
    dough: Dough<'a>,
    (at, unshown): (Instant, Unshown),
) -> anyhow::Result<Found<'a>> {
    let code = bake.bake.code;
    let (held, others) = Held::of(view, bake, dough, (at, unshown))?;
    let (mut notice, mut out_before) = (None, thawing::once_out(view, &others.lost, at)?);
    if !others.lost.is_empty() {
        notice = Some(Notice::PromisedGrainLost(others.lost));
    }
    if let Some(held) = held {
        match held.hindrance {
            None => {
                let (answers, less) = as_much_as_it_takes(held.answers, held.step, bake, dough);
                let (mut lots, dough) = promised_lots(view, bake, answers, dough)?;
                lots.conditions = held.conditions;
                return Ok(Found {
                    lots,
                    dough,
                    notice: Some(Notice::PromisedGrainTaken {
                        bake: code,
                        accepted_at: held.accepted_at,
                        at,
                        is_reweighed: held.is_reweighed,
                        less,
                    }),
                    still_to: held.still_to,
                    left_to: Vec::new(),
                });
            }
            // Whoever names others knows it.
            Some(Hindrance::OtherLotsNamed) => {}
            Some(why) => {
                if matches!(why, Hindrance::OutBefore(..)) {
                    out_before = held.answers.into_iter().map(|(lot, _)| lot).collect();
                }
                notice = Some(Notice::PromisedGrainNotTaken {
                    bake: code,
                    accepted_at: held.accepted_at,
                    at,
                    why,
                });
            }
        }
    }
    let mut taken: BTreeMap<LotCode, Milligrams> = BTreeMap::new();
    for one in &others.promised {
        let sum = taken.entry(one.code()).or_default();
        *sum = Milligrams::new(sum.get() + one.there().get());
    }
    let setting = &bake.bake.setting;
    // What is weighed out by now was decided by who weighed it.
    if others.is_left_out && matches!(unshown, Unshown::CountedOn(_)) {
        notice = left_out(bake, &others.promised);
    }
    if !setting.lots.is_empty() {
        // What is in a dough that is made is looked at where it is written down.
        if let Unshown::CountedOn(_) = unshown {
            dough_lots::refuse_named_that_may_hold(setting)?;
        }
        let mut lots = dough_lots::of_bake(view, setting, dough, (at, unshown))?;
        if others.is_left_out {
            lots = lots.without(&taken, dough)?;
        }
        thawing::mark_as_out(&mut lots.answers, &out_before);
        return Ok(Found {
            dough: lots.as_far_as_they_go(dough),
            lots,
            notice,
            still_to: HashMap::new(),
            left_to: Vec::new(),
        });
    }
    earlier_bakes::leave_blocks(view, (at, unshown), &others.named, &mut taken)?;
    let promised_to: Vec<BakeCode> = others.promised.iter().map(|one| one.bake).collect();
    let left_to = earlier_bakes::take_of(view, bake, (at, unshown), &promised_to, &mut taken)?;
    let lots = dough_lots::first_expired(view, dough, Wishes::of(setting), at, &taken)?;
    Ok(Found {
        dough: lots.as_far_as_they_go(dough),
        lots,
        notice,
        still_to: HashMap::new(),
        left_to,
    })
}

/// That the accepted plan leaves a bake out, where it is optional or names grain that is promised to others.
fn left_out(bake: &BakeAnswer, promised: &[PromisedGrain]) -> Option<Notice> {
    let setting = &bake.bake.setting;
    let mut left: BTreeMap<(LotCode, BakeCode), i64> = BTreeMap::new();
    for one in promised {
        if setting.lots.iter().any(|lot| lot.code == one.code()) {
            *left.entry((one.code(), one.bake)).or_default() += one.there().get();
        }
    }
    left.retain(|_, wet| *wet > 0);
    let left: Vec<_> = left
        .into_iter()
        .map(|((lot, bake), wet)| (Milligrams::new(wet), lot, bake))
        .collect();
    (!setting.firm || !left.is_empty()).then_some(Notice::LeftOutByPlan {
        bake: bake.bake.code,
        left,
    })
}

/// What a bake loses by a change of it: it was to take what the accepted plan promised to it and no longer does.
pub fn lost_by_change(
    view: View<'_>,
    was: Option<(Instant, Option<Hindrance>)>,
    after: &BakeAnswer,
    now: Instant,
) -> anyhow::Result<Option<Notice>> {
    let is = hindrance_of(view, after, now)?;
    let (Some((accepted_at, None)), Some((_, Some(why)))) = (was, is) else {
        return Ok(None);
    };
    Ok(Some(Notice::PromisedGrainNotTaken {
        bake: after.bake.code,
        accepted_at,
        at: now,
        why,
    }))
}

/// When grain was promised to a bake, and what hinders that it is made of it.
pub fn hindrance_of(
    view: View<'_>,
    bake: &BakeAnswer,
    now: Instant,
) -> anyhow::Result<Option<(Instant, Option<Hindrance>)>> {
    let at = bake.needs.grain_at().max(now);
    let dough = Dough::of(&bake.bake.setting, &bake.needs.formula);
    let (held, _) = Held::of(view, bake, dough, (at, Unshown::CountedOn(now)))?;
    Ok(held.map(|held| (held.accepted_at, held.hindrance)))
}

const GRAM: Milligrams = Milligrams::new(1000);

/// Draws are whole steps of a scale: a step of each lot is no more than rounding.
fn rounding(answers: &[(LotAnswer, Milligrams)], step: Milligrams) -> i64 {
    step.get() * answers.len() as i64
}

fn dry(answers: &[(LotAnswer, Milligrams)], careful: bool) -> Mass {
    answers.iter().fold(Mass::default(), |sum, (answer, wet)| {
        sum + wet.mass() * promises::counted(&answer.estimate, careful)
    })
}

/// As much of each promised lot, in whole grams, as the dough takes by the estimate, of dry grain and of the water with
/// it, and how much less that is, where it is more than the rounding of the plan. A plan keeps to it, but a lot may be
/// found wetter since, and a careful plan counts less dry grain in a lot than is likely.
fn as_much_as_it_takes(
    mut answers: Vec<(LotAnswer, Milligrams)>,
    step: Milligrams,
    bake: &BakeAnswer,
    dough: Dough<'_>,
) -> (Vec<(LotAnswer, Milligrams)>, Milligrams) {
    let brought = |room: WaterRoom| -> f64 {
        let of = |(answer, wet): &(LotAnswer, Milligrams)| {
            let wet = wet.get() as f64;
            room.water(wet, wet * answer.estimate.wet_basis().dry_fraction().get())
        };
        answers.iter().map(of).sum()
    };
    let mut part = 1.0_f64;
    if let Some(room) = plan_facts::water_room(dough.formula, dough.size)
        && brought(room) > room.most.get() as f64
    {
        part = part.min(room.most.get() as f64 / brought(room));
    }
    let (holds, most) = (dry(&answers, false), bake.needs.dry_highest);
    if Milligrams::nearest(holds - most).get() > rounding(&answers, GRAM) {
        part = part.min((most / holds).get::<uom::si::ratio::ratio>());
    }
    let mut less = 0;
    if part < 1.0 {
        for (_, wet) in &mut answers {
            let grams = (wet.get() as f64 * part / 1000.0).floor() as i64;
            less += wet.get() - grams * 1000;
            *wet = Milligrams::new(grams * 1000);
        }
    }
    let is_told = less > rounding(&answers, step);
    (answers, Milligrams::new(if is_told { less } else { 0 }))
}

/// The lots with what a plan draws of each, and the dough that they make: as the sheet has them once that is promised.
pub fn of_draws<'a>(
    view: View<'_>,
    bake: &BakeAnswer,
    draws: Vec<(LotAnswer, Milligrams)>,
    dough: Dough<'a>,
) -> anyhow::Result<(LotsInDough, Dough<'a>)> {
    let (answers, _) = as_much_as_it_takes(draws, GRAM, bake, dough);
    promised_lots(view, bake, answers, dough)
}

/// The promised masses, and the dough with the share that they come to. What a bake lacks of its least is
/// short, as its plan said.
fn promised_lots<'a>(
    view: View<'_>,
    bake: &BakeAnswer,
    answers: Vec<(LotAnswer, Milligrams)>,
    dough: Dough<'a>,
) -> anyhow::Result<(LotsInDough, Dough<'a>)> {
    let dry = dry(&answers, false);
    let lacks = bake.needs.dry_lowest - dry;
    let short = if Milligrams::nearest(lacks).get() > rounding(&answers, GRAM) {
        lacks
    } else {
        Mass::default()
    };
    let whole = batch::dry_grain_wanted(dough.formula, dough.size, 1.0);
    let within = dry.max(bake.needs.dry_lowest).min(bake.needs.dry_highest);
    let share = whole.map_or(dough.share, |whole| {
        (within / whole).get::<uom::si::ratio::ratio>()
    });
    // Less than the least is all there is, or all that the dough takes with its water.
    let dough = Dough { share, ..dough }.of_what_is_there(dry);
    let masses: Vec<_> = answers
        .iter()
        .map(|(answer, wet)| (answer.lot.clone(), *wet))
        .collect();
    let answers = answers.into_iter().map(|(answer, _)| answer).collect();
    let mut lots = dough_lots::mixed(view.places()?, answers, dough)?.with_masses(&masses);
    lots.mixture.short = short;
    Ok((lots, dough))
}
