//! Salt, yeast, seeds, fat and what else goes into a dough beside flour, grain and water.

use crate::quantity::Problem;
use crate::quantity::text::one_of;
use std::fmt;
use std::str::FromStr;

/// One ingredient.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingredient {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: IngredientKind,
    /// Its share of total flour, a fraction.
    pub share: f64,
    /// Position of the stage that takes it.
    pub stage: usize,
}

/// What an ingredient is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IngredientKind {
    /// Salt.
    Salt,
    /// Yeast.
    Yeast(Yeast),
    /// Seeds, nuts, flakes.
    Seeds,
    /// Oil, butter, lard.
    Fat,
    /// Sugar, syrup, honey, malt.
    Sweetener,
    /// Anything else.
    Other,
}

/// How yeast is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Yeast {
    /// Instant dry yeast.
    Instant,
    /// Active dry yeast.
    ActiveDry,
    /// Fresh pressed yeast.
    Fresh,
}

/// Water in fresh yeast, ÷ its mass: USDA SR28, NDB 18374 (69.0 g per 100 g).
pub const WATER_IN_FRESH_YEAST: f64 = 0.69;

impl Yeast {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Instant, Self::ActiveDry, Self::Fresh];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Instant => "instant",
            Self::ActiveDry => "active-dry",
            Self::Fresh => "fresh",
        }
    }

    /// How much of this kind does the work of 1 of fresh yeast.
    ///
    /// Source: Hamelman 2004, Bread: fresh × 0.40 is active dry, fresh × 0.33 is instant.
    pub const fn per_fresh(self) -> f64 {
        match self {
            Self::Instant => 0.33,
            Self::ActiveDry => 0.40,
            Self::Fresh => 1.0,
        }
    }

    /// Water in it that counts as dough water, ÷ its mass. Dry yeast brings too little to count.
    pub const fn water(self) -> f64 {
        match self {
            Self::Fresh => WATER_IN_FRESH_YEAST,
            Self::Instant | Self::ActiveDry => 0.0,
        }
    }

    /// A share of this kind in terms of another.
    pub fn converted(self, share: f64, to: Self) -> f64 {
        share / self.per_fresh() * to.per_fresh()
    }
}

impl fmt::Display for Yeast {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}

impl FromStr for Yeast {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "yeast", &Self::ALL, Self::as_str)
    }
}

impl IngredientKind {
    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Salt => "salt",
            Self::Yeast(_) => "yeast",
            Self::Seeds => "seeds",
            Self::Fat => "fat",
            Self::Sweetener => "sweetener",
            Self::Other => "other",
        }
    }

    /// Water in it that counts as dough water, ÷ its mass.
    pub const fn water(self) -> f64 {
        match self {
            Self::Yeast(yeast) => yeast.water(),
            _ => 0.0,
        }
    }

    /// Reads a kind; yeast needs to say which.
    pub fn read(kind: &str, yeast: Option<&str>) -> Result<Self, Problem> {
        match (kind, yeast) {
            ("yeast", Some(yeast)) => yeast.parse().map(Self::Yeast),
            ("yeast", None) => Err(Problem::new(
                "yeast needs to say which: instant, active-dry or fresh",
            )
            .hint("add the line yeast = \"instant\"")),
            ("salt", None) => Ok(Self::Salt),
            ("seeds", None) => Ok(Self::Seeds),
            ("fat", None) => Ok(Self::Fat),
            ("sweetener", None) => Ok(Self::Sweetener),
            ("other", None) => Ok(Self::Other),
            (_, Some(_)) => Err(Problem::new(format!(
                "`{kind}` is no yeast, so it cannot say which yeast"
            ))),
            (unknown, None) => Err(Problem::new(format!(
                "kind of ingredient `{unknown}` is not known: allowed are salt, yeast, seeds, fat, sweetener, other"
            ))),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hamelman 2004, Bread: 30 g of fresh yeast are 9.9 g of instant and 12.0 g of active dry. The
    /// solids of both kinds in USDA SR28 (NDB 18374: 69.0 % water, 18375: 5.08 %) give 0.327.
    #[test]
    fn yeast_converts_by_the_published_factors() {
        assert!((Yeast::Fresh.converted(30.0, Yeast::Instant) - 9.9).abs() < 1e-9);
        assert!((Yeast::Fresh.converted(30.0, Yeast::ActiveDry) - 12.0).abs() < 1e-9);
        assert!((Yeast::Instant.converted(9.9, Yeast::Fresh) - 30.0).abs() < 1e-9);
        let solids = (1.0 - WATER_IN_FRESH_YEAST) / (1.0 - 0.0508);
        assert!((Yeast::Instant.per_fresh() - solids).abs() < 0.005);
    }
}
