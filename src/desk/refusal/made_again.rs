//! How a lot is made once more, after what made it was struck; and what to correct first where it took too much.

use super::Remedy;
use crate::grain::{LotCode, Treatment};
use crate::ledger::EntryKind;
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

/// What to correct, in this order, where more was taken of a lot than came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CorrectFirst {
    /// The entries that took it, each with what went in then.
    pub first: Vec<(i64, Milligrams)>,
    /// The correction that was asked for; nothing where the request was another one and is typed again.
    pub then: Option<CorrectThen>,
}

/// A correction that was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CorrectThen {
    /// The entry.
    pub entry: i64,
    /// What kind it is.
    pub kind: EntryKind,
    /// The fields of the request that are masses.
    pub masses: Vec<(&'static str, Milligrams)>,
}

/// What can be done where others hold the grain of a lot.
pub(super) fn of_held(
    lot: LotCode,
    held_by: &[LotCode],
    correct: Option<&CorrectFirst>,
) -> Vec<Remedy> {
    let count = (!held_by.is_empty()).then(|| Remedy::CountHolders(held_by.to_vec()));
    count
        .into_iter()
        .chain(correct.cloned().map(Remedy::CorrectFirst))
        .chain([Remedy::PutAnotherRightFirst(lot)])
        .collect()
}

/// How a lot is made of others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HowMade {
    /// So much was parted off, by itself.
    Move(Milligrams),
    /// So much was parted off, beside others.
    Portion(Milligrams),
    /// It was treated, in so many minutes at that temperature where that was said.
    Treat(Treatment, Option<(u32, Temperature)>),
    /// All that was left was joined.
    Join,
}
