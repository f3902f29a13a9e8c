//! The answer to `shelf`: what is on hand, oldest danger first.

use super::promise::{LostGrain, PromisedGrain, PromisedTo, ToDry, ToShowDry};
use super::{Caution, LotAnswer};
use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::planning::plan::Work;
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
    /// What of that may not be used when its bake weighs it out, and what so of blocks that bakes name.
    pub lost: Vec<LostGrain>,
    /// What of that is still to be shown dry.
    pub to_show_dry: Vec<ToShowDry>,
    /// What of that is still to be dried.
    pub to_dry: Vec<ToDry>,
    /// What the accepted plan freezes and dries of them and is not done.
    pub to_preserve: Vec<ToPreserve>,
}

/// What the accepted plan does with a lot so that it keeps for longer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToPreserve {
    /// The lot.
    pub lot: LotCode,
    /// Freezing or drying.
    pub work: Work,
    /// How much of it, in all bags.
    pub wet: Milligrams,
    /// By when.
    pub by: Instant,
    /// Names of the places that it goes into.
    pub places: Vec<String>,
}

impl ShelfAnswer {
    /// Puts the most urgent lots first.
    pub fn new(as_of: Instant, mut lots: Vec<LotAnswer>, promised: Vec<PromisedGrain>) -> Self {
        lots.sort_by_cached_key(|lot| (lot.urgency(), lot.lot.code.to_string()));
        Self {
            as_of,
            lots,
            promised,
            lost: Vec::new(),
            to_show_dry: Vec::new(),
            to_dry: Vec::new(),
            to_preserve: Vec::new(),
        }
    }

    /// What is promised of a lot, for each bake.
    pub fn promised_of(&self, lot: LotCode) -> Vec<PromisedTo> {
        self.promised_in(lot, |_| true)
    }

    /// The same, of these promises alone.
    pub fn promised_in(
        &self,
        lot: LotCode,
        counts: impl Fn(&PromisedGrain) -> bool,
    ) -> Vec<PromisedTo> {
        let mut bakes: Vec<PromisedTo> = Vec::new();
        let promised = self.promised.iter();
        for one in promised.filter(|one| one.lot == Some(lot) && counts(one)) {
            let sum = |a: Milligrams, b: Milligrams| Milligrams::new(a.get() + b.get());
            let lost = self.lost.iter().find(|lost| lost.is_of(one));
            let lost = lost.map(|lost| (lost.verdict, lost.wet));
            match bakes.iter_mut().find(|known| known.bake == one.bake) {
                Some(known) => {
                    known.wet = sum(known.wet, one.wet);
                    known.missing = sum(known.missing, one.missing);
                    known.lost = match (known.lost, lost) {
                        (Some((was, all)), Some((is, wet))) => Some((was.max(is), sum(all, wet))),
                        (one, other) => one.or(other),
                    };
                }
                None => bakes.push(PromisedTo {
                    bake: one.bake,
                    wet: one.wet,
                    missing: one.missing,
                    lost,
                }),
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
