//! Who watches over a search that takes long: told how far it is, and asked whether it is to go on.

use crate::planning::aims::Aim;
use crate::quantity::Milligrams;

/// How far a search is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Progress {
    /// A plan, one aim after the other: the aim at hand.
    Plan(Aim),
    /// Amounts to fetch.
    Fetch {
        /// Samples of each amount.
        samples: usize,
        /// The best amount so far.
        best: Option<Milligrams>,
    },
    /// Changes to the bakes.
    Advise {
        /// How many were looked at.
        looked_at: usize,
        /// How many there are to look at.
        all: usize,
    },
    /// Moistures that tests of lots may show.
    Tests {
        /// How many were planned with.
        looked_at: usize,
        /// How many there are.
        all: usize,
    },
}

/// Watches one search of one request.
pub trait Watch {
    /// Whether the search is to go on; if not, the best so far is the answer.
    fn goes_on(&mut self, progress: Progress) -> bool;
}
