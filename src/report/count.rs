//! The answer to `count`: what was found, and what the difference may be.

use super::LotAnswer;
use crate::quantity::Milligrams;

/// What a count found.
#[derive(Debug, Clone)]
pub struct CountAnswer {
    /// The lot after it.
    pub lot: LotAnswer,
    /// What the book said before.
    pub booked: Milligrams,
    /// What was found.
    pub found: Milligrams,
    /// By how much that is less; negative where it is more.
    pub less: Milligrams,
}

/// What a difference of its size may be. The limits are judgement: no figure has been published for tubs of
/// grain in a kitchen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// None at all.
    None,
    /// Up to 0.5 %, or 5 g: what scales differ by, a spoonful, water that dried off under a lid.
    Small,
    /// Up to 3 %: water that dried off without a lid, crumbs that stayed in tubs, spoonfuls.
    Usual,
    /// Up to 10 %: a spill, or a draw that nobody wrote down.
    Large,
    /// More: an entry is missing or wrong.
    Unexplained,
    /// More was found than booked, within what scales differ by.
    More,
}

impl Size {
    /// A short word for files that others read; it stays the same.
    pub const fn as_key(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Small => "small",
            Self::Usual => "usual",
            Self::Large => "large",
            Self::Unexplained => "unexplained",
            Self::More => "more",
        }
    }

    /// What it may be, and what to do.
    pub const fn words(self) -> &'static str {
        match self {
            Self::None => "nothing is missing",
            Self::Small => "as much as scales differ by, a spoonful, or water that dried off",
            Self::Usual => {
                "water that dried off, crumbs left in tubs, or spoonfuls; if it was water the grain is drier now: test it"
            }
            Self::Large => {
                "more than dries off or sticks: a spill, or grain taken and not written down"
            }
            Self::Unexplained => {
                "far more than dries off: an entry is missing or wrong, or another tub was weighed"
            }
            Self::More => "within what scales differ by, or water that settled on it",
        }
    }
}

impl CountAnswer {
    /// The difference as a part of what the book said.
    pub fn part(&self) -> f64 {
        self.less.get() as f64 / self.booked.get() as f64
    }

    /// How large the difference is.
    pub fn size(&self) -> Size {
        match (self.less.get(), self.part()) {
            (0, _) => Size::None,
            (less, _) if less < 0 => Size::More,
            (less, part) if part <= 0.005 || less <= 5000 => Size::Small,
            (_, part) if part <= 0.03 => Size::Usual,
            (_, part) if part <= 0.1 => Size::Large,
            _ => Size::Unexplained,
        }
    }
}
