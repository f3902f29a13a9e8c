//! What can be done about grain that may not be used.

use super::{Refusal, Remedy};
use crate::grain::LotCode;
use crate::keeping::{Assessment, Verdict};
use crate::quantity::Instant;

/// A bake to come for which a lot was judged at its mixing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BakeToCome {
    /// The time that was asked for.
    pub at: Instant,
    /// Now.
    pub now: Instant,
    /// What the lot is now.
    pub is_now: Verdict,
}

/// Whether grain is said to be in a dough, or with people.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HasLeft {
    /// Nothing of it left.
    No,
    /// It left, and nobody said when.
    AtSomeTime,
    /// It left at a time that somebody gave.
    AtGivenTime,
}

/// The best first. A lot that is past only when a bake to come is mixed is not thrown away now.
pub(super) fn remedies(
    (lot, has_left): (LotCode, HasLeft),
    keeping: &Assessment,
    as_of: Instant,
    bake: Option<&BakeToCome>,
) -> Vec<Remedy> {
    let mut remedies = vec![Remedy::Rule(keeping.binding.source.clone())];
    remedies.extend(
        keeping
            .advice
            .clone()
            .map(|advice| Remedy::Follow { lot, advice, as_of }),
    );
    if let Some(bake) = bake.filter(|bake| bake.is_now != Verdict::Past) {
        remedies.push(Remedy::BakeEarlier {
            bake: *bake,
            good_until: keeping.good_until(),
        });
        return remedies;
    }
    if keeping.verdict == Verdict::Past {
        remedies.push(Remedy::Discard(lot));
    }
    match has_left {
        HasLeft::No => {}
        HasLeft::AtSomeTime => remedies.push(Remedy::BookWhatLeft(lot)),
        HasLeft::AtGivenTime => remedies.push(Remedy::SayWhoHasIt(lot)),
    }
    remedies.push(Remedy::NoRescueByBaking);
    remedies
}

impl Refusal {
    /// The same of a dough that is made, where nobody said of which lots.
    #[must_use]
    pub(in crate::desk) fn of_made_dough(mut self) -> Self {
        if let Self::MayHold { is_made, .. } = &mut self {
            *is_made = true;
        }
        self
    }

    /// The same of grain that is said to be in a dough, or with people, perhaps since a time that somebody gave.
    #[must_use]
    pub(in crate::desk) fn of_what_left(mut self, is_time_given: bool) -> Self {
        if let Self::Unusable { has_left, .. } = &mut self {
            *has_left = if is_time_given {
                HasLeft::AtGivenTime
            } else {
                HasLeft::AtSomeTime
            };
        }
        self
    }
}
