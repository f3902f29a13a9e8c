//! Whether each fridge holds what a plan leaves in it.

use super::plan::{Action, Plan, Work};
use super::problem::{Place, Situation};
use super::windows::State;
use crate::quantity::Milligrams;
use chrono::NaiveDate;

/// A day on which a fridge would hold more than it takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Crowded {
    /// Its name.
    pub place: String,
    /// The first such day.
    pub day: NaiveDate,
    /// What it would hold at its end, if nothing is thrown away before.
    pub holds: Milligrams,
    /// What it takes.
    pub takes: Milligrams,
}

/// The first day on which a fridge would hold more than it takes. `into` names the place that each action brings its grain
/// to; none where its block came out by an action before. Grain that is thawed for a bake lies in its fridge until the bake is mixed; what is left of a block lies there
/// for longer.
pub fn crowded(situation: &Situation, plan: &Plan, into: &[Option<&str>]) -> Option<Crowded> {
    let zone = &situation.zone;
    let days = zone
        .date(situation.now)
        .iter_days()
        .take_while(|day| *day <= zone.date(situation.end));
    let fridges = &situation.capacity.places.fridges;
    let on = |day: NaiveDate, fridge: &Place| {
        let takes = fridge.takes?;
        let holds = held(situation, plan, into, (fridge.name.as_str(), day));
        (holds > takes).then(|| Crowded {
            place: fridge.name.clone(),
            day,
            holds,
            takes,
        })
    };
    days.flat_map(|day| fridges.iter().map(move |fridge| (day, fridge)))
        .find_map(|(day, fridge)| on(day, fridge))
}

/// What a fridge holds at the end of a day.
fn held(
    situation: &Situation,
    plan: &Plan,
    into: &[Option<&str>],
    (fridge, day): (&str, NaiveDate),
) -> Milligrams {
    let zone = &situation.zone;
    let lies_there = |lot: usize| situation.lots[lot].place == fridge;
    let lots = situation.lots.iter().filter(|lot| lot.place == fridge);
    let mut holds: i64 = lots.map(|lot| lot.wet.get()).sum();
    for (index, action) in plan.actions.iter().enumerate() {
        if zone.date(action.by) > day {
            continue;
        }
        match action.work {
            Work::Freeze | Work::Dry if lies_there(action.lot) => holds -= action.wet.get(),
            Work::Thaw if into[index] == Some(fridge) => {
                holds += action.block(&situation.lots).unwrap_or(action.wet).get();
            }
            _ => {}
        }
    }
    let is_thawed_there = |lot: usize, bake: usize| {
        let is_it = |action: &Action| {
            let is_for_it = action.bake == Some(bake) || action.block(&situation.lots).is_some();
            (action.work, action.lot) == (Work::Thaw, lot) && is_for_it
        };
        let mut actions = plan.actions.iter().zip(into);
        actions.any(|(action, place)| is_it(action) && *place == Some(fridge))
    };
    for (index, (planned, bake)) in plan.bakes.iter().zip(&situation.bakes).enumerate() {
        if zone.date(bake.mix) > day {
            continue;
        }
        for draw in &planned.draws {
            let is_from_it = match draw.state {
                State::AsItLies => lies_there(draw.lot),
                State::Thawed => is_thawed_there(draw.lot, index),
                State::Dried => false,
            };
            if is_from_it {
                holds -= draw.wet.get();
            }
        }
    }
    Milligrams::new(holds)
}
