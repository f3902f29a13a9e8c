//! The answer to `shelf`: what is on hand, oldest danger first.

use super::{Caution, LotAnswer};
use crate::keeping::Verdict;
use crate::quantity::Instant;
use std::collections::BTreeSet;

/// What is on hand.
#[derive(Debug, Clone)]
pub struct ShelfAnswer {
    /// When it was asked.
    pub as_of: Instant,
    /// Lots, the most urgent first.
    pub lots: Vec<LotAnswer>,
}

impl ShelfAnswer {
    /// Puts the most urgent lots first.
    pub fn new(as_of: Instant, mut lots: Vec<LotAnswer>) -> Self {
        lots.sort_by_cached_key(|lot| (lot.urgency(), lot.lot.code.to_string()));
        Self { as_of, lots }
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
