//! The work that a plan asks for: what is frozen, thawed and dried, and when.

use super::answer::total;
use super::*;
use chrono::NaiveDate;
use std::cmp::Reverse;

/// What is to be done with the grain, in order of time.
pub(super) fn actions(facts: Facts<'_>, rounded: &Rounded) -> Vec<Action> {
    let windows = facts.windows;
    let mut actions = Vec::new();
    let mut frozen = Vec::new();
    for (lot, window) in windows.lots.iter().enumerate() {
        let thawed = rounded
            .draws
            .iter()
            .filter(|draw| draw.lot == lot && draw.state == State::Thawed);
        // A block comes out whole, for the first of its bakes.
        let out = window.taken_out(thawed.clone().map(|draw| draw.bake));
        for draw in thawed.clone() {
            let by = out.map(|out| out.at);
            if let Some(by) = by.or(window.bakes[draw.bake].thaw_at()) {
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
    // What comes out of the freezer makes room for what goes in.
    actions.sort_by_key(|action| (action.by, Reverse(action.work), action.lot, action.bake));
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
                *holds = holds.saturating_add(sign * in_freezer(facts, rounded, lot, *day));
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
                *day < from || holds.saturating_add(in_freezer(facts, rounded, lot, *day)) <= room
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

/// Takes steps back where whole steps hold more than the freezers take, on any day: of what is frozen for no bake, else of
/// the largest draw.
pub(super) fn keep_to_freezers(facts: Facts<'_>, rounded: &mut Rounded) {
    let Facts {
        situation,
        windows,
        figures,
    } = facts;
    let takes = situation.capacity.freezer;
    let Some(room) = takes.filter(|_| windows.may_freeze()) else {
        return;
    };
    let step = situation.capacity.step.get().max(1);
    for (day, date) in figures.days.iter().enumerate() {
        let goes_in = |lot: usize| figures.freeze_day[lot].is_some_and(|from| from <= day);
        let is_there = |lot: usize| windows.lots[lot].frozen || goes_in(lot);
        let held = |rounded: &Rounded| -> i64 {
            let lots = (0..windows.lots.len()).filter(|lot| is_there(*lot));
            lots.map(|lot| in_freezer(facts, rounded, lot, *date)).sum()
        };
        while held(rounded) > room.get() {
            let unused = (0..windows.lots.len())
                .filter(|lot| goes_in(*lot) && rounded.frozen_unused[*lot].get() >= step)
                .max_by_key(|lot| rounded.frozen_unused[*lot]);
            if let Some(lot) = unused {
                let less = rounded.frozen_unused[lot].get() - step;
                let for_bakes = for_bakes(rounded, lot, State::Thawed);
                let is_worth_it = less + for_bakes >= situation.capacity.portion.get();
                rounded.frozen_unused[lot] = Milligrams::new(if is_worth_it { less } else { 0 });
                continue;
            }
            let largest = rounded
                .draws
                .iter_mut()
                .filter(|draw| {
                    let is_in = draw.state == State::Thawed && goes_in(draw.lot);
                    let is_out = figures.day_out(situation, windows, draw.lot, draw.bake) <= day;
                    is_in && !is_out && !windows.lots[draw.lot].frozen
                })
                .max_by_key(|draw| draw.wet);
            let Some(draw) = largest else { break };
            draw.wet = Milligrams::new(draw.wet.get() - step);
        }
    }
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
    let mut mine = rounded.draws.iter().filter(|draw| draw.lot == lot);
    if window.frozen && !situation.takes_room(&situation.lots[lot]) {
        return 0;
    }
    if window.frozen {
        // A block comes out whole.
        let is_out = mine.any(|draw| out_by_then(draw.bake));
        return if is_out {
            0
        } else {
            situation.lots[lot].wet.get()
        };
    }
    let waiting = mine.filter(|draw| draw.state == State::Thawed && !out_by_then(draw.bake));
    rounded.frozen_unused[lot].get() + waiting.map(|draw| draw.wet.get()).sum::<i64>()
}

/// Wet milligrams of a lot that go into bakes in a state.
fn for_bakes(rounded: &Rounded, lot: usize, state: State) -> i64 {
    let draws = rounded.draws.iter();
    let mine = draws.filter(|draw| draw.lot == lot && draw.state == state);
    mine.map(|draw| draw.wet.get()).sum()
}

/// Takes back what has no day in the dryer, or only one on which less is dried than is worth weighing out: of what is
/// dried for no bake, else of the largest draw.
pub(super) fn keep_to_dryer(facts: Facts<'_>, rounded: &mut Rounded) {
    while take_back_undried(facts, rounded) {}
    rounded.draws.retain(|draw| draw.wet > Milligrams::ZERO);
}

/// Takes back what the days of the dryer leave undried; whether there was any.
fn take_back_undried(facts: Facts<'_>, rounded: &mut Rounded) -> bool {
    let days = drying(facts, rounded);
    let portion = facts.situation.capacity.portion.get();
    let mut is_less = false;
    for lot in 0..facts.windows.lots.len() {
        let dried: i64 = days
            .iter()
            .filter(|action| action.lot == lot)
            .map(|action| action.wet.get())
            .sum();
        let unused = rounded.dried_unused[lot].get();
        let mut missing = for_bakes(rounded, lot, State::Dried) + unused - dried;
        let less = if dried < portion {
            unused
        } else {
            missing.min(unused)
        };
        rounded.dried_unused[lot] = Milligrams::new(unused - less);
        missing = (missing - less).max(0);
        is_less |= less > 0 || missing > 0;
        let mut draws: Vec<_> = rounded
            .draws
            .iter_mut()
            .filter(|draw| draw.lot == lot && draw.state == State::Dried)
            .collect();
        draws.sort_by_key(|draw| Reverse(draw.wet));
        for draw in draws {
            let less = missing.min(draw.wet.get());
            draw.wet = Milligrams::new(draw.wet.get() - less);
            missing -= less;
        }
    }
    is_less
}

/// Drying by the day: without a day on which less of a lot is dried than is worth weighing out, where the days after it
/// have the room for what bakes need.
fn drying(facts: Facts<'_>, rounded: &Rounded) -> Vec<Action> {
    let (actions, is_all) = drying_days(facts, rounded, true);
    if is_all {
        actions
    } else {
        drying_days(facts, rounded, false).0
    }
}

/// The lot that must be in the dryer first goes first, on the earliest day with time; whether all that bakes need has
/// its day.
fn drying_days(facts: Facts<'_>, rounded: &Rounded, leaves_crumbs: bool) -> (Vec<Action>, bool) {
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
    let mut is_all = true;
    for lot in lots {
        let spare = rounded.dried_unused[lot].get();
        let mut left = for_bakes(rounded, lot, State::Dried) + spare;
        let water = figures.water_per_dry[lot] / figures.wet_per_dry[lot];
        // One milligram of water less, since dry grain is rounded to whole milligrams.
        let fits = |room: f64| ((room - 1.0).max(0.0) / water) as i64 / step * step;
        let least = (situation.capacity.portion.get() + step - 1) / step * step;
        let days = &figures.dry_days[lot];
        for (at, day) in days.iter().enumerate() {
            let mut part = left.min(fits(room[*day]));
            let later = || {
                days[at + 1..]
                    .iter()
                    .map(|day| fits(room[*day]))
                    .sum::<i64>()
            };
            let is_crumb = part < least && (part < left || left <= spare);
            if leaves_crumbs && is_crumb && later() >= left - spare {
                part = 0;
            }
            // No rest that nobody would put into the dryer, where the next day can take a little more.
            let rest = left - part;
            let next = days.get(at + 1).map_or(0, |next| fits(room[*next]));
            if rest > 0 && rest < least && next >= least && part >= 2 * least {
                part -= least - rest;
            }
            let last = windows.lots[lot].dry_by;
            let evening = evening(&situation.zone, &situation.capacity, figures.days[*day]);
            let by = last.map_or(evening, |last| evening.min(last));
            if part > 0 {
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
        is_all &= left <= spare;
    }
    (actions, is_all)
}
