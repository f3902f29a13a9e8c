//! How samples of a moisture test are dried, and when they are dry.

use crate::quantity::Problem;
use crate::quantity::text::one_of;
use std::fmt;
use std::str::FromStr;

/// How the samples were dried.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// A drying oven or a kitchen oven.
    Oven,
    /// A microwave oven.
    Microwave,
    /// An air fryer.
    AirFryer,
    /// In a laboratory.
    Lab,
}

impl Method {
    /// Every method.
    pub const ALL: [Self; 4] = [Self::Oven, Self::Microwave, Self::AirFryer, Self::Lab];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Oven => "oven",
            Self::Microwave => "microwave",
            Self::AirFryer => "air-fryer",
            Self::Lab => "lab",
        }
    }

    /// For how long a sample dries on before it is weighed again: common practice, no source.
    pub(super) const fn spell(self) -> &'static str {
        match self {
            Self::Oven | Self::Lab => "about an hour",
            Self::Microwave | Self::AirFryer => "a short spell",
        }
    }

    /// Most that the last spell of drying may take out, as a fraction of the wet sample, with source.
    pub(super) const fn end_point(self) -> (f64, &'static str) {
        match self {
            Self::Oven | Self::Lab => (0.001, "AOAC 935.29, malt"),
            Self::Microwave => (
                0.01,
                "1 g of 100 g: Saskatchewan Agriculture, microwave method",
            ),
            // The published air-fryer method (Jennings 2022) dries for a fixed time, so its end
            // point is borrowed from the microwave sheet.
            Self::AirFryer => (
                0.01,
                "1 g of 100 g: judgement, as for the microwave; Jennings 2022 has no end point",
            ),
        }
    }
}

impl FromStr for Method {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "method", &Self::ALL, Self::as_str)
    }
}

impl fmt::Display for Method {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}
