//! Which place each bag of a plan's jobs goes into.

use crate::planning::places::{Job, deal};
use crate::planning::plan::{Plan, Work};
use crate::planning::problem::Situation;
use crate::quantity::Milligrams;

/// What of a job goes into one place in one bag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Share {
    /// Position of the bake that it is for, where it is for one.
    pub bake: Option<usize>,
    /// How much of it.
    pub wet: Milligrams,
    /// Name of the place; nothing where no place is fit.
    pub place: Option<String>,
}

/// The shares of each action.
pub(super) fn shares(situation: &Situation, plan: &Plan) -> Vec<Vec<Share>> {
    let mut bags: Vec<(usize, Option<usize>, Milligrams)> = Vec::new();
    for (index, action) in plan.actions.iter().enumerate() {
        match action.work {
            Work::Freeze => {
                let of_action = plan.bags(action, situation.capacity.portion).into_iter();
                bags.extend(of_action.map(|(bake, wet)| (index, bake, wet)));
            }
            Work::Dry | Work::Thaw => bags.push((index, action.bake, action.wet)),
        }
    }
    let jobs: Vec<Job<usize>> = bags
        .iter()
        .map(|(index, _, wet)| {
            let action = &plan.actions[*index];
            Job {
                work: action.work,
                lot: action.lot,
                wet: action.block(&situation.lots).map_or(*wet, |lot| lot.wet),
                by: action.by,
            }
        })
        .collect();
    let capacity = &situation.capacity;
    let lots = situation.lots.iter().enumerate();
    let lies = lots.map(|(index, lot)| (index, lot.place.as_str(), lot.wet));
    let house = (&situation.zone, capacity.step);
    let dealt = deal(&capacity.places, lies, &jobs, house);
    let mut shares = vec![Vec::new(); plan.actions.len()];
    for ((index, bake, wet), parts) in bags.into_iter().zip(dealt) {
        let is_one = parts.len() == 1;
        shares[index].extend(parts.into_iter().map(|part| Share {
            bake,
            wet: if is_one { wet } else { part.wet },
            place: part.place,
        }));
    }
    shares
}
