//! How a lot is made once more, after what made it was struck; and what to correct first in a join.

use crate::grain::{LotCode, Treatment};
use crate::quantity::{Instant, Milligrams, Temperature};

/// What is struck, in one act, and what made the lot.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeAgain {
    /// The entries to strike, the newest first: what made the lot, what stands on it, and later moves.
    pub strike: Vec<i64>,
    /// The lot that was made. What is made once more has a code of its own.
    pub made: LotCode,
    /// The lots of which it was made.
    pub of: Vec<LotCode>,
    /// How.
    pub how: HowMade,
    /// The place it was put to.
    pub place: String,
    /// When.
    pub at: Instant,
}

/// A join that took more of a lot than came by a correction of its pickup.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JoinedMore {
    /// The entry of the join.
    pub join: i64,
    /// How much of the lot went into it then.
    pub went_in: Milligrams,
    /// The entry of the pickup.
    pub pickup: i64,
    /// How much came then.
    pub came: Milligrams,
}

/// How a lot is made of others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HowMade {
    /// So much was parted off.
    Part(Milligrams),
    /// It was treated, in so many minutes at that temperature where that was said.
    Treat(Treatment, Option<(u32, Temperature)>),
    /// All that was left was joined.
    Join,
}
