//! The lots of a bake that names none: those that the accepted plan promised to it, with the masses that it
//! promised, or else the first to expire of what is promised to no other bake.

use super::gather::Gatherer;
use super::lots_in_dough::{self, Dough, LotsInDough, Wishes};
use super::promised;
use crate::dough::batch;
use crate::grain::LotCode;
use crate::ledger::View;
use crate::quantity::{Instant, Milligrams};
use crate::render::numbers::Units;
use crate::render::times;
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
    /// Whether it is the promised grain.
    pub is_promised: bool,
    /// What is to be said of it.
    pub words: Option<String>,
}

/// Finds them. Promised grain that may not be used at that moment, or of which less is left, is told.
pub fn find<'a>(
    view: View<'_>,
    bake: &BakeAnswer,
    dough: Dough<'a>,
    at: Instant,
    units: Units,
) -> anyhow::Result<Found<'a>> {
    let code = bake.bake.code;
    let (mine, others): (Vec<PromisedGrain>, Vec<PromisedGrain>) = promised::now(view, at)?
        .into_iter()
        .partition(|one| one.bake == code);
    let wishes = Wishes::of(&bake.bake.setting);
    let mut words = None;
    if let Some(first) = mine.first() {
        let zone = &view.about().zone;
        let when = times::moment(first.accepted_at, at, zone);
        let answers = answers(view, &mine, at)?;
        match hindrance(bake, &mine, &answers, dough, units)? {
            None => {
                let (lots, dough) = promised_lots(view, bake, answers, dough)?;
                return Ok(Found {
                    lots,
                    dough,
                    is_promised: true,
                    words: Some(format!(
                        "the grain is what the plan of {when} promised to {code}"
                    )),
                });
            }
            Some(why) => {
                words = Some(format!(
                    "the grain that the plan of {when} promised to {code} is not taken: {why}; the first to expire is taken instead; draff plan says what is to be done, or plans anew"
                ));
            }
        }
    }
    let mut taken: BTreeMap<LotCode, Milligrams> = BTreeMap::new();
    for one in &others {
        let there = one.wet.get() - one.missing.get();
        let sum = taken.entry(one.code()).or_default();
        *sum = Milligrams::new(sum.get() + there);
    }
    Ok(Found {
        lots: lots_in_dough::first_expired(view, dough, wishes, at, &taken)?,
        dough,
        is_promised: false,
        words,
    })
}

/// Each promised lot once, as it is then, with how much of it is promised.
fn answers(
    view: View<'_>,
    mine: &[PromisedGrain],
    at: Instant,
) -> anyhow::Result<Vec<(LotAnswer, Milligrams)>> {
    let about = view.about();
    let mut gatherer = Gatherer::new(view)?;
    let mut found: Vec<(LotAnswer, Milligrams)> = Vec::new();
    for one in mine {
        // What no lot on hand holds is missing, and told.
        let Some(code) = one.lot else {
            continue;
        };
        match found.iter_mut().find(|(answer, _)| answer.lot.code == code) {
            Some((_, wet)) => *wet = Milligrams::new(wet.get() + one.wet.get()),
            None => {
                let facts = gatherer.facts(view.lot(&code.to_string())?)?;
                found.push((facts.answer(&about.rules, &about.zone, at)?, one.wet));
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
    units: Units,
) -> anyhow::Result<Option<String>> {
    let setting = &bake.bake.setting;
    if let Some(one) = mine.iter().find(|one| one.missing > Milligrams::ZERO) {
        let missing = units.weighed(one.missing);
        return Ok(Some(format!(
            "{missing} of lot `{}` are not there any more",
            one.code()
        )));
    }
    if setting
        .most_lots
        .is_some_and(|most| answers.len() > most as usize)
    {
        return Ok(Some(
            "it is of more lots than the bake is to be made of".to_owned(),
        ));
    }
    for (answer, _) in answers {
        let keeping = &answer.keeping;
        if !keeping.verdict.may_be_used() {
            return Ok(Some(format!(
                "lot `{}`, as it lies now, is {} when it would go in: {}",
                answer.lot.code, keeping.verdict, keeping.binding.limit
            )));
        }
        if !lots_in_dough::suits(&answer.lot, dough.formula, Wishes::of(setting)) {
            return Ok(Some(format!(
                "lot `{}` does not suit the bake",
                answer.lot.code
            )));
        }
    }
    let dry = Milligrams::nearest(dry(answers));
    let most = Milligrams::nearest(bake.needs.dry_highest);
    Ok((dry.get() > most.get() + tolerance(answers)).then(|| {
        format!(
            "it holds {} of dry grain, and the bake takes {} at most",
            units.to_weigh(dry.mass()),
            units.to_weigh(most.mass())
        )
    }))
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
    let mut lots = lots_in_dough::mixed(view.places()?, answers, dough)?.with_masses(&masses);
    lots.mixture.short = short;
    Ok((lots, dough))
}
