//! Kinds of places and the temperature each is taken to hold until somebody measures.

use crate::quantity::text::one_of;
use crate::quantity::{Problem, Temperature};
use std::fmt;
use std::str::FromStr;

/// What kind of place a lot is kept in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PlaceKind {
    /// Kept hot, at or above the hot-holding limit.
    HotHold,
    /// Room temperature.
    Ambient,
    /// Refrigerated.
    Fridge,
    /// Frozen.
    Freezer,
    /// Dry and at room temperature, for dried grain.
    DryStore,
}

impl PlaceKind {
    /// Every kind.
    pub const ALL: [Self; 5] = [
        Self::HotHold,
        Self::Ambient,
        Self::Fridge,
        Self::Freezer,
        Self::DryStore,
    ];

    /// The word for it in commands and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::HotHold => "hot-hold",
            Self::Ambient => "ambient",
            Self::Fridge => "fridge",
            Self::Freezer => "freezer",
            Self::DryStore => "dry-store",
        }
    }

    /// The temperature taken where none is given: common practice, no source.
    pub const fn usual_temperature(self) -> Temperature {
        Temperature::celsius(match self {
            Self::HotHold => 65,
            Self::Ambient | Self::DryStore => 20,
            Self::Fridge => 4,
            Self::Freezer => -18,
        })
    }
}

impl fmt::Display for PlaceKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl FromStr for PlaceKind {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "kind of place", &Self::ALL, Self::as_str)
    }
}

/// What the probe of a place's logger measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Probe {
    /// The air, which warms and cools faster than grain.
    Air,
    /// A bottle of liquid or a block, slower than the air.
    Buffered,
    /// The grain itself.
    Grain,
}

impl Probe {
    /// Every one.
    pub const ALL: [Self; 3] = [Self::Air, Self::Buffered, Self::Grain];

    /// The word for it in commands and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Air => "air",
            Self::Buffered => "buffered",
            Self::Grain => "grain",
        }
    }
}

impl FromStr for Probe {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "what the probe measures", &Self::ALL, Self::as_str)
    }
}
