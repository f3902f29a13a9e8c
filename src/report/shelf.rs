//! The answer to `shelf`: what is on hand, oldest danger first.

use super::promise::PromisedGrain;
use super::{Caution, LotAnswer};
use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams};
use std::collections::BTreeSet;

/// What is on hand.
#[derive(Debug, Clone)]
pub struct ShelfAnswer {
    /// When it was asked.
    pub as_of: Instant,
    /// Lots, the most urgent first.
    pub lots: Vec<LotAnswer>,
    /// What is promised of them to bakes.
    pub promised: Vec<PromisedGrain>,
}

impl ShelfAnswer {
    /// Puts the most urgent lots first.
    pub fn new(as_of: Instant, mut lots: Vec<LotAnswer>, promised: Vec<PromisedGrain>) -> Self {
        lots.sort_by_cached_key(|lot| (lot.urgency(), lot.lot.code.to_string()));
        Self {
            as_of,
            lots,
            promised,
        }
    }

    /// What is promised of a lot, for each bake.
    pub fn promised_of(&self, lot: LotCode) -> Vec<(BakeCode, Milligrams)> {
        self.promised_in(lot, |_| true)
    }

    /// The same, in these states alone.
    pub fn promised_in(
        &self,
        lot: LotCode,
        is_in: impl Fn(State) -> bool,
    ) -> Vec<(BakeCode, Milligrams)> {
        let mut bakes: Vec<(BakeCode, Milligrams)> = Vec::new();
        let promised = self.promised.iter();
        for one in promised.filter(|one| one.lot == Some(lot) && is_in(one.state)) {
            match bakes.iter_mut().find(|(bake, _)| *bake == one.bake) {
                Some((_, wet)) => *wet = Milligrams::new(wet.get() + one.wet.get()),
                None => bakes.push((one.bake, one.wet)),
            }
        }
        bakes
    }

    /// How many lots are at least as bad as `verdict`.
    pub fn at_least(&self, verdict: Verdict) -> usize {
        self.lots
            .iter()
            .filter(|lot| lot.keeping.verdict >= verdict)
            .count()
    }

    /// The cautions that belong beside the list.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut all: BTreeSet<Caution> = self.lots.iter().flat_map(LotAnswer::cautions).collect();
        all.insert(Caution::DateIsARule);
        all.into_iter().collect()
    }
}
