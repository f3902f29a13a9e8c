//! The plan as it is told, from a draft: draws in whole steps of the scale, what is left, what to do and when.

use super::*;
use chrono::NaiveDate;

/// The answer that a draft comes to on the scale.
pub(super) fn answer(facts: Facts<'_>, draft: &Draft, proof: Proof) -> Plan {
    let Facts {
        situation, figures, ..
    } = facts;
    let rounded = round(situation, figures, draft);
    let bakes: Vec<PlannedBake> = (0..situation.bakes.len())
        .map(|bake| planned(facts, &rounded, bake))
        .collect();
    let left = leftovers(facts, &rounded);
    let actions = actions(facts, &rounded);
    let aims = aims(facts, &bakes, &left, &actions);
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

/// The chance that these draws hold less dry grain than `least`; moistures of lots taken as independent.
fn chance_below(situation: &Situation, draws: &[Draw], least: Milligrams) -> f64 {
    let mut lots: Vec<(usize, f64)> = Vec::new();
    for draw in draws {
        match lots.iter_mut().find(|(lot, _)| *lot == draw.lot) {
            Some((_, wet)) => *wet += draw.wet.get() as f64,
            None => lots.push((draw.lot, draw.wet.get() as f64)),
        }
    }
    let parts: Vec<(f64, f64)> = lots
        .iter()
        .map(|(lot, wet)| {
            let moisture = situation.lots[*lot].moisture;
            (wet * moisture.standard, moisture.freedom)
        })
        .collect();
    let dry = Uncertain {
        value: lots
            .iter()
            .map(|(lot, wet)| wet * situation.lots[*lot].dry_fraction(false))
            .sum(),
        standard: parts
            .iter()
            .map(|(standard, _)| standard * standard)
            .sum::<f64>()
            .sqrt(),
        freedom: welch_satterthwaite(&parts),
    };
    // A scale step short is not short.
    dry.chance_below((least.get() - situation.capacity.step.get()) as f64)
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
        let lies = match (window.usable, window.spoils, window.frozen) {
            (false, ..) => Fate::Unusable,
            (true, true, _) => Fate::Spoils,
            (true, false, true) => Fate::Frozen,
            (true, false, false) => Fate::Keeps,
        };
        // Grain that lies frozen already needs no freezing.
        let lies = if lies == Fate::Frozen {
            Fate::Keeps
        } else {
            lies
        };
        for (wet, fate) in [(rest, lies), (frozen, Fate::Frozen), (dried, Fate::Dried)] {
            if wet > Milligrams::ZERO {
                left.push(Leftover {
                    lot: index,
                    wet,
                    dry: lot.dry(wet, situation.careful),
                    fate,
                    until: window.until,
                });
            }
        }
    }
    left
}

fn actions(facts: Facts<'_>, rounded: &Rounded) -> Vec<Action> {
    let windows = facts.windows;
    let mut actions = Vec::new();
    let mut frozen = Vec::new();
    for (lot, window) in windows.lots.iter().enumerate() {
        let thawed = rounded
            .draws
            .iter()
            .filter(|draw| draw.lot == lot && draw.state == State::Thawed);
        for draw in thawed.clone() {
            if let Fit::Fits {
                thaw_at: Some(by), ..
            } = window.bakes[draw.bake]
            {
                actions.push(Action {
                    work: Work::Thaw,
                    lot,
                    wet: draw.wet,
                    by,
                    bake: Some(draw.bake),
                });
            }
        }
        let wet = total(
            thawed
                .map(|draw| draw.wet)
                .chain([rounded.frozen_unused[lot]]),
        );
        frozen.push((lot, wet));
    }
    actions.extend(freezing(facts, rounded, &frozen));
    actions.extend(drying(facts, rounded));
    actions.sort_by_key(|action| (action.by, action.work, action.lot, action.bake));
    actions
}

/// Freezing, each lot once and as early as the freezers have room for it: what expires first goes first.
fn freezing(facts: Facts<'_>, rounded: &Rounded, amounts: &[(usize, Milligrams)]) -> Vec<Action> {
    let Facts {
        situation,
        windows,
        figures,
    } = facts;
    let zone = &situation.zone;
    let mut lots: Vec<(usize, Milligrams)> = amounts
        .iter()
        .copied()
        .filter(|(lot, wet)| *wet > Milligrams::ZERO && !windows.lots[*lot].frozen)
        .collect();
    lots.sort_by_key(|(lot, _)| (windows.lots[*lot].until, *lot));
    // What the freezers hold at the end of each day, each lot frozen at its last moment.
    let mut holds: Vec<i64> = vec![0; figures.days.len()];
    let add = |lot: usize, from: Option<NaiveDate>, sign: i64, holds: &mut Vec<i64>| {
        for (day, holds) in figures.days.iter().zip(holds.iter_mut()) {
            let is_in = from.is_none_or(|from| from <= *day);
            if is_in {
                *holds += sign * in_freezer(facts, rounded, lot, *day);
            }
        }
    };
    for lot in 0..windows.lots.len() {
        let window = &windows.lots[lot];
        match window.freeze_by() {
            _ if window.frozen => add(lot, None, 1, &mut holds),
            Some(by) => add(lot, Some(zone.date(by)), 1, &mut holds),
            None => {}
        }
    }
    let mut actions = Vec::new();
    for (lot, wet) in lots {
        let moments = &windows.lots[lot].freezing;
        let Some(last) = moments.last() else { continue };
        add(lot, Some(zone.date(*last)), -1, &mut holds);
        let fits = |by: &&Instant| {
            let from = zone.date(**by);
            let room = situation.capacity.freezer.map_or(i64::MAX, Milligrams::get);
            figures.days.iter().zip(&holds).all(|(day, holds)| {
                *day < from || holds + in_freezer(facts, rounded, lot, *day) <= room
            })
        };
        let by = *moments.iter().find(fits).unwrap_or(last);
        add(lot, Some(zone.date(by)), 1, &mut holds);
        actions.push(Action {
            work: Work::Freeze,
            lot,
            wet,
            by,
            bake: None,
        });
    }
    actions
}

/// What of a lot is in the freezers at the end of a day, once it is frozen.
fn in_freezer(facts: Facts<'_>, rounded: &Rounded, lot: usize, day: NaiveDate) -> i64 {
    let Facts {
        situation, windows, ..
    } = facts;
    let window = &windows.lots[lot];
    let out_by_then = |bake: usize| {
        let out = match window.bakes[bake] {
            Fit::Fits {
                thaw_at: Some(at), ..
            } => at,
            _ => situation.bakes[bake].mix,
        };
        situation.zone.date(out) <= day
    };
    let mine = rounded.draws.iter().filter(|draw| draw.lot == lot);
    if window.frozen {
        let gone = mine.filter(|draw| out_by_then(draw.bake));
        return situation.lots[lot].wet.get() - gone.map(|draw| draw.wet.get()).sum::<i64>();
    }
    let waiting = mine.filter(|draw| draw.state == State::Thawed && !out_by_then(draw.bake));
    rounded.frozen_unused[lot].get() + waiting.map(|draw| draw.wet.get()).sum::<i64>()
}

/// Drying by the day: the lot that must be in the dryer first goes first, on the earliest day with time.
fn drying(facts: Facts<'_>, rounded: &Rounded) -> Vec<Action> {
    let Facts {
        situation,
        windows,
        figures,
    } = facts;
    let step = situation.capacity.step.get().max(1);
    let mut room = vec![situation.capacity.dryer_water.get() as f64; figures.days.len()];
    let mut lots: Vec<usize> = (0..windows.lots.len())
        .filter(|lot| windows.lots[*lot].dry_by.is_some())
        .collect();
    lots.sort_by_key(|lot| (windows.lots[*lot].dry_by, *lot));
    let mut actions = Vec::new();
    for lot in lots {
        let draws = rounded
            .draws
            .iter()
            .filter(|draw| draw.lot == lot && draw.state == State::Dried);
        let mut left = total(
            draws
                .map(|draw| draw.wet)
                .chain([rounded.dried_unused[lot]]),
        )
        .get();
        let water = figures.water_per_dry[lot] / figures.wet_per_dry[lot];
        // One milligram of water less, since dry grain is rounded to whole milligrams.
        let fits = |room: f64| ((room - 1.0).max(0.0) / water) as i64 / step * step;
        let least = (situation.capacity.portion.get() + step - 1) / step * step;
        let days = &figures.dry_days[lot];
        for (at, day) in days.iter().enumerate() {
            let mut part = left.min(fits(room[*day]));
            // No rest that nobody would put into the dryer, where the next day can take a little more.
            let rest = left - part;
            let next = days.get(at + 1).map_or(0, |next| fits(room[*next]));
            if rest > 0 && rest < least && next >= least && part >= 2 * least {
                part -= least - rest;
            }
            let last = windows.lots[lot].dry_by;
            let by = evening(situation, figures.days[*day])
                .into_iter()
                .chain(last)
                .min();
            if let Some(by) = by.filter(|_| part > 0) {
                room[*day] -= part as f64 * water;
                left -= part;
                let by = by.max(situation.now);
                actions.push(Action {
                    work: Work::Dry,
                    lot,
                    wet: Milligrams::new(part),
                    by,
                    bake: None,
                });
            }
        }
    }
    actions
}

fn aims(facts: Facts<'_>, bakes: &[PlannedBake], left: &[Leftover], actions: &[Action]) -> Aims {
    let Facts {
        situation,
        windows,
        figures,
    } = facts;
    let costs = &situation.costs;
    let of_fate = |fates: &[Fate]| {
        total(
            left.iter()
                .filter(|left| fates.contains(&left.fate))
                .map(|left| left.dry),
        )
    };
    let of_work = |work: Work| actions.iter().filter(move |action| action.work == work);
    let spoiled = of_fate(&[Fate::Spoils]);
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
        preserved_unused: of_fate(&[Fate::Frozen, Fate::Dried]),
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
    }
}

fn hours(from: Instant, to: Instant) -> f64 {
    (to - from).num_minutes() as f64 / 60.0
}

fn total(masses: impl Iterator<Item = Milligrams>) -> Milligrams {
    Milligrams::new(masses.map(Milligrams::get).sum())
}
