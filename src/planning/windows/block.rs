//! A lot that lies in the freezer is one block: taken out for a bake, all of it thaws.

use super::{Fit, LotWindow, into_fridge, then, verdict_at};
use crate::keeping::assess_all;
use crate::planning::problem::{Lot, Situation};
use crate::quantity::Instant;

/// What comes of a frozen lot that is taken out for a bake.
#[derive(Debug, Clone, PartialEq)]
pub struct Thawed {
    /// When it comes out.
    pub at: Instant,
    /// Last moment of use of what the bake leaves.
    pub until: Option<Instant>,
    /// Whether that is before the plan's end.
    pub spoils: bool,
    /// Bakes that it could also be thawed for, and that find it past where it comes out for this one.
    pub past_for: Vec<usize>,
}

/// For each bake what comes of a lot that is frozen now, where it can be thawed for it.
pub(super) fn thawed(situation: &Situation, lot: &Lot, bakes: &[Fit]) -> Vec<Option<Thawed>> {
    let outs: Vec<Option<Instant>> = bakes.iter().map(Fit::thaw_at).collect();
    let of = |at: Instant| {
        let histories = then(&lot.histories, at, into_fridge(situation));
        let is_past_for = |bake: &usize| {
            let grain_at = situation.bakes[*bake].grain_at;
            outs[*bake].is_some_and(|out| out > at)
                && !verdict_at(situation, &histories, grain_at).may_be_used()
        };
        Thawed {
            at,
            until: assess_all(&histories, &situation.rules, &situation.zone, at).keep_until,
            spoils: !verdict_at(situation, &histories, situation.end).may_be_used(),
            past_for: (0..bakes.len()).filter(is_past_for).collect(),
        }
    };
    outs.iter().map(|out| out.map(of)).collect()
}

impl LotWindow {
    /// What comes of the lot where it is frozen now and goes, thawed, into these bakes: it comes out for the first of them.
    pub fn taken_out(&self, bakes: impl Iterator<Item = usize>) -> Option<&Thawed> {
        bakes
            .filter_map(|bake| self.thawed[bake].as_ref())
            .min_by_key(|thawed| thawed.at)
    }

    /// Whether taking it out for one of two bakes leaves it past for the other.
    pub fn serves_one_only(&self, one: usize, other: usize) -> bool {
        let is_past = |out: usize, bake: usize| {
            let thawed = self.thawed[out].as_ref();
            thawed.is_some_and(|thawed| thawed.past_for.contains(&bake))
        };
        is_past(one, other) || is_past(other, one)
    }
}
