//! Brings a draft to the scale: every draw a whole number of the steps that it shows.
//!
//! Each draw stays within one step of the draft's, or within two where it keeps a promise, and a bake's sum too where
//! nothing else is in the way, so whole steps never cost a bake more than the scale can show; a bake within one step of
//! its least or greatest amount counts as keeping to it. Every draw is rounded down first, and raised again only where
//! water and the dryer still have room; whether the dryer has time for a last step is seen once its days are dealt. Of a
//! lot that the draft deals out to the last step the largest remainders are raised, so that its parts add up to it. A
//! draw that the accepted plan promised comes to what it promised where the draft is within two steps of it: a plan that
//! is accepted again moves nothing by what the solver's tolerance leaves open.

use super::draft::{Draft, DraftDraw};
use super::figures::kilograms;
use super::model::Facts;
use super::windows::State;
use crate::quantity::Milligrams;

mod promises;

/// Draws and leftovers in whole scale steps of wet grain.
#[derive(Debug, Clone, PartialEq)]
pub struct Rounded {
    /// What goes into bakes.
    pub draws: Vec<RoundedDraw>,
    /// For each lot, what is frozen and no bake takes.
    pub frozen_unused: Vec<Milligrams>,
    /// For each lot, what is dried and no bake takes.
    pub dried_unused: Vec<Milligrams>,
    /// For each bake, whether it is baked.
    pub happens: Vec<bool>,
}

/// One amount of one lot for one bake.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoundedDraw {
    /// Position of the lot.
    pub lot: usize,
    /// Position of the bake.
    pub bake: usize,
    /// In which state it goes in.
    pub state: State,
    /// Wet grain, as the lot is now.
    pub wet: Milligrams,
}

impl Rounded {
    /// As kilograms of dry grain.
    pub fn draft(&self, facts: Facts<'_>) -> Draft {
        let dry = |lot: usize, wet: Milligrams| kilograms(wet) / facts.figures.wet_per_dry[lot];
        let kept = |unused: &[Milligrams]| -> Vec<f64> {
            let lots = unused.iter().enumerate();
            lots.map(|(lot, wet)| dry(lot, *wet)).collect()
        };
        let draws = self.draws.iter().map(|draw| DraftDraw {
            lot: draw.lot,
            bake: draw.bake,
            state: draw.state,
            dry: dry(draw.lot, draw.wet),
        });
        Draft {
            draws: draws.collect(),
            frozen_unused: kept(&self.frozen_unused),
            dried_unused: kept(&self.dried_unused),
            happens: self.happens.clone(),
        }
    }
}

/// What the solver's tolerance can move a number of steps by.
const SLACK: f64 = 1e-3;

/// How much of a lot is dried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drying {
    /// Up to the next whole step of what the draft dries, or of what was promised: no step is left over where the dryer has
    /// time for it.
    ToTheNextStep,
    /// No more than the draft dries.
    AsDrafted,
}

/// Rounds a draft.
pub fn round(facts: Facts<'_>, draft: &Draft, drying: Drying) -> Rounded {
    let mut scale = OnTheScale::rounded_down(facts, draft, drying);
    scale.raise_to_promises();
    scale.raise_to_the_least();
    scale.raise_to_the_sums_of_bakes();
    scale.raise_where_lots_are_dealt_out();
    scale.rounded()
}

/// A draft in steps of the scale, and what they still have room for.
struct OnTheScale<'a> {
    facts: Facts<'a>,
    draft: &'a Draft,
    /// Milligrams of a step.
    step: i64,
    /// Steps of the smallest portion.
    least: i64,
    /// What the draft gives each draw, in steps.
    exact: Vec<f64>,
    /// What each draw was promised, where that is kept.
    promised: Vec<Option<i64>>,
    /// Steps of each draw.
    steps: Vec<i64>,
    /// Which draws come to what they were promised.
    is_kept: Vec<bool>,
    /// Steps that are left of each lot.
    left: Vec<i64>,
    /// Steps of each lot that may still be dried.
    to_dry: Vec<i64>,
    /// Kilograms of water that a step of each draw brings into its dough.
    water: Vec<f64>,
    /// Kilograms of water that each dough still takes.
    takes: Vec<f64>,
    /// Kilograms of dry grain that each bake lacks of what the draft gives it.
    lacks: Vec<f64>,
}

impl<'a> OnTheScale<'a> {
    /// Every draw rounded down, and to no more than it was promised.
    fn rounded_down(facts: Facts<'a>, draft: &'a Draft, drying: Drying) -> Self {
        let Facts {
            situation, figures, ..
        } = facts;
        let step = situation.capacity.step.get().max(1);
        let step_kg = kilograms(Milligrams::new(step));
        let least = (situation.capacity.portion.get() + step - 1) / step;
        let draws = draft.draws.iter();
        let exact: Vec<f64> = draws
            .map(|draw| draw.dry * figures.wet_per_dry[draw.lot] / step_kg)
            .collect();
        let promised = promises::kept(facts, draft, &exact, least);
        let lots = situation.lots.iter();
        let mut left: Vec<i64> = lots.map(|lot| lot.wet.get() / step).collect();
        let mut steps = Vec::with_capacity(exact.len());
        for (at, draw) in draft.draws.iter().enumerate() {
            let whole = (exact[at] + SLACK).floor() as i64;
            let most = promised[at].map_or(whole, |promised| promised.min(whole));
            let most = most.min(left[draw.lot]);
            left[draw.lot] -= most;
            steps.push(most);
        }
        let water = draft.draws.iter().map(|draw| {
            let of_dry = figures.water_in_bake(situation, (draw.lot, draw.bake, draw.state));
            of_dry.unwrap_or(0.0) * step_kg / figures.wet_per_dry[draw.lot]
        });
        let water: Vec<f64> = water.collect();
        let rooms = figures.water_room.iter();
        let mut takes: Vec<f64> = rooms.map(|room| room.unwrap_or(f64::INFINITY)).collect();
        for ((draw, steps), water) in draft.draws.iter().zip(&steps).zip(&water) {
            takes[draw.bake] -= *steps as f64 * water;
        }
        let mut scale = Self {
            facts,
            draft,
            step,
            least,
            is_kept: vec![false; exact.len()],
            lacks: vec![0.0; situation.bakes.len()],
            to_dry: Vec::new(),
            exact,
            promised,
            steps,
            left,
            water,
            takes,
        };
        scale.to_dry = (0..situation.lots.len())
            .map(|lot| scale.to_dry(lot, drying))
            .collect();
        scale
    }

    /// Steps of a lot that may be dried beyond those that its draws have.
    fn to_dry(&self, lot: usize, drying: Drying) -> i64 {
        let mut all = self.in_steps(lot, self.draft.dried_unused[lot]);
        let mut rounded = 0;
        for (at, draw) in self.draft.draws.iter().enumerate() {
            if (draw.lot, draw.state) == (lot, State::Dried) {
                let promised = self.promised[at].filter(|_| drying == Drying::ToTheNextStep);
                all += promised.map_or(self.exact[at], |promised| {
                    self.exact[at].max(promised as f64)
                });
                rounded += self.steps[at];
            }
        }
        let all = match drying {
            Drying::ToTheNextStep => (all - SLACK).ceil(),
            Drying::AsDrafted => (all + SLACK).floor(),
        };
        all as i64 - rounded
    }

    /// Kilograms of dry grain of a lot in steps of wet grain.
    fn in_steps(&self, lot: usize, dry: f64) -> f64 {
        dry * self.facts.figures.wet_per_dry[lot] / kilograms(Milligrams::new(self.step))
    }

    /// Kilograms of dry grain in a step of a draw.
    fn each(&self, at: usize) -> f64 {
        let step_kg = kilograms(Milligrams::new(self.step));
        step_kg / self.facts.figures.wet_per_dry[self.draft.draws[at].lot]
    }

    /// Gives a draw a step more, where the lot, the water of the dough and the dryer have room for it; whether they had.
    fn raise(&mut self, at: usize) -> bool {
        let DraftDraw {
            lot, bake, state, ..
        } = self.draft.draws[at];
        let is_dried = state == State::Dried;
        let is_free = self.left[lot] > 0
            && self.water[at] <= self.takes[bake]
            && (!is_dried || self.to_dry[lot] > 0);
        if is_free {
            self.left[lot] -= 1;
            self.to_dry[lot] -= i64::from(is_dried);
            self.takes[bake] -= self.water[at];
            self.steps[at] += 1;
        }
        is_free
    }

    fn raise_to_promises(&mut self) {
        for at in 0..self.steps.len() {
            let promised = self.promised[at];
            while promised.is_some_and(|promised| self.steps[at] < promised) && self.raise(at) {}
            self.is_kept[at] = promised == Some(self.steps[at]);
        }
    }

    /// What the draft brings to the smallest portion but for a step comes to it.
    fn raise_to_the_least(&mut self) {
        for at in 0..self.steps.len() {
            let is_near = self.exact[at] + 1.0 > self.least as f64;
            while is_near && self.steps[at] < self.least && self.raise(at) {}
        }
    }

    /// Those of these draws whose remainder is largest first, and what keeps a promise last.
    fn by_lacking(&self, mut draws: Vec<usize>) -> Vec<usize> {
        let lacking = |at: usize| self.exact[at] - self.steps[at] as f64;
        draws.sort_by(|one, other| lacking(*other).total_cmp(&lacking(*one)));
        draws.sort_by_key(|at| self.is_kept[*at]);
        draws
    }

    /// Brings the sum of each bake within half a step of the draft's, as far as there is room.
    fn raise_to_the_sums_of_bakes(&mut self) {
        for (at, draw) in self.draft.draws.iter().enumerate() {
            self.lacks[draw.bake] += (self.exact[at] - self.steps[at] as f64) * self.each(at);
        }
        for bake in 0..self.lacks.len() {
            let draws = 0..self.steps.len();
            let mine = draws.filter(|at| self.draft.draws[*at].bake == bake && !self.is_kept[*at]);
            for at in self.by_lacking(mine.collect()) {
                if self.lacks[bake] > self.each(at) / 2.0 && self.raise(at) {
                    self.lacks[bake] -= self.each(at);
                }
            }
        }
    }

    /// Of a lot that the draft deals out but for less than a step, the parts add up to it.
    fn raise_where_lots_are_dealt_out(&mut self) {
        for (lot, all) in self.facts.situation.lots.iter().enumerate() {
            let draws = 0..self.steps.len();
            let mine = draws.filter(|at| self.draft.draws[*at].lot == lot);
            let mine: Vec<usize> = mine.collect();
            let drawn: f64 = mine.iter().map(|at| self.exact[*at]).sum();
            if drawn + 1.0 <= (all.wet.get() / self.step) as f64 {
                continue;
            }
            for at in self.by_lacking(mine) {
                let bake = self.draft.draws[at].bake;
                let is_short = self.exact[at] > self.steps[at] as f64 && self.lacks[bake] > 0.0;
                if is_short && self.raise(at) {
                    self.lacks[bake] -= self.each(at);
                }
            }
        }
    }

    fn rounded(&self) -> Rounded {
        let draws = self.draft.draws.iter().zip(&self.steps);
        let draws = draws.filter(|(_, steps)| **steps > 0);
        let lots = 0..self.left.len();
        let (frozen_unused, dried_unused) = lots.map(|lot| self.unused(lot)).unzip();
        Rounded {
            draws: draws
                .map(|(draw, steps)| RoundedDraw {
                    lot: draw.lot,
                    bake: draw.bake,
                    state: draw.state,
                    wet: Milligrams::new(steps * self.step),
                })
                .collect(),
            frozen_unused,
            dried_unused,
            happens: self.draft.happens.clone(),
        }
    }

    /// What is frozen, and what is dried, of a lot for no bake.
    fn unused(&self, lot: usize) -> (Milligrams, Milligrams) {
        let Draft {
            frozen_unused,
            dried_unused,
            ..
        } = self.draft;
        let (left, to_dry) = (self.left[lot], self.to_dry[lot]);
        let whole = |dry: f64| (self.in_steps(lot, dry) + SLACK).floor() as i64;
        let mut frozen = whole(frozen_unused[lot]).min(left);
        let mut dried = whole(dried_unused[lot]).min(left - frozen).min(to_dry);
        // Where less than a step was to spoil, the last step is kept too: nobody leaves a gram behind.
        let spoiled = self.facts.figures.dry[lot] - self.draft.taken(lot);
        let keeps_the_rest = self.in_steps(lot, spoiled) < 1.0;
        let rest = left - frozen - dried;
        if keeps_the_rest && frozen > 0 {
            frozen += rest;
        } else if keeps_the_rest && dried > 0 {
            dried += rest.min(to_dry - dried);
        }
        // Less than is worth weighing out is not worth freezing or drying either.
        let for_bakes = |state: State| -> i64 {
            let draws = self.draft.draws.iter().zip(&self.steps);
            let mine = draws.filter(|(draw, _)| draw.lot == lot && draw.state == state);
            mine.map(|(_, steps)| *steps).sum()
        };
        if frozen + for_bakes(State::Thawed) < self.least {
            frozen = 0;
        }
        if dried + for_bakes(State::Dried) < self.least {
            dried = 0;
        }
        let wet = |steps: i64| Milligrams::new(steps * self.step);
        (wet(frozen), wet(dried))
    }
}

#[cfg(test)]
mod tests;
