//! Heat that frozen grain takes before it is thawed.
//!
//! Chen C. S. 1985, Journal of Food Science 50:1158–1162 (volume and pages from memory): enthalpy
//! of frozen food from its solids, bound water and initial freezing point, as later literature
//! copies it; the original was not to be had. Fricke & Becker 2001, HVAC&R Research 7(4):311–330,
//! found it the best of the enthalpy models.

use super::properties::{Composition, specific_heat};

/// Temperature at which wet grain begins to freeze, °C. No value for spent grain has been
/// published; the nearest tabulated food of its moisture is sweet corn at −0.6 °C (76 % water), and
/// most moist plant foods lie between −0.5 and −1.0 °C (ASHRAE Handbook Refrigeration, table of
/// unfrozen composition data). An assumption: between −0.5 and −1.5 °C the heat to bring frozen
/// grain to a dough's temperature changes by less than 2 % either way (arithmetic).
pub const FREEZING_POINT_CELSIUS: f64 = -1.0;

/// Latent heat of fusion of water at 0 °C, kJ/kg (ASHRAE Handbook Refrigeration, from memory; it
/// is 143.4 Btu/lb).
pub const LATENT_HEAT: f64 = 333.6;

/// Water that does not freeze, per protein (the usual figure beside Chen's formula).
const BOUND_WATER_PER_PROTEIN: f64 = 0.4;

/// Where Chen's enthalpy is zero, °C.
const REFERENCE_CELSIUS: f64 = -40.0;

/// Water that can freeze ÷ mass; nothing in grain so dry that protein binds it all.
fn freezable(composition: &Composition) -> f64 {
    (composition.water() - BOUND_WATER_PER_PROTEIN * composition.protein()).max(0.0)
}

/// Whether grain of this composition holds ice at `celsius`.
pub fn is_frozen(composition: &Composition, celsius: f64) -> bool {
    celsius < FREEZING_POINT_CELSIUS && freezable(composition) > 0.0
}

/// Ice ÷ mass at `celsius` below the freezing point: what freezing-point depression leaves
/// unfrozen shrinks in proportion to it.
pub fn ice_fraction(composition: &Composition, celsius: f64) -> f64 {
    if is_frozen(composition, celsius) {
        freezable(composition) * (1.0 - FREEZING_POINT_CELSIUS / celsius)
    } else {
        0.0
    }
}

/// Chen's enthalpy above −40 °C of frozen grain, kJ/kg, for −40 °C to the freezing point.
pub fn enthalpy_of(composition: &Composition, celsius: f64) -> f64 {
    let (linear, hyperbolic) = terms(composition);
    (celsius - REFERENCE_CELSIUS) * (linear + hyperbolic / celsius)
}

/// The two terms of Chen's enthalpy: what a kelvin takes, and the ice in it times the temperature.
fn terms(composition: &Composition) -> (f64, f64) {
    let solids = 1.0 - composition.water();
    let ice = freezable(composition) * LATENT_HEAT * FREEZING_POINT_CELSIUS;
    (1.55 + 1.26 * solids, -ice / REFERENCE_CELSIUS)
}

/// How warm grain of this composition is, °C, by its enthalpy; above the freezing point by its own specific heat at 0 °C.
pub fn celsius_of(composition: &Composition) -> impl Fn(f64) -> f64 + use<> {
    let thawed = enthalpy_of(composition, FREEZING_POINT_CELSIUS);
    let capacity = specific_heat(composition, 0.0);
    let (linear, hyperbolic) = terms(composition);
    move |enthalpy| {
        let over = enthalpy - thawed;
        if over >= 0.0 {
            return FREEZING_POINT_CELSIUS + over / capacity;
        }
        // The enthalpy solved for the temperature: linear t² + middle t + last = 0, of whose roots one is below zero.
        let middle = hyperbolic - REFERENCE_CELSIUS * linear - enthalpy;
        let last = -REFERENCE_CELSIUS * hyperbolic;
        (-middle - (middle * middle - 4.0 * linear * last).sqrt()) / (2.0 * linear)
    }
}

/// Heat that brings frozen grain from `celsius` to its freezing point with no ice left, kJ/kg.
pub fn heat_to_thaw(composition: &Composition, celsius: f64) -> f64 {
    enthalpy_of(composition, FREEZING_POINT_CELSIUS) - enthalpy_of(composition, celsius)
}
