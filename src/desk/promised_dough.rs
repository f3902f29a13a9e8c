//! The lots of a bake: those that the accepted plan promised to it, with the masses that it promised, or else those
//! that it names, or else the first to expire of what is promised to no other bake.

mod earlier_bakes;

use super::dough_lots::{self, Dough, LotsInDough, Wishes};
use super::facts::FactFinder;
use super::notice::Hindrance;
use super::promises::{self, Named};
use super::still_to_do::{self, Planned};
use super::unshown::{Judged, Unshown};
use super::{Notice, plan_facts, thawing};
use crate::dough::bake_code::BakeCode;
use crate::dough::batch;
use crate::grain::{Form, LotCode};
use crate::ledger::View;
use crate::planning::problem::WaterRoom;
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use crate::report::promise::{LostGrain, PromisedGrain};
use crate::report::sheet::StillTo;
use std::collections::{BTreeMap, BTreeSet, HashMap};
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
    let (mine, others, blocks) = promised(view, bake, (at, unshown))?;
    let (mut notice, mut out_before) = (None, thawing::once_out(view, &blocks.lost, at)?);
    if !blocks.lost.is_empty() {
        notice = Some(Notice::PromisedGrainLost(blocks.lost));
    }
    if let Some(held) = Held::of(view, bake, &mine, dough, (at, unshown))? {
        match held.hindrance {
            None => {
                let (answers, less) = as_much_as_it_takes(held.answers, held.step, bake, dough);
                let (lots, dough) = promised_lots(view, bake, answers, dough)?;
                return Ok(Found {
                    lots,
                    dough,
                    notice: Some(Notice::PromisedGrainTaken {
                        bake: code,
                        accepted_at: held.accepted_at,
                        at,
                        is_reweighed: mine.iter().any(|one| one.is_reweighed),
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
    if !bake.bake.setting.lots.is_empty() {
        let mut lots = dough_lots::of_bake(view, &bake.bake.setting, dough, (at, unshown))?;
        thawing::mark_as_out(&mut lots.answers, &out_before);
        return Ok(Found {
            dough: lots.as_far_as_they_go(dough),
            lots,
            notice,
            still_to: HashMap::new(),
            left_to: Vec::new(),
        });
    }
    let mut taken: BTreeMap<LotCode, Milligrams> = BTreeMap::new();
    for one in &others {
        let there = one.wet.get() - one.missing.get();
        let sum = taken.entry(one.code()).or_default();
        *sum = Milligrams::new(sum.get() + there);
    }
    earlier_bakes::leave_blocks(view, (at, unshown), &blocks.of_others, &mut taken)?;
    let promised_to: Vec<BakeCode> = others.iter().map(|one| one.bake).collect();
    let left_to = earlier_bakes::take_of(view, bake, (at, unshown), &promised_to, &mut taken)?;
    let lots = dough_lots::first_expired(view, dough, Wishes::of(&bake.bake.setting), at, &taken)?;
    Ok(Found {
        dough: lots.as_far_as_they_go(dough),
        lots,
        notice,
        still_to: HashMap::new(),
        left_to,
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
    let judged = (at, Unshown::CountedOn(now));
    let (mine, ..) = promised(view, bake, judged)?;
    let held = Held::of(view, bake, &mine, dough, judged)?;
    Ok(held.map(|held| (held.accepted_at, held.hindrance)))
}

/// Frozen blocks that bakes name without a promise.
struct NamedBlocks {
    /// What this bake loses of those that it names, as they come out before for another.
    lost: Vec<LostGrain>,
    /// Those that others name.
    of_others: Vec<Named>,
}

/// What is promised to this bake, and to all others, and the blocks that they name without a promise.
fn promised(
    view: View<'_>,
    bake: &BakeAnswer,
    (at, unshown): (Instant, Unshown),
) -> anyhow::Result<(Vec<PromisedGrain>, Vec<PromisedGrain>, NamedBlocks)> {
    let now = match unshown {
        Unshown::AsKnown => at,
        Unshown::CountedOn(now) => now,
    };
    let mut found = promises::at(view, at, now)?;
    if matches!(unshown, Unshown::AsKnown) {
        // What is weighed out now came out for this bake.
        found.grain.iter_mut().for_each(|one| one.out_before = None);
        found.named_lost.clear();
    }
    let code = bake.bake.code;
    found.named_lost.retain(|one| one.bake == code);
    found.named.retain(|one| one.bake != code);
    let blocks = NamedBlocks {
        lost: found.named_lost,
        of_others: found.named,
    };
    let (mine, others) = found.grain.into_iter().partition(|one| one.bake == code);
    Ok((mine, others, blocks))
}

/// Grain that was promised to a bake, as it is at a moment.
struct Held {
    accepted_at: Instant,
    /// Each lot once, with how much of it is promised.
    answers: Vec<(LotAnswer, Milligrams)>,
    hindrance: Option<Hindrance>,
    /// What the plan still has to do with lots of it.
    still_to: HashMap<(LotCode, Form), StillTo>,
    /// The smallest step of the scale that the plan rounded to.
    step: Milligrams,
}

impl Held {
    fn of(
        view: View<'_>,
        bake: &BakeAnswer,
        mine: &[PromisedGrain],
        dough: Dough<'_>,
        (at, unshown): (Instant, Unshown),
    ) -> anyhow::Result<Option<Self>> {
        let Some(first) = mine.first() else {
            return Ok(None);
        };
        let mut finder = FactFinder::new(view)?;
        let (plan, work) = (view.accepted_plan()?, view.house()?.work);
        let planned = Planned {
            about: view.about(),
            work: &work,
            tasks: plan
                .as_ref()
                .map(|plan| plan.tasks.as_slice())
                .unwrap_or_default(),
        };
        let (mut answers, mut judged, mut still_to) = (Vec::new(), Vec::new(), HashMap::new());
        for mut part in still_to_do::parts(view, &mut finder, mine, at)? {
            let wanted = dough.formula.grain.form;
            let one = unshown.judge_promised(&planned, &mut part, wanted);
            let lot = &part.answer.lot;
            still_to.extend(one.still_to.map(|job| ((lot.code, lot.form), job)));
            answers.push((part.answer, part.wet));
            judged.push(one);
        }
        let step = work.step.max(GRAM);
        Ok(Some(Self {
            accepted_at: first.accepted_at,
            hindrance: hindrance(
                bake,
                mine,
                (answers.as_slice(), judged.as_slice(), step),
                dough,
            ),
            still_to,
            answers,
            step,
        }))
    }
}

/// Why promised grain does not go into the dough, if there is a reason.
fn hindrance(
    bake: &BakeAnswer,
    mine: &[PromisedGrain],
    (answers, judged, step): (&[(LotAnswer, Milligrams)], &[Judged], Milligrams),
    dough: Dough<'_>,
) -> Option<Hindrance> {
    let setting = &bake.bake.setting;
    let is_named = |one: &PromisedGrain| setting.lots.iter().any(|lot| lot.code == one.named);
    if !setting.lots.is_empty() && !mine.iter().all(is_named) {
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
