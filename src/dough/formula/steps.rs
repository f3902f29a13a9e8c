//! What is done with a dough, in order, and how long it takes.

use crate::quantity::text::one_of;
use crate::quantity::{Problem, Temperature};
use chrono::Duration;
use std::str::FromStr;

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is done.
    pub kind: StepKind,
    /// In other words, if more is to be said.
    pub words: Option<String>,
    /// How long it takes, more than nothing.
    pub takes: Duration,
    /// Whether somebody has to be there.
    pub hands_on: bool,
    /// Oven or room temperature.
    pub temperature: Option<Temperature>,
    /// Steam at the beginning of baking.
    pub steam: Option<Duration>,
}

/// What is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepKind {
    /// Mixing.
    Mix,
    /// Rest.
    Rest,
    /// Folding.
    Fold,
    /// Kneading.
    Knead,
    /// Rise of the whole dough.
    Rise,
    /// Dividing.
    Divide,
    /// Shaping.
    Shape,
    /// Proof of the shaped pieces.
    Proof,
    /// Baking.
    Bake,
    /// Cooling.
    Cool,
}

impl StepKind {
    /// Every kind.
    pub const ALL: [Self; 10] = [
        Self::Mix,
        Self::Rest,
        Self::Fold,
        Self::Knead,
        Self::Rise,
        Self::Divide,
        Self::Shape,
        Self::Proof,
        Self::Bake,
        Self::Cool,
    ];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Mix => "mix",
            Self::Rest => "rest",
            Self::Fold => "fold",
            Self::Knead => "knead",
            Self::Rise => "rise",
            Self::Divide => "divide",
            Self::Shape => "shape",
            Self::Proof => "proof",
            Self::Bake => "bake",
            Self::Cool => "cool",
        }
    }

    /// Whether somebody usually has to be there.
    pub const fn is_hands_on(self) -> bool {
        matches!(
            self,
            Self::Mix | Self::Fold | Self::Knead | Self::Divide | Self::Shape
        )
    }
}

impl FromStr for StepKind {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "step", &Self::ALL, Self::as_str)
    }
}
