//! Water that dry grain takes up beyond what flour does: published trials and what they come to in a dough.
//!
//! Equations, symbols and sources: `docs/models/hold_back.md`.

use super::formula::Formula;
use super::learned_thirst::LearnedThirst;
use crate::grain::Form;
use crate::quantity::Problem;
use crate::quantity::text::one_of;
use std::fmt;
use std::str::FromStr;
use uom::si::f64::Mass;

/// Points of absorption for each percent of the flour that is dry grain, which is grams of water for each
/// gram of flour-equivalent.
///
/// Lowest: 58 to 61 % at 0 to 30 % dried, milled spent grain, at a consistency of 700 BU (Stojceska &
/// Ainsworth 2008, Food Chemistry 110:865–872, as a textbook chapter quotes it).
pub const LOWEST: f64 = 0.10;
/// 58.53 to 66.67 mL for 100 g at 0 to 20 % dried, milled spent grain (International Journal of Food Science
/// 2022:8704684; which figure belongs to which share is read from the order of both).
pub const CENTRE: f64 = 0.4;
/// 16 points at 15 % bran of spent grain, its hulls removed (Dreese & Hoseney 1982, Cereal Chemistry 59:89–91:
/// "increased 16 %"; read as 16 % of the control's absorption it were 0.66).
pub const HIGHEST: f64 = 1.07;

/// Whether the thirst of grain counts.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum ThirstRule {
    /// In the range of the published trials.
    #[default]
    Published,
    /// In the range that doughs of the house narrowed it to.
    Learned(LearnedThirst),
    /// Left out.
    None,
}

impl ThirstRule {
    /// Those that can be asked for.
    pub const ALL: [Self; 2] = [Self::Published, Self::None];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Learned(_) => "learned",
            Self::None => "none",
        }
    }

    /// The thirst of grain of these forms in a dough of that formula; no forms are the one that the formula asks for, or
    /// else that with which its hydration was found.
    pub fn in_dough(
        self,
        formula: &Formula,
        forms: impl IntoIterator<Item = Form>,
    ) -> Option<Thirst> {
        let mut forms = forms.into_iter().peekable();
        let asked = formula.grain.form.filter(|_| forms.peek().is_none());
        let found_with = formula
            .grain
            .hydration_with
            .filter(|with| forms.chain(asked).all(|form| form == with.form))
            .map_or(0.0, |with| with.share);
        self.of_grain().map(|thirst| Thirst {
            found_with,
            ..thirst
        })
    }

    /// The same, the published range narrowed by what doughs of the house say.
    #[must_use]
    pub fn narrowed(self, learned: Option<LearnedThirst>) -> Self {
        match (self, learned) {
            (Self::Published, Some(learned)) => Self::Learned(learned),
            _ => self,
        }
    }

    /// The thirst of grain in a dough whose hydration was found without any.
    pub fn of_grain(self) -> Option<Thirst> {
        match self {
            Self::Published => Some(Thirst::default()),
            Self::Learned(learned) => Some(Thirst {
                learned: Some(learned),
                ..Thirst::default()
            }),
            Self::None => None,
        }
    }
}

impl fmt::Display for ThirstRule {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}

impl FromStr for ThirstRule {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "thirst", &Self::ALL, Self::as_str)
    }
}

/// The grain with which a formula's hydration was found: its thirst is in that figure already.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HydrationWith {
    /// Its form.
    pub form: Form,
    /// Its share of total flour, a fraction.
    pub share: f64,
}

/// Thirst that counts in a dough.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Thirst {
    /// Grain share whose thirst is in the hydration already, a fraction of total flour.
    pub found_with: f64,
    /// What doughs of the house narrowed the published range to, where they did.
    pub learned: Option<LearnedThirst>,
}

/// Water beyond what the hydration says, in the range of the published trials or of what doughs of the house say. Below 0
/// the dough takes less.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThirstWater {
    /// Least.
    pub low: Mass,
    /// At [`CENTRE`].
    pub likely: Mass,
    /// Most.
    pub high: Mass,
    /// The range that it was worked out with, where doughs of the house narrowed it.
    pub learned: Option<LearnedThirst>,
    /// Grain beyond that with which the hydration was found, as flour; below 0 where there is less. Nothing where it was
    /// found without any.
    pub beyond_found: Option<Mass>,
}

impl Thirst {
    /// The water that it asks for in a dough of these.
    pub fn water(self, flour_equivalent: Mass, total_flour: Mass) -> ThirstWater {
        let counted = flour_equivalent - total_flour * self.found_with;
        let (low, likely, high) = self.learned.map_or((LOWEST, CENTRE, HIGHEST), |learned| {
            (learned.low, learned.likely, learned.high)
        });
        let (one, other) = (counted * low, counted * high);
        ThirstWater {
            low: one.min(other),
            likely: counted * likely,
            high: one.max(other),
            learned: self.learned,
            beyond_found: (self.found_with > 0.0).then_some(counted),
        }
    }
}
