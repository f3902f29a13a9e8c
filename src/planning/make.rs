//! Makes a plan of a situation: windows, start, search, rounding, the answer, and the walk through it.

use super::aims::Aim;
use super::draft::Draft;
use super::figures::{Figures, milligrams};
use super::model::Facts;
use super::plan::{
    Action, Aims, Broken, Draw, Fate, Leftover, Plan, PlannedBake, Proof, Status, Work,
};
use super::problem::{Bake, Lot, Situation};
use super::reason::reason;
use super::round::{Drying, Rounded, round};
use super::search::{Found, Patience, Watch, search};
use super::windows::{Fit, State, Windows};
use super::working_hours::evening;
use super::{even, oldest_first, verify};
use crate::quantity::{Instant, Milligrams};

mod answer;
mod work;

use answer::answer;

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPlan {
    /// No bake is to come within the plan's days.
    NoBakes,
    /// Nothing is on hand.
    NoLots,
    /// Something is on hand and none of it may go into a dough.
    NothingUsable,
    /// A bake's least, wanted and most dry grain are not in this order, or less than nothing.
    CrossedBounds(usize),
    /// A bake is to be mixed before now or after the end.
    OutsideTheDays(usize),
    /// The plan that was made breaks what it must keep to: a fault of the planner.
    Faulty(Vec<String>),
}

/// Makes the plan. `watch` is told the aim that is searched for, and may end the search.
///
/// # Errors
/// [`NoPlan`] where there is nothing to plan with, or the plan did not pass [`verify::findings`].
pub fn make(
    situation: &Situation,
    patience: Patience,
    watch: &mut Watch<'_>,
) -> Result<Plan, NoPlan> {
    let order = Order::of(situation);
    let sorted = order.sorted(situation);
    check(&sorted).map_err(|no_plan| order.back(no_plan))?;
    let windows = Windows::of(&sorted);
    if windows.lots.iter().all(|lot| !lot.usable) {
        return Err(NoPlan::NothingUsable);
    }
    let figures = Figures::of(&sorted, &windows);
    let facts = Facts {
        situation: &sorted,
        windows: &windows,
        figures: &figures,
    };
    let start = oldest_first::plan(facts);
    let mut found = search(facts, &start, patience, watch);
    even::make_alike(facts, &mut found.draft);
    // What the rule of the trade would do by itself, whatever was promised since.
    let unpromised = Situation {
        promised: Vec::new(),
        ..sorted.clone()
    };
    let plain = Facts {
        situation: &unpromised,
        ..facts
    };
    let by_age = oldest_first::plan(plain);
    let oldest = Aims {
        promises: milligrams(by_age.value(facts, Aim::Promises)),
        ..answer(plain, &by_age, no_gap()).aims
    };
    let mut plan = answer(facts, &found.draft, proof(&found));
    plan.oldest_first = oldest;
    let findings = verify::findings(&sorted, &plan);
    if findings.is_empty() {
        Ok(order.restored(plan))
    } else {
        Err(NoPlan::Faulty(findings))
    }
}

fn check(situation: &Situation) -> Result<(), NoPlan> {
    if situation.bakes.is_empty() {
        return Err(NoPlan::NoBakes);
    }
    if situation.lots.is_empty() {
        return Err(NoPlan::NoLots);
    }
    for (index, bake) in situation.bakes.iter().enumerate() {
        if bake.lowest.get() < 0 || bake.lowest > bake.wanted || bake.wanted > bake.highest {
            return Err(NoPlan::CrossedBounds(index));
        }
        if bake.mix < situation.now || bake.mix > situation.end {
            return Err(NoPlan::OutsideTheDays(index));
        }
    }
    Ok(())
}

/// Lots by code and bakes by time: the order in which the book gives them does not change the plan.
struct Order {
    lots: Vec<usize>,
    bakes: Vec<usize>,
}

impl Order {
    fn of(situation: &Situation) -> Self {
        let mut lots: Vec<usize> = (0..situation.lots.len()).collect();
        lots.sort_by_key(|at| &situation.lots[*at].code);
        let mut bakes: Vec<usize> = (0..situation.bakes.len()).collect();
        bakes.sort_by_key(|at| (situation.bakes[*at].mix, &situation.bakes[*at].code));
        Self { lots, bakes }
    }

    fn sorted(&self, situation: &Situation) -> Situation {
        let to =
            |order: &[usize], from: usize| order.iter().position(|at| *at == from).unwrap_or(from);
        let mut sorted = Situation {
            lots: self
                .lots
                .iter()
                .map(|at| situation.lots[*at].clone())
                .collect::<Vec<Lot>>(),
            bakes: self
                .bakes
                .iter()
                .map(|at| situation.bakes[*at].clone())
                .collect::<Vec<Bake>>(),
            ..situation.clone()
        };
        for promised in &mut sorted.promised {
            promised.lot = to(&self.lots, promised.lot);
            promised.bake = to(&self.bakes, promised.bake);
        }
        sorted
            .promised
            .sort_by_key(|promised| (promised.bake, promised.lot));
        sorted
    }

    fn back(&self, no_plan: NoPlan) -> NoPlan {
        match no_plan {
            NoPlan::CrossedBounds(bake) => NoPlan::CrossedBounds(self.bakes[bake]),
            NoPlan::OutsideTheDays(bake) => NoPlan::OutsideTheDays(self.bakes[bake]),
            other => other,
        }
    }

    /// The plan with the positions that the situation was given with.
    fn restored(&self, mut plan: Plan) -> Plan {
        use super::reason::Reason;
        let mut bakes: Vec<(usize, PlannedBake)> =
            self.bakes.iter().copied().zip(plan.bakes).collect();
        bakes.sort_by_key(|(at, _)| *at);
        plan.bakes = bakes.into_iter().map(|(_, bake)| bake).collect();
        for bake in &mut plan.bakes {
            for draw in &mut bake.draws {
                draw.lot = self.lots[draw.lot];
            }
            if let Some(Reason::OtherBakes(others) | Reason::TooLittle { others, .. }) =
                &mut bake.reason
            {
                for other in others {
                    *other = self.bakes[*other];
                }
            }
        }
        for action in &mut plan.actions {
            action.lot = self.lots[action.lot];
            action.bake = action.bake.map(|bake| self.bakes[bake]);
        }
        for left in &mut plan.left {
            left.lot = self.lots[left.lot];
        }
        for broken in &mut plan.broken {
            broken.lot = self.lots[broken.lot];
            broken.bake = self.bakes[broken.bake];
        }
        plan
    }
}

fn no_gap() -> Proof {
    Proof {
        status: Status::Optimal,
        unproven: None,
        gap: 0.0,
        short_gap: Milligrams::ZERO,
        spoiled_gap: Milligrams::ZERO,
    }
}

/// How good the draft is: of the first aim that is not proven, how much less may be possible.
fn proof(found: &Found) -> Proof {
    let Some(first) = found.reached.iter().find(|reached| !reached.proven) else {
        return no_gap();
    };
    let gap = first
        .bound
        .map(|bound| (first.value - bound).max(0.0) / first.value.abs().max(1e-9));
    let missed = |aim: Aim| {
        let of_aim = found.reached.iter().find(|reached| reached.aim == aim);
        let left = of_aim.and_then(|reached| Some(reached.value - reached.bound?));
        milligrams(left.unwrap_or(0.0).max(0.0))
    };
    Proof {
        status: if found.stopped {
            Status::Stopped
        } else {
            Status::WithinGap
        },
        unproven: Some(first.aim),
        gap: gap.unwrap_or(1.0),
        short_gap: missed(Aim::Short),
        spoiled_gap: missed(Aim::Spoiled),
    }
}
