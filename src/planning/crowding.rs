//! Whether the fridges hold what a plan leaves in them.

use super::plan::{Plan, Work};
use super::problem::Situation;
use super::windows::State;
use crate::keeping::PlaceKind;
use crate::quantity::Milligrams;
use chrono::NaiveDate;

/// A day on which the fridges would hold more than they take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Crowded {
    /// The first such day.
    pub day: NaiveDate,
    /// What they would hold at its end, if nothing is thrown away before.
    pub holds: Milligrams,
    /// What they take.
    pub takes: Milligrams,
}

/// The first day on which the fridges would hold more than they take. Grain that is thawed for a bake lies in a fridge from its thawing until the
/// bake is mixed.
pub fn crowded(situation: &Situation, plan: &Plan) -> Option<Crowded> {
    let takes = situation.capacity.fridge?;
    let zone = &situation.zone;
    let in_fridge = |lot: usize| situation.lots[lot].place_kind == PlaceKind::Fridge;
    let held: i64 = (0..situation.lots.len())
        .filter(|lot| in_fridge(*lot))
        .map(|lot| situation.lots[lot].wet.get())
        .sum();
    let on = |day: NaiveDate| {
        let mut holds = held;
        for action in &plan.actions {
            let done = zone.date(action.by) <= day;
            match action.work {
                Work::Freeze | Work::Dry if done && in_fridge(action.lot) => {
                    holds -= action.wet.get();
                }
                Work::Thaw if done => holds += action.wet.get(),
                _ => {}
            }
        }
        for (planned, bake) in plan.bakes.iter().zip(&situation.bakes) {
            for draw in &planned.draws {
                let from_fridge = draw.state == State::Thawed
                    || (draw.state == State::AsItLies && in_fridge(draw.lot));
                if zone.date(bake.mix) <= day && from_fridge {
                    holds -= draw.wet.get();
                }
            }
        }
        Milligrams::new(holds)
    };
    zone.date(situation.now)
        .iter_days()
        .take_while(|day| *day <= zone.date(situation.end))
        .map(|day| Crowded {
            day,
            holds: on(day),
            takes,
        })
        .find(|crowded| crowded.holds > takes)
}
