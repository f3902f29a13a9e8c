//! A dough in baker's percentages on total flour, dry grain counted in it.
//!
//! A formula is checked once, when it is read: its shares close and no stage takes more flour or water
//! than there is. Deliberately absent: masses, lots and clock times.

mod check;
pub mod file;
pub mod from_masses;
pub mod ingredient;
mod stages;
pub mod steps;

pub use ingredient::{Ingredient, IngredientKind, Yeast};
pub use stages::{Stage, StageKind};
pub use steps::{Step, StepKind};

use super::thirst::HydrationWith;
use crate::grain::{Allergens, Form};
use crate::quantity::text::{is_same_name, one_of};
use crate::quantity::{Milligrams, Problem, Temperature, WetBasis};
use std::fmt;
use std::str::FromStr;

/// A dough in baker's percentages. All shares are fractions of total flour.
#[derive(Debug, Clone, PartialEq)]
pub struct Formula {
    /// What the dough is called.
    pub name: String,
    /// All water, that in grain and fresh yeast included.
    pub hydration: f64,
    /// The grain in it.
    pub grain: GrainPlan,
    /// Flours from the bag at the wanted grain share; with it they make 1.
    pub flours: Vec<FlourShare>,
    /// Preferments and soakers in the order in which they are made; the final dough comes last.
    pub stages: Vec<Stage>,
    /// Everything that is neither flour, grain nor plain water.
    pub ingredients: Vec<Ingredient>,
    /// Wanted temperature of the mixed dough.
    pub dough_temperature: Option<Temperature>,
    /// By how many kelvins mixing warms the dough.
    pub mixing_rise: Option<f64>,
    /// Which mixer makes the dough, where the baker says so.
    pub mixer: Option<String>,
    /// Pieces of one usual batch.
    pub pieces: Option<u32>,
    /// Raw weight of one piece.
    pub piece: Option<Milligrams>,
    /// Dough lost between bowl and tin, ÷ mixed dough.
    pub handling_loss: f64,
    /// Weight lost in the oven and while cooling, ÷ raw dough.
    pub bake_loss: f64,
    /// What is done, in order.
    pub steps: Vec<Step>,
}

impl Formula {
    /// Allergens other than gluten that its flours, ingredients and steps name.
    pub fn allergens(&self) -> Allergens {
        let flours = self.flours.iter().map(|flour| flour.name.as_str());
        let ingredients = self.ingredients.iter().map(|one| one.name.as_str());
        let steps = self.steps.iter().filter_map(|step| step.words.as_deref());
        Allergens::named_in_any(flours.chain(ingredients).chain(steps))
    }

    /// Whether both name the same mixer, or both name none.
    pub fn is_mixed_like(&self, other: &Self) -> bool {
        match (&self.mixer, &other.mixer) {
            (Some(one), Some(other)) => is_same_name(one, other),
            (one, other) => one == other,
        }
    }
}

/// How much grain a dough takes, which and where.
#[derive(Debug, Clone, PartialEq)]
pub struct GrainPlan {
    /// Least share.
    pub lowest: f64,
    /// Wanted share.
    pub wanted: f64,
    /// Greatest share.
    pub highest: f64,
    /// Form that the dough wants, if it matters.
    pub form: Option<Form>,
    /// Colour that the dough wants, if it matters.
    pub colour: Option<Colour>,
    /// Position in [`Formula::stages`] of the stage that takes the grain.
    pub stage: usize,
    /// Moisture of the flour that dry grain is counted as; 0 is bone-dry.
    pub flour_basis: WetBasis,
    /// The grain with which the hydration was found, where the baker says so.
    pub hydration_with: Option<HydrationWith>,
}

/// One flour's share of total flour.
#[derive(Debug, Clone, PartialEq)]
pub struct FlourShare {
    /// Its name.
    pub name: String,
    /// Its share at the wanted grain share.
    pub share: f64,
}

/// Colour of grain, from its grist.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colour {
    /// Pale malts.
    Pale,
    /// Amber and caramel malts.
    Amber,
    /// Roasted malts.
    Dark,
}

impl Colour {
    /// Every colour.
    pub const ALL: [Self; 3] = [Self::Pale, Self::Amber, Self::Dark];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Pale => "pale",
            Self::Amber => "amber",
            Self::Dark => "dark",
        }
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}

impl FromStr for Colour {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "colour", &Self::ALL, Self::as_str)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mixed_in(mixer: &str) -> Formula {
        let text = format!(
            "name = \"loaf\"\nhydration = \"70%\"\n{mixer}\n\n[grain]\nwanted = \"8%\"\n\n[[flour]]\nname = \"bread flour\"\nshare = \"92%\"\n"
        );
        Formula::from_text(&text).unwrap()
    }

    #[test]
    fn what_mixing_warms_is_a_difference_in_kelvins_or_in_fahrenheit() {
        let rise = |typed: &str| {
            let text = format!(
                "name = \"loaf\"\nhydration = \"70%\"\nmixing_rise = \"{typed}\"\n\n[grain]\nwanted = \"8%\"\n\n[[flour]]\nname = \"bread flour\"\nshare = \"92%\"\n"
            );
            Formula::from_text(&text).ok()?.mixing_rise
        };
        assert_eq!(rise("6K"), Some(6.0));
        // 9 °F are 5 K: arithmetic.
        assert_eq!(rise("9F"), Some(5.0));
        assert_eq!(rise("72 °F"), Some(40.0));
        for refused in ["41K", "73F", "-1F", "9", "9C"] {
            assert_eq!(rise(refused), None, "{refused}");
        }
    }

    #[test]
    fn doughs_are_mixed_alike_on_the_same_mixer_and_where_none_is_named() {
        let (spiral, none) = (mixed_in("mixer = \"spiral\""), mixed_in(""));
        assert!(spiral.is_mixed_like(&mixed_in("mixer = \" Spiral \"")));
        assert!(!spiral.is_mixed_like(&mixed_in("mixer = \"fork\"")));
        assert!(!spiral.is_mixed_like(&none) && !none.is_mixed_like(&spiral));
        assert!(none.is_mixed_like(&mixed_in("")));
    }
}
