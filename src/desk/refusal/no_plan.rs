//! Why there is no plan.

use crate::dough::bake_code::BakeCode;
use crate::report::plan::Change;

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq)]
pub enum NoPlanBecause {
    /// No bake is mixed in these days.
    NoBakes {
        /// How many come later.
        later: usize,
        /// One that should have been mixed by now.
        overdue: Option<BakeCode>,
    },
    /// No grain is on hand.
    NoLots,
    /// No lot on hand may go into a dough; what bakes lose by that of what the accepted plan promised.
    NothingUsable(Vec<Change>),
    /// The least, wanted and most dry grain of a bake are not in this order.
    CrossedBounds(BakeCode),
    /// A bake is not mixed in these days.
    OutsideTheDays(BakeCode),
}
