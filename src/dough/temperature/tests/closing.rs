//! Whatever the dough: the balance closes, and the answers move the right way.

use super::*;
use crate::heat::properties::{OIL, PURE_WATER, WHOLE_WHEAT_FLOUR};
use proptest::prelude::*;

fn any_mixing_heat() -> impl Strategy<Value = MixingHeat> {
    prop_oneof![
        (-3.0f64..40.0).prop_map(MixingHeat::PerDough),
        (-1.0f64..15.0).prop_map(MixingHeat::Rise),
    ]
}

fn any_hydration_heat() -> impl Strategy<Value = HydrationHeat> {
    prop_oneof![
        Just(HydrationHeat::InMixingHeat),
        (0.0f64..20.0).prop_map(HydrationHeat::PerFlour),
        (0.0f64..20.0).prop_map(HydrationHeat::PerDough),
    ]
}

/// Cold, frozen and hot-held grain.
fn any_grain() -> impl Strategy<Value = Grain> {
    let celsius = prop_oneof![-30.0f64..0.0, 0.0f64..30.0, Just(-18.0), 50.0f64..75.0];
    (0.01f64..1.0, celsius, 0.05f64..0.9)
        .prop_map(|(mass, celsius, moisture)| grain(mass, celsius, moisture))
}

prop_compose! {
    fn any_request()(
        flour in 0.2f64..5.0,
        flour_celsius in -5.0f64..40.0,
        grain in prop::collection::vec(any_grain(), 0..3),
        preferment in prop::option::of((0.05f64..1.0, 2.0f64..30.0, 0.3f64..0.6)),
        oil in 0.001f64..0.2,
        water in 0.05f64..4.0,
        tap_celsius in 2.0f64..30.0,
        target_celsius in 15.0f64..32.0,
        mixing_heat in any_mixing_heat(),
        hydration_heat in any_hydration_heat(),
        ice_celsius in prop_oneof![Just(0.0), -25.0f64..0.0],
    ) -> Request {
        Request {
            thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
            flour: vec![ingredient(flour, flour_celsius, WHOLE_WHEAT_FLOUR)],
            grain,
            preferments: preferment
                .map(|(mass, celsius, water)| {
                    ingredient(mass, celsius, BREAD_FLOUR.mixed_with(&PURE_WATER, water))
                })
                .into_iter()
                .collect(),
            others: vec![ingredient(oil, 20.0, OIL)],
            water: kilograms(water),
            tap_celsius,
            target_celsius,
            mixing_heat,
            hydration_heat,
            ice_celsius,
            ..plain_dough()
        }
    }
}

/// Answers in order of the warmth that they ask of the water.
fn warmth(request: &Request) -> (u8, f64) {
    match water_temperature(request) {
        Err(Refusal::TooHot(refusal)) => (3, refusal.needed_celsius.unwrap_or(f64::INFINITY)),
        Ok(WaterPlan { water, .. }) => match water {
            Water::Tempered { celsius } => (2, celsius),
            Water::WithIce { ice, .. } => (1, -grams(ice)),
        },
        Err(Refusal::NotEnoughWaterForIce { ice_needed, .. }) => (0, -grams(ice_needed)),
        Err(Refusal::Other(problem)) => panic!("{problem}"),
    }
}

/// Not colder, but for the last digits.
fn at_least_as_warm(warmer: (u8, f64), colder: (u8, f64)) -> bool {
    warmer.0 > colder.0 || (warmer.0 == colder.0 && warmer.1 >= colder.1 - 1e-6)
}

/// The dough with water at this temperature; nothing if ice is left.
fn mixed(request: &Request, water: &Water) -> Option<f64> {
    match dough_temperature(request, water).unwrap() {
        Outcome::Mixed { celsius } => Some(celsius),
        Outcome::IceLeft => None,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn the_balance_closes_with_the_water_found(request in any_request()) {
        let target = request.target_celsius;
        match water_temperature(&request) {
            Ok(plan) => {
                if let Water::Tempered { celsius } = plan.water {
                    prop_assert!((request.tap_celsius..=YEAST_LIMIT_CELSIUS).contains(&celsius));
                }
                if let Water::WithIce { ice, tap_water, chilled_celsius } = plan.water {
                    prop_assert!(ice >= Mass::default() && tap_water >= Mass::default());
                    let cold = 0.0..request.tap_celsius;
                    prop_assert!(chilled_celsius.is_none_or(|c| cold.contains(&c)));
                    if let Some(celsius) = chilled_celsius {
                        let found = mixed(&request, &Water::Tempered { celsius }).unwrap();
                        prop_assert!((found - target).abs() < 1e-6);
                    }
                }
                let found = mixed(&request, &plan.water).unwrap();
                prop_assert!((found - target).abs() < 1e-6, "{found}, wanted {target}");
            }
            Err(Refusal::TooHot(refusal)) => {
                let hot = |c| c > YEAST_LIMIT_CELSIUS && c <= 100.0;
                prop_assert!(refusal.needed_celsius.is_none_or(hot));
                let limit = Water::Tempered { celsius: YEAST_LIMIT_CELSIUS };
                prop_assert!(mixed(&request, &limit).is_none_or(|found| found < target));
                prop_assert_eq!(refusal.thaw.is_some(), request.grain.iter().any(Grain::is_frozen));
            }
            Err(Refusal::NotEnoughWaterForIce { coldest_dough_celsius, .. }) => {
                prop_assert!(coldest_dough_celsius > target);
            }
            Err(Refusal::Other(problem)) => panic!("{problem}"),
        }
    }

    /// All the grain brought to the temperature named makes the water just bearable.
    #[test]
    fn grain_as_warm_as_named_is_a_way_out(request in any_request()) {
        let Err(Refusal::TooHot(refusal)) = water_temperature(&request) else { return Ok(()) };
        let Some(celsius) = refusal.grain_at_least_celsius else { return Ok(()) };
        let mut warmer = request;
        for grain in &mut warmer.grain {
            grain.celsius = celsius;
        }
        let limit = Water::Tempered { celsius: YEAST_LIMIT_CELSIUS };
        let found = mixed(&warmer, &limit).unwrap();
        let target = warmer.target_celsius;
        if celsius > 0.0 {
            prop_assert!((found - target).abs() < 1e-6, "{found}, wanted {target}");
        } else {
            prop_assert!(found >= target - 1e-6);
        }
    }

    #[test]
    fn colder_grain_never_asks_for_colder_water(
        request in any_request(),
        colder in prop_oneof![0.0f64..3.0, 0.0f64..60.0],
    ) {
        // Across the freezing point as well; the rise, calculated on the thawed dough, stays.
        let mut chilled = request.clone();
        for grain in &mut chilled.grain {
            grain.celsius = (grain.celsius - colder).max(-40.0);
        }
        prop_assert!(at_least_as_warm(warmth(&chilled), warmth(&request)));
    }

    #[test]
    fn a_warmer_dough_never_asks_for_colder_water(request in any_request(), more in 0.0f64..10.0) {
        let mut warmer = request.clone();
        warmer.target_celsius += more;
        prop_assert!(at_least_as_warm(warmth(&warmer), warmth(&request)));
    }

    #[test]
    fn warmer_water_never_makes_a_colder_dough(
        request in any_request(),
        celsius in 0.0f64..90.0,
        more in 0.01f64..10.0,
    ) {
        let colder = mixed(&request, &Water::Tempered { celsius });
        let warmer = mixed(&request, &Water::Tempered { celsius: celsius + more });
        prop_assert!(warmer > colder || warmer.is_none() && colder.is_none());
        prop_assert!(colder.is_none_or(|found| found > 0.0));
    }

    /// What mixing gave is found again from the dough it made.
    #[test]
    fn mixing_heat_is_found_from_the_dough_measured(
        request in any_request(),
        heat in -10.0f64..50.0,
        celsius in 1.0f64..60.0,
        ice in prop::option::of(0.01f64..0.99),
    ) {
        let mut mixing = request;
        mixing.mixing_heat = MixingHeat::PerDough(heat);
        let water = match ice {
            Some(share) => Water::WithIce {
                ice: mixing.water * share,
                tap_water: mixing.water * (1.0 - share),
                chilled_celsius: None,
            },
            None => Water::Tempered { celsius },
        };
        let Some(measured) = mixed(&mixing, &water).filter(|t| (2.0..=45.0).contains(t)) else {
            return Ok(());
        };
        mixing.mixing_heat = MixingHeat::Rise(3.0);
        let found = mixing_heat_from(&mixing, &water, measured).unwrap();
        prop_assert!((found - heat).abs() < 1e-6, "{found}, was {heat}");
    }
}
