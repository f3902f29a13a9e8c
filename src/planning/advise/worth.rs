//! What a test of a lot is worth, in grams: the week is planned again with each moisture that the test may show, and compared
//! with the plan as it stands, carried out without knowing.
//!
//! Value of information by samples, as in [`crate::planning::fetch`]; `docs/planner_fetch.md` has the formula.

use super::{most_plans, part_lost};
use crate::planning::fetch::samples;
use crate::planning::figures::{kilograms, milligrams};
use crate::planning::make::make;
use crate::planning::plan::Plan;
use crate::planning::problem::Situation;
use crate::planning::search::Patience;
use crate::quantity::{Milligrams, Uncertain};

/// A lot that may be tested.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Testable {
    /// Position of the lot.
    pub lot: usize,
    /// What part of the uncertainty of its moisture is left after one test.
    pub left: f64,
}

/// A test that is worth it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Worth {
    /// Position of the lot.
    pub lot: usize,
    /// Dry grain that is missed less, on average, by who knows.
    pub dry: Milligrams,
}

/// What came of looking.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tested {
    /// Tests that are worth it, the one that decides most first.
    pub worth: Vec<Worth>,
    /// Of how many lots.
    pub looked_at: usize,
    /// Somebody ended it before all of them were.
    pub stopped: bool,
}

/// Lots that are looked at most.
const MOST_LOTS: usize = 5;
/// Samples of the moisture of each.
const SAMPLES: usize = 7;
/// Samples in a large week: the halves above and below the middle.
const FEWEST_SAMPLES: usize = 2;
/// Which samples; only bakes that may not happen are shuffled by it, and here there are none.
const SEED: u64 = 1;
/// A test that decides less dry grain is not worth the oven: our choice.
pub const LEAST: Milligrams = Milligrams::new(50_000);

/// The tests to look at.
pub struct Tests<'a> {
    situation: &'a Situation,
    plan: &'a Plan,
    lots: Vec<Testable>,
    samples: usize,
}

impl<'a> Tests<'a> {
    /// Of these lots those that a test tells most of: what the plan draws from them times how far it may be off.
    pub fn new(situation: &'a Situation, plan: &'a Plan, mut lots: Vec<Testable>) -> Self {
        let unsure = |one: &Testable| {
            let draws = plan.bakes.iter().flat_map(|bake| &bake.draws);
            let of_lot = draws.filter(|draw| draw.lot == one.lot);
            let wet: i64 = of_lot.map(|draw| draw.wet.get()).sum();
            wet as f64 * shows(situation, one).standard
        };
        lots.retain(|one| unsure(one) > 0.0);
        lots.sort_by(|one, other| {
            unsure(other)
                .total_cmp(&unsure(one))
                .then(one.lot.cmp(&other.lot))
        });
        lots.truncate(MOST_LOTS);
        let most = most_plans(situation, MOST_LOTS * SAMPLES);
        let samples = (most / lots.len().max(1)).clamp(FEWEST_SAMPLES, SAMPLES);
        lots.truncate(most / samples);
        Self {
            situation,
            plan,
            lots,
            samples,
        }
    }

    /// How many plans it takes at most.
    pub fn plans(&self) -> usize {
        self.lots.len() * self.samples
    }

    /// Looks at them. `goes_on` is told how many plans were made.
    pub fn work_out(&self, goes_on: &mut dyn FnMut(usize) -> bool) -> Tested {
        let mut tested = Tested::default();
        let mut plans = 0;
        for one in &self.lots {
            let mut next = || {
                plans += 1;
                goes_on(plans - 1)
            };
            let Some(less) = self.missed_less(one, &mut next) else {
                tested.stopped = true;
                break;
            };
            tested.looked_at += 1;
            let dry = milligrams(less.max(0.0));
            if dry >= LEAST {
                tested.worth.push(Worth { lot: one.lot, dry });
            }
        }
        tested
            .worth
            .sort_by_key(|worth| (std::cmp::Reverse(worth.dry), worth.lot));
        tested
    }

    /// Kilograms of dry grain that are missed less by who knows the moisture, on average over the samples; nothing where it was
    /// ended before all of them were planned with.
    fn missed_less(&self, one: &Testable, goes_on: &mut dyn FnMut() -> bool) -> Option<f64> {
        let mut less = 0.0;
        let shows = shows(self.situation, one);
        for sample in samples::draw(&shows, 0, 0.0, self.samples, SEED) {
            if !goes_on() {
                return None;
            }
            let known = tested(self.situation, one, sample.moisture);
            // Without a plan nothing is won by knowing.
            if let Ok(then) = make(&known, Patience::default(), &mut |_| true) {
                let won = missed(&known, self.plan) - missed(&known, &then);
                less += sample.count as f64 * won;
            }
        }
        Some(less / self.samples as f64)
    }
}

/// Moistures that a test may show: around the estimate, spread by what it takes away of the uncertainty.
fn shows(situation: &Situation, one: &Testable) -> Uncertain {
    let moisture = situation.lots[one.lot].moisture;
    let taken = (1.0 - one.left * one.left).max(0.0).sqrt();
    Uncertain {
        standard: moisture.standard * taken,
        ..moisture
    }
}

/// The situation once a test has shown this moisture.
fn tested(situation: &Situation, one: &Testable, shown: f64) -> Situation {
    let mut tested = situation.clone();
    let lot = &mut tested.lots[one.lot];
    lot.moisture.value = shown;
    lot.moisture.standard *= one.left;
    // A promise is as much wet grain as holds the dry grain that it counted on, as far as that is there.
    let before = situation.lots[one.lot].dry_fraction(situation.careful);
    let wetter = before / lot.dry_fraction(situation.careful);
    let mut there = lot.wet.get();
    let promised = tested.promised.iter_mut();
    for promised in promised.filter(|promised| promised.lot == one.lot) {
        let wet = (promised.wet.get() as f64 * wetter).round() as i64;
        promised.wet = Milligrams::new(wet.min(there));
        there -= promised.wet.get();
    }
    tested
}

/// Kilograms of dry grain that are missed where this plan is carried out by its wet weights: what bakes lack of what they want
/// (one that is not baked gets nothing), what they get over their most, and what is lost.
fn missed(situation: &Situation, plan: &Plan) -> f64 {
    let dry =
        |lot: usize, wet: Milligrams| kilograms(situation.lots[lot].dry(wet, situation.careful));
    let off = situation
        .bakes
        .iter()
        .zip(&plan.bakes)
        .map(|(bake, planned)| {
            let draws = planned.draws.iter();
            let got: f64 = draws.map(|draw| dry(draw.lot, draw.wet)).sum();
            (kilograms(bake.wanted) - got).max(0.0) + (got - kilograms(bake.highest)).max(0.0)
        });
    let left = plan.left.iter();
    let lost = left.map(|left| part_lost(situation, left) * dry(left.lot, left.wet));
    off.sum::<f64>() + lost.sum::<f64>()
}

#[cfg(test)]
mod tests;
