//! Where a plan differs from what the accepted one promised, and why.

use super::PlanGround;
use crate::planning::Situation;
use crate::planning::plan::{Plan, PlannedBake};
use crate::planning::problem::Lot;
use crate::planning::reason::{lacks_fridge, thawed_too_late};
use crate::planning::windows::{State, Windows};
use crate::quantity::Milligrams;
use std::collections::BTreeMap;

/// A draw that is otherwise than it was promised.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The bake.
    pub bake: String,
    /// The lot.
    pub lot: String,
    /// What was promised.
    pub before: Milligrams,
    /// What is planned.
    pub after: Milligrams,
    /// Why it gets less than was promised, where it does.
    pub because: Option<Moved>,
}

/// Why a bake gets less of a lot than was promised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moved {
    /// Less of it is on hand, or none.
    Gone,
    /// It may not go into the bake any more.
    Unfit,
    /// It was not taken out of the freezer in time.
    NotThawed,
    /// It would have to be thawed, and no fridge is cold enough for it.
    NoFridge,
    /// The bake takes no more, or its dough no more water.
    MostOfDough,
    /// It would have to be frozen until then, and the freezers have no room for it.
    FreezersFull,
    /// It would have to be dried, and the dryer has no time for it.
    DryerFull,
    /// Otherwise a firm bake would fall short.
    FirmBakes,
}

impl Moved {
    /// The word for it in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Gone => "gone",
            Self::Unfit => "unfit",
            Self::NotThawed => "not-thawed",
            Self::NoFridge => "no-fridge",
            Self::MostOfDough => "most-of-dough",
            Self::FreezersFull => "freezers-full",
            Self::DryerFull => "dryer-full",
            Self::FirmBakes => "firm-bakes",
        }
    }
}

/// What bakes get otherwise than the accepted plan promised.
pub(super) fn changes(ground: &PlanGround, plan: &Plan) -> Vec<Change> {
    let mut sums: BTreeMap<(usize, String), (i64, i64)> = BTreeMap::new();
    for promise in &ground.promises {
        let code = match promise.lot {
            Some(lot) => ground.situation.lots[lot].code.clone(),
            None => promise.named.clone(),
        };
        sums.entry((promise.bake, code)).or_default().0 += promise.wet.get();
    }
    for (bake, planned) in plan.bakes.iter().enumerate() {
        for draw in &planned.draws {
            let code = ground.situation.lots[draw.lot].code.clone();
            sums.entry((bake, code)).or_default().1 += draw.wet.get();
        }
    }
    let step = ground.situation.capacity.step.get();
    sums.into_iter()
        .filter(|(_, (before, after))| {
            (before - after).abs() > step || (*before == 0) != (*after == 0)
        })
        .map(|((bake, lot), (before, after))| Change {
            because: if after < before - step {
                why_moved(ground, plan, bake, &lot, before)
            } else {
                None
            },
            bake: ground.situation.bakes[bake].code.clone(),
            lot,
            before: Milligrams::new(before),
            after: Milligrams::new(after),
        })
        .collect()
}

/// Why a bake gets less of a lot than was promised, where there is more to it than whole steps of the scale. Only the minimum of
/// firm bakes comes before promises; all else is a limit that no plan passes.
fn why_moved(
    ground: &PlanGround,
    plan: &Plan,
    bake: usize,
    lot: &str,
    promised: i64,
) -> Option<Moved> {
    let situation = &ground.situation;
    let has_as_much = |one: &Lot| one.code == lot && one.wet.get() >= promised;
    let Some(lot) = situation.lots.iter().position(has_as_much) else {
        return Some(Moved::Gone);
    };
    let asked = Situation {
        lots: vec![situation.lots[lot].clone()],
        bakes: vec![situation.bakes[bake].clone()],
        promised: Vec::new(),
        ..situation.clone()
    };
    let windows = Windows::of(&asked);
    let window = &windows.lots[0];
    let fit = &window.bakes[0];
    if !State::ALL.iter().any(|state| fit.allows(*state)) {
        let is_late = thawed_too_late(&asked, &windows, (0, 0)).is_some();
        return Some(if is_late {
            Moved::NotThawed
        } else if lacks_fridge(&asked, (0, 0)) {
            Moved::NoFridge
        } else {
            Moved::Unfit
        });
    }
    let slack = |planned: &PlannedBake| {
        let steps = planned.draws.len() as i64 + 1;
        situation.capacity.step.get() * steps
    };
    let (takes, gets) = (&situation.bakes[bake], &plan.bakes[bake]);
    let is_wet = takes.water.is_some_and(|room| {
        gets.water(situation, room) + slack(gets) as f64 >= room.most.get() as f64
    });
    if gets.dry.get() + slack(gets) >= takes.highest.get() || is_wet {
        return Some(Moved::MostOfDough);
    }
    let needs_it = |other: usize| {
        let (asked, planned) = (&situation.bakes[other], &plan.bakes[other]);
        let at_its_least = planned.dry.get() <= asked.lowest.get() + slack(planned);
        asked.firm && at_its_least && planned.draws.iter().any(|draw| draw.lot == lot)
    };
    if (0..plan.bakes.len()).any(|other| other != bake && needs_it(other)) {
        return Some(Moved::FirmBakes);
    }
    let first = |state: State| fit.allows(state) && !fit.allows(State::AsItLies);
    if first(State::Thawed) && !window.frozen && situation.capacity.freezer.is_some() {
        return Some(Moved::FreezersFull);
    }
    first(State::Dried).then_some(Moved::DryerFull)
}
