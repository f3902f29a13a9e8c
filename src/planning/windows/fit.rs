//! What one lot can do for one bake: in which states of it, or why in none.

use crate::quantity::text::one_of;
use crate::quantity::{Instant, Problem};

/// In which state grain goes into a dough.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum State {
    /// As it lies, without anything being done first.
    AsItLies,
    /// From the freezer, through the fridge.
    Thawed,
    /// Dried first.
    Dried,
}

impl State {
    /// Every state.
    pub const ALL: [Self; 3] = [Self::AsItLies, Self::Thawed, Self::Dried];

    /// The word for it in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::AsItLies => "as-it-lies",
            Self::Thawed => "thawed",
            Self::Dried => "dried",
        }
    }
}

impl std::str::FromStr for State {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "state", &Self::ALL, Self::as_str)
    }
}

/// Why a lot cannot go into a bake.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Unfit {
    /// Its colour is not the one that the dough wants, or nobody knows it.
    Colour,
    /// Its form is not the one that the dough wants.
    Form,
    /// It may hold a cereal that the bake must not have.
    Cereal,
    /// The bake is to be made of other lots.
    NotNamed,
    /// No state of it may be used at that time.
    Date,
}

/// What one lot can do for one bake.
#[derive(Debug, Clone, PartialEq)]
pub enum Fit {
    /// In which of the states it may be used.
    Fits {
        /// As it lies.
        as_it_lies: bool,
        /// When it goes from the freezer into the fridge, where thawing is a way.
        thaw_at: Option<Instant>,
        /// Dried first.
        dried: bool,
    },
    /// It cannot.
    Unfit(Unfit),
}

impl Fit {
    /// Whether grain in this state may go into the dough.
    pub fn allows(&self, state: State) -> bool {
        match (self, state) {
            (Self::Fits { as_it_lies, .. }, State::AsItLies) => *as_it_lies,
            (Self::Fits { thaw_at, .. }, State::Thawed) => thaw_at.is_some(),
            (Self::Fits { dried, .. }, State::Dried) => *dried,
            (Self::Unfit(_), _) => false,
        }
    }

    /// When it goes from the freezer into the fridge, where thawing is a way.
    pub const fn thaw_at(&self) -> Option<Instant> {
        match self {
            Self::Fits { thaw_at, .. } => *thaw_at,
            Self::Unfit(_) => None,
        }
    }
}
