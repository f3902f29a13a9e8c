//! The lots of a bake: those that the accepted plan promised to it, with the masses that it promised, or else those
//! that it names, or else the first to expire of what is promised to no other bake.

use super::dough_lots::{self, Dough, LotsInDough, Wishes};
use super::facts::FactFinder;
use super::notice::Hindrance;
use super::{Notice, promises};
use crate::dough::batch;
use crate::grain::LotCode;
use crate::ledger::View;
use crate::quantity::{Instant, Milligrams};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use crate::report::promise::PromisedGrain;
use std::collections::BTreeMap;
use uom::si::f64::Mass;

/// The lots, and the dough that they make.
pub struct Found<'a> {
    /// The lots with what is taken of each.
    pub lots: LotsInDough,
    /// The dough, with the grain share that promised grain comes to.
    pub dough: Dough<'a>,
    /// What is to be said of it.
    pub notice: Option<Notice>,
}

/// Finds them. Promised grain that may not be used at that moment, or of which less is left, is told.
pub fn find<'a>(
    view: View<'_>,
    bake: &BakeAnswer,
    dough: Dough<'a>,
    at: Instant,
) -> anyhow::Result<Found<'a>> {
    let code = bake.bake.code;
    let (mine, others): (Vec<PromisedGrain>, Vec<PromisedGrain>) = promises::now(view, at)?
        .into_iter()
        .partition(|one| one.bake == code);
    // A bake that was told of other lots since is made of those.
    let named = &bake.bake.setting.lots;
    let is_named = |one: &PromisedGrain| named.iter().any(|lot| lot.code == one.named);
    let holds = named.is_empty() || mine.iter().all(is_named);
    let wishes = Wishes::of(&bake.bake.setting);
    let mut notice = None;
    if let Some(first) = mine.first().filter(|_| holds) {
        let accepted_at = first.accepted_at;
        let answers = answers(view, &mine, at)?;
        match hindrance(bake, &mine, &answers, dough) {
            None => {
                let (lots, dough) = promised_lots(view, bake, answers, dough)?;
                return Ok(Found {
                    lots,
                    dough,
                    notice: Some(Notice::PromisedGrainTaken {
                        bake: code,
                        accepted_at,
                        at,
                    }),
                });
            }
            Some(why) => {
                notice = Some(Notice::PromisedGrainNotTaken {
                    bake: code,
                    accepted_at,
                    at,
                    why,
                });
            }
        }
    }
    if !bake.bake.setting.lots.is_empty() {
        return Ok(Found {
            lots: dough_lots::of_bake(view, &bake.bake.setting, dough, at)?,
            dough,
            notice,
        });
    }
    let mut taken: BTreeMap<LotCode, Milligrams> = BTreeMap::new();
    for one in &others {
        let there = one.wet.get() - one.missing.get();
        let sum = taken.entry(one.code()).or_default();
        *sum = Milligrams::new(sum.get() + there);
    }
    Ok(Found {
        lots: dough_lots::first_expired(view, dough, wishes, at, &taken)?,
        dough,
        notice,
    })
}

/// Each promised lot once, as it is then, with how much of it is promised.
fn answers(
    view: View<'_>,
    mine: &[PromisedGrain],
    at: Instant,
) -> anyhow::Result<Vec<(LotAnswer, Milligrams)>> {
    let mut finder = FactFinder::new(view)?;
    let mut found: Vec<(LotAnswer, Milligrams)> = Vec::new();
    for one in mine {
        // What no lot on hand holds is missing, and told.
        let Some(code) = one.lot else {
            continue;
        };
        match found.iter_mut().find(|(answer, _)| answer.lot.code == code) {
            Some((_, wet)) => *wet = Milligrams::new(wet.get() + one.wet.get()),
            None => {
                let lot = view.lot(&code.to_string())?;
                found.push((finder.answer(lot, at)?, one.wet));
            }
        }
    }
    Ok(found)
}

/// Why promised grain does not go into the dough, if there is a reason.
fn hindrance(
    bake: &BakeAnswer,
    mine: &[PromisedGrain],
    answers: &[(LotAnswer, Milligrams)],
    dough: Dough<'_>,
) -> Option<Hindrance> {
    let setting = &bake.bake.setting;
    if let Some(one) = mine.iter().find(|one| one.missing > Milligrams::ZERO) {
        return Some(Hindrance::Gone {
            lot: one.code(),
            missing: one.missing,
        });
    }
    if setting
        .most_lots
        .is_some_and(|most| answers.len() > most as usize)
    {
        return Some(Hindrance::TooManyLots);
    }
    for (answer, _) in answers {
        let (lot, keeping) = (answer.lot.code, &answer.keeping);
        if !keeping.verdict.may_be_used() {
            return Some(Hindrance::Unusable {
                lot,
                verdict: keeping.verdict,
                limit: keeping.binding.limit.clone(),
            });
        }
        if !dough_lots::suits(&answer.lot, dough.formula, Wishes::of(setting)) {
            return Some(Hindrance::DoesNotSuit(lot));
        }
    }
    let dry = Milligrams::nearest(dry(answers));
    let most = Milligrams::nearest(bake.needs.dry_highest);
    (dry.get() > most.get() + tolerance(answers)).then_some(Hindrance::TooMuch { dry, most })
}

/// Draws are whole steps of a scale: a gram of each lot is no more than rounding.
fn tolerance(answers: &[(LotAnswer, Milligrams)]) -> i64 {
    1000 * answers.len() as i64
}

fn dry(answers: &[(LotAnswer, Milligrams)]) -> Mass {
    answers.iter().fold(Mass::default(), |sum, (answer, wet)| {
        sum + wet.mass() * answer.estimate.wet_basis().dry_fraction().get()
    })
}

/// The promised masses, and the dough with the share that they come to. What a bake lacks of its least is
/// short, as its plan said.
fn promised_lots<'a>(
    view: View<'_>,
    bake: &BakeAnswer,
    answers: Vec<(LotAnswer, Milligrams)>,
    dough: Dough<'a>,
) -> anyhow::Result<(LotsInDough, Dough<'a>)> {
    let dry = dry(&answers);
    let lacks = bake.needs.dry_lowest - dry;
    let short = if Milligrams::nearest(lacks).get() > tolerance(&answers) {
        lacks
    } else {
        Mass::default()
    };
    let whole = batch::dry_grain_wanted(dough.formula, dough.size, 1.0);
    let within = dry.max(bake.needs.dry_lowest).min(bake.needs.dry_highest);
    let share = whole.map_or(dough.share, |whole| {
        (within / whole).get::<uom::si::ratio::ratio>()
    });
    let dough = Dough { share, ..dough };
    let masses: Vec<_> = answers
        .iter()
        .map(|(answer, wet)| (answer.lot.clone(), *wet))
        .collect();
    let answers = answers.into_iter().map(|(answer, _)| answer).collect();
    let mut lots = dough_lots::mixed(view.places()?, answers, dough)?.with_masses(&masses);
    lots.mixture.short = short;
    Ok((lots, dough))
}
