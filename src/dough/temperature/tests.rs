mod closing;
mod cross_check;
mod page;
mod published;
mod refusals;
mod rule;

use super::*;
use crate::heat::properties::{ALL_PURPOSE_FLOUR, BREAD_FLOUR};
use crate::quantity::WetBasis;
use crate::quantity::mass::{from_grams, grams};

fn basis(value: f64) -> WetBasis {
    WetBasis::new(value).unwrap()
}

fn kilograms(value: f64) -> Mass {
    from_grams(value * 1000.0)
}

fn ingredient(mass: f64, celsius: f64, composition: Composition) -> Ingredient {
    Ingredient {
        mass: kilograms(mass),
        celsius,
        heat: Heat::Composition(composition),
    }
}

fn grain(mass: f64, celsius: f64, moisture: f64) -> Grain {
    Grain {
        mass: kilograms(mass),
        celsius,
        moisture: basis(moisture),
    }
}

/// 1 kg of all-purpose flour at 20 °C with 0.65 kg of water, to come out at 26 °C.
fn plain_dough() -> Request {
    Request {
        thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
        flour: vec![ingredient(1.0, 20.0, ALL_PURPOSE_FLOUR)],
        grain: vec![],
        preferments: vec![],
        others: vec![],
        water: kilograms(0.65),
        tap_celsius: 12.0,
        target_celsius: 26.0,
        mixing_heat: MixingHeat::PerDough(10.0),
        hydration_heat: HydrationHeat::InMixingHeat,
        ice_celsius: MELTING_ICE_CELSIUS,
        yeast_limit_celsius: YEAST_LIMIT_CELSIUS,
        room_celsius: Some(20.0),
        friction_kelvin: None,
    }
}

/// 0.9 kg of flour with 1.80 kJ/(kg K) at 20 °C, 0.3 kg of grain of 77 % and 0.45 kg of water, to
/// come out at 26 °C with a rise of 5 K.
fn grain_dough(grain_celsius: f64) -> Request {
    Request {
        thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
        flour: vec![Ingredient {
            mass: kilograms(0.9),
            celsius: 20.0,
            heat: Heat::Specific(1.80),
        }],
        grain: vec![grain(0.3, grain_celsius, 0.77)],
        water: kilograms(0.45),
        mixing_heat: MixingHeat::Rise(5.0),
        ..plain_dough()
    }
}

fn tempered(request: &Request) -> f64 {
    match water_temperature(request) {
        Ok(WaterPlan {
            water: Water::Tempered { celsius },
            ..
        }) => celsius,
        other => panic!("not plain water: {other:?}"),
    }
}

fn ice(request: &Request) -> (Mass, Mass, Option<f64>) {
    match water_temperature(request) {
        Ok(WaterPlan {
            water:
                Water::WithIce {
                    ice,
                    tap_water,
                    chilled_celsius,
                },
            ..
        }) => (ice, tap_water, chilled_celsius),
        other => panic!("no ice: {other:?}"),
    }
}

fn too_hot(request: &Request) -> TooHot {
    match water_temperature(request) {
        Err(Refusal::TooHot(refusal)) => *refusal,
        other => panic!("not too hot: {other:?}"),
    }
}

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found}, expected {expected} within {tolerance}"
    );
}
