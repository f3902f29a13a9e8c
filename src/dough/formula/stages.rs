//! Stages of a dough: preferments, soakers and the final dough.

use crate::quantity::Temperature;
use chrono::Duration;

/// One stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: StageKind,
    /// Flour in it, flour-equivalent of grain included, ÷ total flour. Of the final dough: what is left.
    pub flour: f64,
    /// Position in [`super::Formula::flours`] of the flour it is made of; the final dough takes what is
    /// left of every flour.
    pub of: Option<usize>,
    /// Water in it, that of grain and fresh yeast included, ÷ total flour. Of the final dough: what is left.
    pub water: f64,
    /// How long it ripens or soaks.
    pub ripens: Option<Duration>,
    /// At which temperature.
    pub temperature: Option<Temperature>,
}

/// What a stage is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StageKind {
    /// Part of the flour and water, ripened beforehand.
    Preferment,
    /// Grain, seeds or flour, soaked beforehand.
    Soaker,
    /// The dough itself.
    Final,
}

impl StageKind {
    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Preferment => "preferment",
            Self::Soaker => "soaker",
            Self::Final => "final dough",
        }
    }
}
