//! Whether one more test of a lot is worth the oven, and what it would change in the bake that takes the lot next: one rule for
//! `moisture --why`, `plan`, `today` and the page.

use super::bake::BakeAnswer;
use super::moisture::MoistureAnswer;
use super::plan::PlanGround;
use crate::dough::bake_code::BakeCode;
use crate::grain::dry_matter::wet_for;
use crate::keeping::PlaceKind;
use crate::planning::advise::worth::Testable;
use crate::planning::plan::Plan;
use crate::planning::windows::{State, Windows};
use crate::planning::working_hours::taken_out_at;
use crate::quantity::{Instant, Milligrams};
use chrono::Duration;
use std::collections::BTreeMap;
use uom::si::f64::Mass;

/// A test is worth the oven where it makes the dry grain of a lot surer by this part of it: judgement.
const WORTH_A_TEST: f64 = 0.05;

/// Days that are looked at for the next bake of a lot, today counted: as many as `plan` looks at unless told otherwise.
pub const DAYS_AHEAD: u32 = 14;

/// How long a sample dries. Malt takes 3 h in an oven, within 0.1 % of 4 h (AOAC 935.29); that 4 h do for wet grain is judgement.
const SAMPLE_DRIES: Duration = Duration::hours(4);

/// What a test of a lot would change in the bake that takes it next.
#[derive(Debug, Clone)]
pub struct NextBake {
    /// The bake.
    pub code: BakeCode,
    /// Its formula.
    pub formula: String,
    /// When its grain is weighed out.
    pub grain_at: Instant,
    /// Water held back because the moisture is uncertain, were the bake made of this lot.
    pub held_now: Mass,
    /// The same after one more test.
    pub held_after: Mass,
    /// Smallest step of the scale on which that is weighed.
    pub scale: Milligrams,
}

impl NextBake {
    /// Of a bake that takes its dry grain from a lot. Hold-back spans the moisture's range: w · (1 + H) ÷ (1 − b) for each
    /// unit of it, see `docs/models/hold_back.md`.
    pub fn of(bake: &BakeAnswer, moisture: &MoistureAnswer, scale: Milligrams) -> Self {
        let (formula, estimate) = (&bake.needs.formula, &moisture.estimate);
        let wet = wet_for(bake.needs.dry_wanted, estimate.wet_basis());
        let slope = wet * (1.0 + formula.hydration) / (1.0 - formula.grain.flour_basis.get());
        Self {
            code: bake.bake.code,
            formula: formula.name.clone(),
            grain_at: bake.needs.grain_at(),
            held_now: slope * (2.0 * estimate.moisture.expanded()),
            held_after: slope * (2.0 * estimate.after_one_more_test()),
            scale,
        }
    }
}

impl MoistureAnswer {
    /// Whether one more test is worth the oven: it makes the dry grain surer, or tells which of its tests is wrong.
    pub fn is_worth_a_test(&self) -> bool {
        let estimate = &self.estimate;
        let narrower = estimate.moisture.expanded() - estimate.after_one_more_test();
        let dry_fraction = estimate.wet_basis().dry_fraction().get();
        self.contradicts_itself() || narrower >= WORTH_A_TEST * dry_fraction
    }

    /// What part of the uncertainty of the moisture is left after one more test; all of it where nothing is uncertain.
    fn left_after_a_test(&self) -> f64 {
        let now = self.estimate.moisture.expanded();
        if now > 0.0 {
            (self.estimate.after_one_more_test() / now).min(1.0)
        } else {
            1.0
        }
    }
}

impl PlanGround {
    /// The bake that takes a lot next, by its place in the plan: the first that the accepted plan promised grain of it; else,
    /// of those that are promised nothing, the first that names it; else the first that it may go into. Grain that has to be
    /// dried first is another grain then.
    pub fn next_bake(&self, windows: &Windows, lot: usize) -> Option<NextBake> {
        let code = &self.situation.lots[lot].code;
        let is_promised = |bake: &usize| {
            let mut promises = self.promises.iter();
            promises.any(|one| one.bake == *bake && one.lot == Some(lot) && one.to_hold().is_some())
        };
        let is_open = |bake: &usize| self.promises.iter().all(|one| one.bake != *bake);
        let is_named = |bake: &usize| self.situation.bakes[*bake].only_of.contains(code);
        let fits = |bake: &usize| {
            let fit = &windows.lots[lot].bakes[*bake];
            fit.allows(State::AsItLies) || fit.allows(State::Thawed)
        };
        let bakes: Vec<usize> = (0..self.bakes.len()).filter(fits).collect();
        let first = |takes: &dyn Fn(&usize) -> bool| bakes.iter().find(|bake| takes(bake));
        let next = first(&is_promised)
            .or_else(|| first(&|bake| is_open(bake) && is_named(bake)))
            .or_else(|| first(&is_open))?;
        let scale = self.situation.capacity.step;
        Some(NextBake::of(
            &self.bakes[*next],
            &self.moistures[lot],
            scale,
        ))
    }

    /// Lots that a plan draws from and of which a sample can be dried before the first bake of them weighs its grain out. As
    /// everywhere a lot that is frozen is tested once it is thawed, one that is to be dried once it is dry, and one with a sample
    /// in the oven is not tested now.
    pub fn testable(&self, plan: &Plan) -> Vec<Testable> {
        let situation = &self.situation;
        let mut first: BTreeMap<usize, Instant> = BTreeMap::new();
        for (bake, planned) in situation.bakes.iter().zip(&plan.bakes) {
            let draws = planned.draws.iter();
            for draw in draws.filter(|draw| draw.state != State::Dried) {
                let at = first.entry(draw.lot).or_insert(bake.grain_at);
                *at = bake.grain_at.min(*at);
            }
        }
        let is_in_time = |(lot, at): &(usize, Instant)| {
            let is_frozen = situation.lots[*lot].place_kind == PlaceKind::Freezer;
            let by = self.sample_by(*at);
            !is_frozen
                && self.moistures[*lot].drying() == 0
                && by.is_some_and(|by| by >= situation.now)
        };
        let lots = first.into_iter().filter(is_in_time);
        lots.map(|(lot, _)| Testable {
            lot,
            left: self.moistures[lot].left_after_a_test(),
        })
        .collect()
    }

    /// By when a sample has to go into the oven so that it is dry before a bake weighs its grain out, while somebody is there.
    pub fn sample_by(&self, grain_at: Instant) -> Option<Instant> {
        let situation = &self.situation;
        taken_out_at(&situation.zone, &situation.capacity, SAMPLE_DRIES, grain_at)
    }
}
