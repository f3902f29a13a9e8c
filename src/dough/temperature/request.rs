//! What is known about a dough before its water is poured.

use crate::dough::house::Thaw;
use crate::heat::curve::Curve;
use crate::heat::freezing;
use crate::heat::properties::{Composition, wet_grain};
use crate::quantity::WetBasis;
use uom::si::f64::Mass;

/// A dough asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// How long frozen grain thaws in the fridge.
    pub thaw: Thaw,
    /// Flour that goes in dry.
    pub flour: Vec<Ingredient>,
    /// Grain, thawed or frozen.
    pub grain: Vec<Grain>,
    /// Preferments, each as one dough (see [`Composition::mixed_with`]).
    pub preferments: Vec<Ingredient>,
    /// Seeds, fat, salt and the like.
    pub others: Vec<Ingredient>,
    /// Water to be tempered: poured and held back together, at one temperature.
    pub water: Mass,
    /// Water as it comes from the tap, °C.
    pub tap_celsius: f64,
    /// The dough when mixing ends, °C.
    pub target_celsius: f64,
    /// Heat of mixing.
    pub mixing_heat: MixingHeat,
    /// Heat of flour taking up water.
    pub hydration_heat: HydrationHeat,
    /// Ice, if it comes to that: 0 °C when it melts, colder from the freezer.
    pub ice_celsius: f64,
    /// Hottest water allowed, °C; usually [`super::YEAST_LIMIT_CELSIUS`].
    pub yeast_limit_celsius: f64,
    /// The room, °C. Only the usual rule asks for it.
    pub room_celsius: Option<f64>,
    /// Friction factor of the usual rule, K. Left out, it is what a dough with this mixing heat and
    /// everything at one temperature would have shown.
    pub friction_kelvin: Option<f64>,
}

/// Something in a dough that is not frozen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ingredient {
    /// How much.
    pub mass: Mass,
    /// How warm, °C.
    pub celsius: f64,
    /// What it takes to warm it.
    pub heat: Heat,
}

/// What it takes to warm an ingredient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heat {
    /// Found from what it is made of.
    Composition(Composition),
    /// A specific heat that was measured or looked up, kJ/(kg K).
    Specific(f64),
}

/// Grain in a dough. Below its freezing point it is frozen through, above it holds no ice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grain {
    /// How much, as weighed.
    pub mass: Mass,
    /// How warm, °C.
    pub celsius: f64,
    /// Its moisture.
    pub moisture: WetBasis,
}

/// Heat that mixing gives to the dough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MixingHeat {
    /// kJ per kg of dough; below zero where bowl and room take more than mixing gives.
    PerDough(f64),
    /// As the rise in the dough's temperature that it makes, K.
    Rise(f64),
}

/// Heat that flour gives off as it takes up water.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum HydrationHeat {
    /// Counted in the mixing heat, as it is whenever that was measured on a dough. A second time
    /// would be once too often.
    #[default]
    InMixingHeat,
    /// kJ per kg of flour that goes in dry; see [`super::HEAT_OF_HYDRATION`].
    PerFlour(f64),
    /// kJ per kg of dough.
    PerDough(f64),
}

impl Heat {
    pub(super) fn curve(self) -> Curve {
        match self {
            Self::Composition(composition) => composition.curve(),
            Self::Specific(value) => Curve::constant(value),
        }
    }
}

impl Grain {
    pub(super) fn composition(&self) -> Composition {
        wet_grain(self.moisture)
    }

    /// Whether it holds ice.
    pub fn is_frozen(&self) -> bool {
        freezing::is_frozen(&self.composition(), self.celsius)
    }

    /// Ice ÷ mass.
    pub fn ice_fraction(&self) -> f64 {
        freezing::ice_fraction(&self.composition(), self.celsius)
    }
}
