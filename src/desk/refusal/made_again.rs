//! How a lot is made once more, after what made it was struck.

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
