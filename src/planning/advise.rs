//! Which change to the bakes would leave less grain to spoil or fill firm bakes. Each is judged by planning again with it, as
//! patiently as `plan` does, never by a rule of its own: a bake that is raised may take grain from another.

use super::figures::kilograms;
use super::make::{NoPlan, make};
use super::plan::{Fate, Leftover, Plan, Status};
use super::problem::{Bake, Situation};
use super::search::{Patience, Watch};
use super::windows::{Fit, Windows};
use crate::quantity::Milligrams;

pub mod worth;

/// A change to the bakes that may take grain which would be left over.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The bake that it changes; nothing where it adds one.
    pub changes: Option<usize>,
    /// The bake as it would be.
    pub bake: Bake,
    /// Dough that it makes more, as a measure of the work: of two that save as much the smaller goes first.
    pub more_dough: Milligrams,
    /// Dry grain that it could take at most of what is left over, or for a bake that is short; what promises most is
    /// looked at first.
    pub could_take: Milligrams,
}

/// A candidate that a plan has shown to be good.
#[derive(Debug, Clone)]
pub struct Advice {
    /// Its position among the candidates.
    pub candidate: usize,
    /// The plan with it.
    pub plan: Plan,
    /// Kilograms of dry grain saved, preserved unused grain in its part.
    pub saved: f64,
    /// Kilograms of dry grain that firm bakes lack less of their minimum.
    pub filled: f64,
    /// Lots of which something was left over and now nothing is.
    pub uses_up: Vec<usize>,
}

/// What came of looking.
#[derive(Debug, Clone, Default)]
pub struct Advised {
    /// What is good, the best first.
    pub advice: Vec<Advice>,
    /// How many candidates were planned with.
    pub looked_at: usize,
    /// Somebody ended it before all of them were.
    pub stopped: bool,
}

/// Candidates that are planned with at most: each takes a search.
const MOST: usize = 30;
/// The time that a plan takes grows about as the square of the choices of a lot for a bake. So many of these squares are looked
/// at, within seconds: our choice.
const SQUARES: usize = 160_000;
/// Plans that are made in the largest week too.
const LEAST_PLANS: usize = 2;

/// The plan of a situation as `plan` makes it, where no bake is to come too: then all grain is left over. `watch` may end the
/// search.
///
/// # Errors
/// [`NoPlan`] where there is no grain to plan with.
pub fn plan(situation: &Situation, watch: &mut Watch<'_>) -> Result<Plan, NoPlan> {
    make(&with_a_bake(situation), Patience::default(), watch)
}

/// A plan needs a bake: where there is none, one that takes nothing.
fn with_a_bake(situation: &Situation) -> Situation {
    let mut situation = situation.clone();
    if situation.bakes.is_empty() {
        situation.bakes.push(Bake {
            code: String::new(),
            mix: situation.end,
            grain_at: situation.end,
            lowest: Milligrams::ZERO,
            wanted: Milligrams::ZERO,
            highest: Milligrams::ZERO,
            water: None,
            form: None,
            colour: None,
            most_lots: None,
            only_of: Vec::new(),
            free_of: Vec::new(),
            firm: false,
        });
    }
    situation
}

/// Dry grain of each lot that spoils or is preserved for no bake.
pub fn wasted(situation: &Situation, plan: &Plan) -> Vec<Milligrams> {
    let mut wasted = vec![0; situation.lots.len()];
    for left in &plan.left {
        if left.fate == Fate::Spoils || left.is_unused() {
            wasted[left.lot] += left.dry.get();
        }
    }
    wasted.into_iter().map(Milligrams::new).collect()
}

/// For each of these bakes, whether a lot may go into it.
pub fn fits(situation: &Situation, lot: usize, bakes: &[Bake]) -> Vec<bool> {
    let asked = Situation {
        lots: vec![situation.lots[lot].clone()],
        bakes: bakes.to_vec(),
        promised: Vec::new(),
        ..situation.clone()
    };
    let windows = Windows::of(&asked);
    let fits = windows.lots.into_iter().flat_map(|lot| lot.bakes);
    fits.map(|fit| matches!(fit, Fit::Fits { .. })).collect()
}

/// How many of so many plans are made: fewer in a large week.
fn most_plans(situation: &Situation, most: usize) -> usize {
    let choices = (situation.lots.len() * situation.bakes.len()).max(1);
    (SQUARES / (choices * choices)).clamp(LEAST_PLANS, most)
}

/// How many candidates are planned with at most.
pub fn most_candidates(situation: &Situation) -> usize {
    most_plans(situation, MOST)
}

/// Plans with each candidate and keeps those that save grain, or fill firm bakes that are short, while firm bakes together
/// lack no more. `plan` is the plan as things stand; `goes_on` is told how many were looked at.
pub fn check(
    situation: &Situation,
    plan: &Plan,
    candidates: &[Candidate],
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Advised {
    let mut order: Vec<usize> = (0..candidates.len()).collect();
    order.sort_by_key(|at| {
        let candidate = &candidates[*at];
        (
            std::cmp::Reverse(candidate.could_take),
            candidate.more_dough,
            *at,
        )
    });
    let mut advised = Advised::default();
    let before = wasted(situation, plan);
    let step = situation.capacity.step;
    for at in order.into_iter().take(most_candidates(situation)) {
        if !goes_on(advised.looked_at) {
            advised.stopped = true;
            break;
        }
        let candidate = &candidates[at];
        let mut changed = with_a_bake(situation);
        match candidate.changes {
            Some(bake) => changed.bakes[bake] = candidate.bake.clone(),
            None => changed.bakes.push(candidate.bake.clone()),
        }
        let looked_at = advised.looked_at;
        let then = make(&changed, Patience::default(), &mut |_| goes_on(looked_at));
        // What a search by half says is not what a plan will say.
        if then
            .as_ref()
            .is_ok_and(|then| then.proof.status == Status::Stopped)
        {
            advised.stopped = true;
            break;
        }
        advised.looked_at += 1;
        let Ok(then) = then else {
            continue;
        };
        let saved = lost(situation, plan) - lost(situation, &then);
        let is_shorter = then.aims.short.get() > plan.aims.short.get() + step.get();
        let filled = (kilograms(plan.aims.short) - kilograms(then.aims.short)).max(0.0);
        if is_shorter || saved.max(filled) <= kilograms(step) {
            continue;
        }
        // A block that stays in the freezer now is not used up.
        let is_gone = |lot: usize| {
            let mine = then.left.iter().filter(|left| left.lot == lot);
            mine.map(|left| left.dry.get()).sum::<i64>() <= step.get()
        };
        advised.advice.push(Advice {
            candidate: at,
            uses_up: (0..before.len())
                .filter(|lot| before[*lot] > step && is_gone(*lot))
                .collect(),
            plan: then,
            saved,
            filled,
        });
    }
    // To the gram: less is no reason to bake more.
    let grams = |gained: f64| (gained * 1000.0).round() as i64;
    advised.advice.sort_by_key(|advice| {
        (
            -grams(advice.saved + advice.filled),
            candidates[advice.candidate].more_dough,
            advice.candidate,
        )
    });
    advised
}

/// What part of it counts as lost.
fn part_lost(situation: &Situation, left: &Leftover) -> f64 {
    if left.fate == Fate::Spoils {
        1.0
    } else if left.is_unused() {
        situation.costs.unused_counts
    } else {
        0.0
    }
}

/// Kilograms of dry grain that a plan loses, preserved unused grain in its part.
fn lost(situation: &Situation, plan: &Plan) -> f64 {
    kilograms(plan.aims.spoiled)
        + situation.costs.unused_counts * kilograms(plan.aims.preserved_unused)
}

#[cfg(test)]
mod tests;
