//! The answer to `fetch`: how much to take, and what was assumed.

use super::Caution;
use super::plan::PlanGround;
use crate::grain::Estimate;
use crate::ledger::LotRecord;
use crate::planning::fetch::{Expected, Fetch};
use crate::planning::problem::Lot;
use crate::quantity::{Instant, Milligrams};

/// How much to take, and what it was calculated from.
#[derive(Debug, Clone)]
pub struct FetchAnswer {
    /// Bakes and lots.
    pub ground: PlanGround,
    /// How much.
    pub fetch: Fetch,
    /// The last lot of the source; nothing where the book has none.
    pub like: Option<LotRecord>,
    /// The lot to be fetched, as it was assumed to be.
    pub lot: Lot,
    /// The moisture to expect of it.
    pub moisture: Estimate,
    /// When it is fetched.
    pub at: Instant,
    /// When its mash is over.
    pub mash_out: Instant,
    /// Nobody named the source.
    pub source_is_ours: bool,
    /// Nobody named the time.
    pub at_is_ours: bool,
    /// Nobody named the end of the mash.
    pub mash_out_is_ours: bool,
    /// The chance of each optional bake to happen.
    pub chance: f64,
    /// How many samples.
    pub samples: u32,
    /// Which samples.
    pub seed: u64,
}

impl FetchAnswer {
    /// The amounts that are set side by side: nothing, a little less, the answer, a little more.
    pub fn amounts(&self) -> Vec<(Milligrams, &Expected)> {
        let fetch = &self.fetch;
        let beside =
            |other: &'_ Option<(Milligrams, Expected)>| other.as_ref().map(|(wet, _)| *wet);
        let mut amounts = vec![(Milligrams::ZERO, &fetch.nothing)];
        for (wet, expected) in [
            (beside(&fetch.less), fetch.less.as_ref().map(|(_, one)| one)),
            (Some(fetch.wet), Some(&fetch.expected)),
            (beside(&fetch.more), fetch.more.as_ref().map(|(_, one)| one)),
        ] {
            if let (Some(wet), Some(expected)) = (wet, expected)
                && amounts.iter().all(|(known, _)| *known != wet)
            {
                amounts.push((wet, expected));
            }
        }
        amounts
    }

    /// How many bakes are optional.
    pub fn optional(&self) -> usize {
        let bakes = self.ground.situation.bakes.iter();
        bakes.filter(|bake| !bake.firm).count()
    }

    /// Money that the spoiled grain is worth, where that is known.
    pub fn spoiled_cost(&self, expected: &Expected) -> Option<f64> {
        let worth = self.ground.situation.costs.dry_grain_per_kg;
        worth.map(|worth| worth * expected.spoiled)
    }

    /// The cautions that belong beside it.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = vec![Caution::DateIsARule, Caution::Gluten];
        if self.fetch.wet > Milligrams::ZERO && !self.lot.form.is_dry() {
            cautions.push(Caution::HotGrain);
        }
        if self.fetch.wet > Milligrams::ZERO {
            cautions.push(Caution::CleaningAgents);
            cautions.extend(Caution::of_weight(self.fetch.wet));
        }
        if self.fetch.expected.spoiled > 0.0 {
            cautions.extend([Caution::FeedIsRegulated, Caution::HopsPoisonDogs]);
        }
        if self.lot.form.is_dry() {
            cautions.push(Caution::Dust);
        }
        cautions.sort_unstable();
        cautions
    }
}
