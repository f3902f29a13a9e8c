//! Where grain goes that no bread is made of.

use crate::quantity::Problem;
use crate::quantity::text::one_of;
use std::fmt;
use std::str::FromStr;

/// How thrown-away grain ended. None of them comes back as food.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ending {
    /// Fed to animals.
    Feed,
    /// Put on the compost.
    Compost,
    /// Put in the bin.
    Waste,
}

impl Ending {
    /// Every ending.
    pub const ALL: [Self; 3] = [Self::Feed, Self::Compost, Self::Waste];

    /// The word for it in commands and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Feed => "feed",
            Self::Compost => "compost",
            Self::Waste => "waste",
        }
    }
}

impl FromStr for Ending {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "ending", &Self::ALL, Self::as_str)
    }
}

impl fmt::Display for Ending {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}
