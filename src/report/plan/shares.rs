//! Which place each bag of a plan's jobs goes into.

use crate::planning::places::{Job, deal, spread};
use crate::planning::plan::{Action, Plan, Work};
use crate::planning::problem::Situation;
use crate::quantity::Milligrams;

/// What of a job goes into one place in one bag, or what a bake takes of a frozen block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Share {
    /// Position of the bake that it is for, where it is for one.
    pub bake: Option<usize>,
    /// How much of it.
    pub wet: Milligrams,
    /// Name of the place; nothing where no place is fit.
    pub place: Option<String>,
}

/// What bakes have of a job.
type Takes = Vec<(Option<usize>, Milligrams)>;

/// The shares of each action; none where its block comes out by an action before.
pub(super) fn shares(situation: &Situation, plan: &Plan) -> Vec<Vec<Share>> {
    let capacity = &situation.capacity;
    let mut jobs: Vec<Job<usize>> = Vec::new();
    let mut of_jobs: Vec<(usize, Takes)> = Vec::new();
    for (index, action) in plan.actions.iter().enumerate() {
        let mut add = |wet: Milligrams, takes: Takes| {
            jobs.push(Job {
                work: action.work,
                lot: action.lot,
                wet,
                by: action.by,
            });
            of_jobs.push((index, takes));
        };
        let is_of_block = |one: &&Action| (one.work, one.lot) == (Work::Thaw, action.lot);
        match (action.work, action.block(&situation.lots)) {
            (Work::Freeze, _) => {
                for (bake, wet) in plan.bags(action, capacity.portion) {
                    add(wet, vec![(bake, wet)]);
                }
            }
            (_, None) => add(action.wet, vec![(action.bake, action.wet)]),
            (_, Some(all)) => {
                let (before, on) = plan.actions.split_at(index);
                if !before.iter().any(|one| is_of_block(&one)) {
                    let takes = on.iter().filter(is_of_block);
                    add(all, takes.map(|one| (one.bake, one.wet)).collect());
                }
            }
        }
    }
    let lots = situation.lots.iter().enumerate();
    let lies = lots.map(|(index, lot)| (index, lot.place.as_str(), lot.wet));
    let house = (&situation.zone, capacity.step);
    let dealt = deal(&capacity.places, lies, &jobs, house);
    let mut shares = vec![Vec::new(); plan.actions.len()];
    for ((index, takes), parts) in of_jobs.iter().zip(&dealt) {
        let spread = spread(takes, parts).into_iter();
        shares[*index].extend(spread.map(|(bake, part)| Share {
            bake,
            wet: part.wet,
            place: part.place,
        }));
    }
    shares
}
