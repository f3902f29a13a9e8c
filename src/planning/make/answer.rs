//! The plan as it is told, from a draft: draws in whole steps of the scale, what is left, what to do and when.

use super::work::{actions, keep_to_dryer, keep_to_freezers};
use super::*;
use crate::planning::plan::dry_in;

/// The answer that a draft comes to on the scale.
pub(super) fn answer(facts: Facts<'_>, draft: &Draft, proof: Proof) -> Plan {
    let situation = facts.situation;
    let rounded = on_the_scale(facts, draft);
    let bakes: Vec<PlannedBake> = (0..situation.bakes.len())
        .map(|bake| planned(facts, &rounded, bake))
        .collect();
    let left = leftovers(facts, &rounded);
    let actions = actions(facts, &rounded);
    let weighed = rounded.draft(facts);
    let aims = Aims {
        promises: milligrams(weighed.value(facts, Aim::Promises)),
        risk: milligrams(weighed.value(facts, Aim::Risk)),
        unshown: milligrams(weighed.value(facts, Aim::Unshown)),
        rest: weighed.value(facts, Aim::Rest),
        ..aims(facts, &bakes, &left, &actions)
    };
    let broken = situation
        .promised
        .iter()
        .filter_map(|promised| {
            let draws = rounded.draws.iter();
            let given = draws
                .filter(|draw| draw.lot == promised.lot && draw.bake == promised.bake)
                .map(|draw| draw.wet.get())
                .sum::<i64>();
            let kept = given + situation.capacity.step.get() > promised.wet.get();
            (!kept).then_some(Broken {
                lot: promised.lot,
                bake: promised.bake,
                promised: promised.wet,
                given: Milligrams::new(given),
            })
        })
        .collect();
    Plan {
        bakes,
        actions,
        left,
        aims,
        oldest_first: Aims::default(),
        proof,
        broken,
    }
}

/// A draft in whole steps of the scale, which freezers and dryer have room for. The last step of a lot is dried for a bake only
/// where the days of the dryer have time for all that bakes get then.
fn on_the_scale(facts: Facts<'_>, draft: &Draft) -> Rounded {
    let rounded = |drying: Drying| {
        let mut rounded = round(facts, draft, drying);
        keep_to_freezers(facts, &mut rounded);
        let asked = rounded.draws.clone();
        keep_to_dryer(facts, &mut rounded);
        (asked == rounded.draws, rounded)
    };
    match rounded(Drying::ToTheNextStep) {
        (true, rounded) => rounded,
        (false, _) => rounded(Drying::AsDrafted).1,
    }
}

fn planned(facts: Facts<'_>, rounded: &Rounded, index: usize) -> PlannedBake {
    let Facts {
        situation, windows, ..
    } = facts;
    let bake = &situation.bakes[index];
    let draws: Vec<Draw> = rounded
        .draws
        .iter()
        .filter(|draw| draw.bake == index)
        .map(|draw| Draw {
            lot: draw.lot,
            state: draw.state,
            wet: draw.wet,
            dry: situation.lots[draw.lot].dry(draw.wet, situation.careful),
        })
        .collect();
    let dry = total(draws.iter().map(|draw| draw.dry));
    let lacks = bake.lowest.get() - dry.get();
    // Within a step of the least, the scale shows no lack.
    let short = if bake.firm && lacks > situation.capacity.step.get() {
        lacks
    } else {
        0
    };
    let happens = rounded.happens[index];
    PlannedBake {
        happens,
        chance_below: (!draws.is_empty()).then(|| chance_below(situation, &draws, bake.lowest)),
        reason: (short > 0 || !happens).then(|| reason(situation, windows, rounded, index)),
        draws,
        dry,
        short: Milligrams::new(short),
    }
}

/// The chance that these draws hold less dry grain than `least`.
fn chance_below(situation: &Situation, draws: &[Draw], least: Milligrams) -> f64 {
    // A scale step short is not short.
    dry_in(situation, draws).chance_below((least.get() - situation.capacity.step.get()) as f64)
}

fn leftovers(facts: Facts<'_>, rounded: &Rounded) -> Vec<Leftover> {
    let Facts {
        situation, windows, ..
    } = facts;
    let mut left = Vec::new();
    for (index, lot) in situation.lots.iter().enumerate() {
        let window = &windows.lots[index];
        let drawn = total(
            rounded
                .draws
                .iter()
                .filter(|draw| draw.lot == index)
                .map(|draw| draw.wet),
        );
        let frozen = rounded.frozen_unused[index];
        let dried = rounded.dried_unused[index];
        let rest = Milligrams::new(lot.wet.get() - drawn.get() - frozen.get() - dried.get());
        let mine = rounded.draws.iter().filter(|draw| draw.lot == index);
        let thawed = mine.filter(|draw| draw.state == State::Thawed);
        let out = window.taken_out(thawed.map(|draw| draw.bake));
        let lies = match (window.usable, out.map_or(window.spoils, |out| out.spoils)) {
            (false, _) => Fate::Unusable,
            (true, true) => Fate::Spoils,
            (true, false) if window.only_frozen && out.is_none() => Fate::OnlyFrozen,
            (true, false) => Fate::Keeps,
        };
        for (wet, fate) in [(rest, lies), (frozen, Fate::Frozen), (dried, Fate::Dried)] {
            if wet > Milligrams::ZERO {
                left.push(Leftover {
                    lot: index,
                    wet,
                    dry: lot.dry(wet, situation.careful),
                    fate,
                    until: out.map_or(window.until, |out| out.until),
                    thawed: out.is_some(),
                });
            }
        }
    }
    left
}

fn aims(facts: Facts<'_>, bakes: &[PlannedBake], left: &[Leftover], actions: &[Action]) -> Aims {
    let Facts {
        situation,
        windows,
        figures,
    } = facts;
    let costs = &situation.costs;
    let dry_left = |counts: fn(&Leftover) -> bool| {
        let left = left.iter().filter(|left| counts(left));
        total(left.map(|left| left.dry))
    };
    let of_work = |work: Work| actions.iter().filter(move |action| action.work == work);
    let spoiled = dry_left(|left| left.fate == Fate::Spoils);
    let water: f64 = of_work(Work::Dry)
        .map(|action| {
            action.wet.get() as f64 / 1e6 * figures.water_per_dry[action.lot]
                / figures.wet_per_dry[action.lot]
        })
        .sum();
    let frozen_wet = total(of_work(Work::Freeze).map(|action| action.wet));
    let distance = bakes
        .iter()
        .zip(&situation.bakes)
        .filter(|(planned, _)| planned.happens);
    let mut kilogram_hours = 0.0;
    let mut dated = 0.0;
    for (planned, bake) in bakes.iter().zip(&situation.bakes) {
        for draw in planned
            .draws
            .iter()
            .filter(|draw| draw.state == State::AsItLies)
        {
            if let Some(until) = windows.lots[draw.lot].until {
                kilogram_hours += draw.dry.get() as f64 * hours(bake.mix, until);
                dated += draw.dry.get() as f64;
            }
        }
    }
    let wanted = |bake: usize| situation.bakes[bake].wanted.get() as f64;
    let parts = |of: &dyn Fn(usize) -> Option<f64>| {
        let parts = (0..bakes.len()).filter(|bake| wanted(*bake) > 0.0);
        let parts: Vec<f64> = parts.filter_map(of).collect();
        [
            parts.iter().copied().fold(0.0, f64::max),
            parts.iter().sum(),
        ]
    };
    let apart = |bake: usize| (bakes[bake].dry.get() as f64 - wanted(bake)) / wanted(bake);
    let optional = || {
        let bakes = situation.bakes.iter().zip(bakes);
        bakes.filter(|(bake, _)| !bake.firm)
    };
    Aims {
        firm_under: parts(&|bake| situation.bakes[bake].firm.then(|| (-apart(bake)).max(0.0))),
        uneven: parts(&|bake| bakes[bake].happens.then(|| apart(bake).abs())),
        optional: [
            optional().filter(|(_, planned)| planned.happens).count(),
            optional().count(),
        ],
        short: total(bakes.iter().map(|bake| bake.short)),
        spoiled,
        preserved_unused: dry_left(Leftover::is_unused),
        frozen_wet,
        dried_wet: total(of_work(Work::Dry).map(|action| action.wet)),
        work_cost: frozen_wet.get() as f64 / 1e6 * costs.freezing_per_kg
            + water * costs.drying_per_kg,
        spoiled_cost: costs
            .dry_grain_per_kg
            .map(|worth| worth * spoiled.get() as f64 / 1e6),
        distance: total(
            distance.map(|(planned, bake)| {
                Milligrams::new((planned.dry.get() - bake.wanted.get()).abs())
            }),
        ),
        lots: bakes
            .iter()
            .map(|bake| {
                let mut lots: Vec<usize> = bake.draws.iter().map(|draw| draw.lot).collect();
                lots.sort_unstable();
                lots.dedup();
                lots.len()
            })
            .sum(),
        hours_left: (dated > 0.0).then(|| kilogram_hours / dated),
        ..Aims::default()
    }
}

fn hours(from: Instant, to: Instant) -> f64 {
    (to - from).num_minutes() as f64 / 60.0
}

pub(super) fn total(masses: impl Iterator<Item = Milligrams>) -> Milligrams {
    Milligrams::new(masses.map(Milligrams::get).sum())
}
