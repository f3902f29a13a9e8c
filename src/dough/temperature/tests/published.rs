//! Published figures, and arithmetic on published properties.

use super::*;
use crate::dough::temperature::balance::{Balance, Body};
use crate::heat::curve::Curve;
use crate::heat::freezing;
use crate::heat::properties::{MEDIUM_RYE_FLOUR, PURE_WATER, WHOLE_WHEAT_FLOUR};

/// A part with one specific heat, as textbooks calculate.
fn body(kilograms: f64, celsius: f64, specific_heat: f64) -> Body {
    Body {
        kilograms,
        celsius,
        heat: Curve::constant(specific_heat),
        thaw: 0.0,
    }
}

/// A dough with one specific heat of water; `given` is set by the case.
fn balance(bodies: Vec<Body>, water: f64, water_heat: f64) -> Balance {
    Balance {
        dough_kilograms: water + bodies.iter().map(|body| body.kilograms).sum::<f64>(),
        bodies,
        grain: vec![],
        water_kilograms: water,
        water: Curve::constant(water_heat),
        given: 0.0,
    }
}

fn water_for(balance: &Balance, target: f64) -> f64 {
    balance.water.reached(0.0, balance.water_heat_asked(target))
}

/// Çengel & Boles, Thermodynamics, 8th edition, problem 5-157: 2 kg of flour and 1 kg of water at
/// 15 °C, kept at 15 °C against a heat of hydration of 15 kJ per kg of dough; answers by
/// arithmetic.
#[test]
fn heat_of_hydration_is_taken_up_by_colder_water() {
    let mut dough = balance(vec![body(2.0, 15.0, 1.76)], 1.0, 4.18);
    dough.given = 15.0 * dough.dough_kilograms;
    close(dough.given, 45.0, 1e-12);
    close(water_for(&dough, 15.0), 4.234, 0.001);
    dough.given = 15.0 * 2.0;
    close(water_for(&dough, 15.0), 7.823, 0.001);

    // The same through a request, with the specific heat of water as tabulated.
    let mut request = plain_dough();
    request.flour = vec![ingredient(2.0, 15.0, ALL_PURPOSE_FLOUR)];
    request.water = kilograms(1.0);
    request.target_celsius = 15.0;
    request.tap_celsius = 0.0;
    request.mixing_heat = MixingHeat::PerDough(0.0);
    for (heat, expected) in [
        (HydrationHeat::InMixingHeat, 15.0),
        (HydrationHeat::PerDough(HEAT_OF_HYDRATION), 4.234),
        (HydrationHeat::PerFlour(HEAT_OF_HYDRATION), 7.823),
    ] {
        request.hydration_heat = heat;
        close(tempered(&request), expected, 0.02);
    }
}

/// 1 kg of flour (1.80) at 20 °C and 0.65 kg of water (4.186), 26 °C wanted, 6 K of mixing
/// (arithmetic).
#[test]
fn mixing_that_warms_by_six_kelvin_needs_water_six_kelvin_colder() {
    let mut dough = balance(vec![body(1.0, 20.0, 1.80)], 0.65, 4.186);
    dough.given = dough.mixing(MixingHeat::Rise(6.0), 26.0);
    close(water_for(&dough, 26.0), 20.00, 0.01);
}

/// The dough of [`grain_dough`] with grain of 3.62572 kJ/(kg K) at 20 °C, at 4 °C and frozen at −18
/// °C, the latter with all its water as ice: solids 1.75, ice 2.06, water 4.186, 333.6 kJ/kg
/// (arithmetic).
#[test]
fn cold_grain_asks_for_warm_water_and_frozen_grain_for_scalding() {
    let lumped = 0.23 * 1.75 + 0.77 * 4.186;
    close(lumped, 3.62572, 1e-9);
    let ice_to_zero = 18.0 * (0.23 * 1.75 + 0.77 * 2.06) + 0.77 * 333.6;
    close(ice_to_zero + 26.0 * lumped, 386.937, 0.01);
    for (celsius, thaw, expected, tolerance) in [
        (20.0, 0.0, 22.437, 0.001),
        (4.0, 0.0, 31.676, 0.001),
        (0.0, ice_to_zero, 80.60, 0.01),
    ] {
        let grain = Body {
            thaw,
            ..body(0.3, celsius, lumped)
        };
        let mut dough = balance(vec![body(0.9, 20.0, 1.80), grain], 0.45, 4.186);
        dough.given = dough.mixing(MixingHeat::Rise(5.0), 26.0);
        close(water_for(&dough, 26.0), expected, tolerance);
    }
}

/// The same doughs with tabulated specific heats and Chen's enthalpy, which leaves bound water
/// unfrozen and so asks for 2 % to 6 % less heat than ice throughout.
#[test]
fn tabulated_properties_say_nearly_the_same() {
    close(tempered(&grain_dough(20.0)), 22.437, 0.1);
    close(tempered(&grain_dough(4.0)), 31.676, 0.1);
    let refusal = too_hot(&grain_dough(-18.0));
    let needed = refusal.needed_celsius.unwrap();
    assert!((76.0..79.5).contains(&needed), "{needed}");
    let thaw = refusal.thaw.unwrap();
    close(grams(thaw.grain), 300.0, 1e-9);
    close(grams(thaw.ice), 300.0 * 0.7081, 0.05);
}

/// Flour 0.9 kg and water 0.45 kg at 20 °C with 0.3 kg of frozen grain: specific heats summed up
/// say −3.86 °C (arithmetic), and there would still be ice in it.
#[test]
fn ice_that_is_left_is_said_and_not_a_temperature() {
    let mut request = grain_dough(-18.0);
    request.mixing_heat = MixingHeat::PerDough(0.0);
    let water = Water::Tempered { celsius: 20.0 };
    assert_eq!(dough_temperature(&request, &water), Ok(Outcome::IceLeft));
    // With warm water it thaws.
    let water = Water::Tempered { celsius: 40.0 };
    match dough_temperature(&request, &water).unwrap() {
        Outcome::Mixed { celsius } => assert!((0.0..20.0).contains(&celsius), "{celsius}"),
        Outcome::IceLeft => panic!("ice left"),
    }
}

/// 40 kg of water, 20 °C from the tap, 10 °C wanted, 333.6 kJ/kg and 4.186 kJ/(kg K): 4.0123 kg of
/// ice in place of water. 4.448 kg is the answer to ice added on top (arithmetic).
#[test]
fn ice_takes_the_place_of_water() {
    let share = ice::ice_share(4.186 * 20.0, 4.186 * 10.0, 333.6);
    close(40.0 * share, 4.0123, 0.001);
    // 100 lb from 75 °F to 50 °F: 100 · 25 ÷ (75 + 112), from memory; 144 Btu/lb.
    let share = ice::ice_share(75.0 - 32.0, 50.0 - 32.0, 144.0);
    close(100.0 * share, 13.369, 0.001);
    // Ice at −18 °C takes up about 11 % more (arithmetic).
    let colder = ice::melting_heat(-18.0) / ice::melting_heat(0.0);
    close(colder, 1.11, 0.005);
}

/// Lamb with 73.42 % water, 20.29 % protein, 5.25 % fat and 1.06 % ash at 5 °C: 3.59 kJ/(kg K), and
/// 150 kg through 10 K 5390 kJ; example of the ASHRAE Handbook Refrigeration, chapter on thermal
/// properties of foods, from memory. Parts by arithmetic.
#[test]
fn lamb_has_the_specific_heat_of_the_handbook() {
    for (part, expected) in [(0, 4.1759), (1, 2.0142), (2, 1.9914), (5, 1.1020)] {
        let mut pure = [0.0; 6];
        pure[part] = 1.0;
        let pure = Composition::new(pure).unwrap();
        close(specific_heat(&pure, 5.0), expected, 1e-3);
    }
    let lamb = Composition::new([0.7342, 0.2029, 0.0525, 0.0, 0.0, 0.0106]).unwrap();
    let found = specific_heat(&lamb, 5.0);
    close(found, 3.5908, 1e-3);
    close(150.0 * found * 10.0, 5386.0, 1.5);
}

/// Choi & Okos 1986 on USDA compositions at 20 °C (arithmetic), within 10 % of flour of 12 % to
/// 13.5 % water as tabulated: 1.80 to 1.88 (Geankoplis, Transport Processes, table A.4-1).
#[test]
fn flours_have_their_specific_heats() {
    for (flour, expected) in [
        (ALL_PURPOSE_FLOUR, 1.9508),
        (BREAD_FLOUR, 1.997),
        (WHOLE_WHEAT_FLOUR, 1.958),
        (ALL_PURPOSE_FLOUR.at_moisture(basis(0.14)), 2.003),
        (ALL_PURPOSE_FLOUR.at_moisture(basis(0.0)), 1.650),
    ] {
        close(specific_heat(&flour, 20.0), expected, 1e-3);
    }
    for flour in [ALL_PURPOSE_FLOUR, MEDIUM_RYE_FLOUR] {
        let found = specific_heat(&flour.at_moisture(basis(0.1275)), 20.0);
        close(found, 1.84, 0.184);
    }
    // Water has none to dry.
    assert_eq!(PURE_WATER.at_moisture(basis(0.5)), PURE_WATER);
}

/// Wet grain (arithmetic on the assumed dry part), and the nearest food with a tabulated figure:
/// sweet corn with 75.96 % water, 3.62 kJ/(kg K) (ASHRAE Handbook Refrigeration, unfrozen
/// composition data).
#[test]
fn wet_grain_is_close_to_the_nearest_tabulated_food() {
    let at = |moisture, celsius| specific_heat(&wet_grain(basis(moisture)), celsius);
    close(at(0.77, 4.0), 3.6345, 1e-3);
    close(at(0.77, 20.0), 3.6408, 1e-3);
    close(at(0.70, 20.0), 3.478, 1e-3);
    close(at(0.80, 20.0), 3.711, 1e-3);
    close(at(0.7596, 20.0), 3.62, 0.02);
}

/// Chen 1985 for 77 % grain with 5.06 % protein and a freezing point of −1.0 °C (arithmetic):
/// 271.15 kJ/kg from −18 °C to 0 °C, 362.49 to 25 °C and 76.72 from 4 °C to 25 °C with his own line
/// above the freezing point.
#[test]
fn frozen_grain_takes_the_heat_that_chen_says() {
    let grain = wet_grain(basis(0.77));
    close(grain.protein(), 0.0506, 1e-12);
    let thaw = freezing::heat_to_thaw(&grain, -18.0);
    let slope = 4.19 - 2.30 * 0.23 - 0.628 * 0.23_f64.powi(3);
    close(thaw + slope, 271.15, 0.01);
    close(thaw + 26.0 * slope, 362.49, 0.01);
    close(21.0 * slope, 76.72, 0.01);
    // The specific heat that is used above the freezing point is within half a percent of Chen's.
    close(specific_heat(&grain, 12.0) / slope, 1.0, 0.005);
}

/// Ice ÷ mass by Tchigeov's formula of 1979.
fn tchigeov(water: f64, freezing_point: f64, celsius: f64) -> f64 {
    1.105 * water / (1.0 + 0.7138 / libm::log(freezing_point - celsius + 1.0))
}

/// Beef with 58 % water, freezing point −1.7 °C, at −20 °C: 0.52 in the ASHRAE Handbook
/// Refrigeration, from memory. The same independent formula is within 4 % of the ice calculated for
/// grain.
#[test]
fn ice_in_grain_agrees_with_another_formula() {
    close(tchigeov(0.58, -1.7, -20.0), 0.5164, 1e-4);
    let grain = wet_grain(basis(0.77));
    let found = freezing::ice_fraction(&grain, -18.0);
    close(found, 0.7081, 1e-4);
    close(found / tchigeov(0.77, -1.0, -18.0), 1.0, 0.04);
    assert_eq!(freezing::ice_fraction(&grain, -1.0), 0.0);
    assert_eq!(freezing::ice_fraction(&grain, 4.0), 0.0);
}

/// Grain so dry that protein binds its water holds no ice.
#[test]
fn dried_grain_does_not_freeze() {
    let dried = wet_grain(basis(0.05));
    assert!(!freezing::is_frozen(&dried, -18.0));
    let mut request = grain_dough(20.0);
    request.grain = vec![grain(0.1, -18.0, 0.05)];
    assert!(tempered(&request) < 30.0);
}
