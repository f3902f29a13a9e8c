use super::*;

fn problem(change: impl FnOnce(&mut Request)) -> String {
    let mut request = grain_dough(4.0);
    change(&mut request);
    match water_temperature(&request) {
        Err(Refusal::Other(problem)) => problem.to_string(),
        other => panic!("taken: {other:?}"),
    }
}

#[test]
fn what_makes_no_dough_is_refused() {
    assert_eq!(
        problem(|r| r.water = Mass::default()),
        "water to be tempered weighs nothing"
    );
    assert_eq!(
        problem(|r| r.target_celsius = 80.0),
        "dough temperature is 80 °C: allowed is 2 °C to 45 °C"
    );
    assert_eq!(
        problem(|r| r.tap_celsius = -3.0),
        "tap water is -3 °C: allowed is 0 °C to 60 °C"
    );
    assert_eq!(
        problem(|r| r.ice_celsius = 2.0),
        "ice is 2 °C: allowed is -40 °C to 0 °C"
    );
    assert_eq!(
        problem(|r| r.mixing_heat = MixingHeat::Rise(40.0)),
        "rise by mixing is 40 kelvin: allowed is -7 kelvin to 20 kelvin"
    );
    assert!(problem(|r| r.mixing_heat = MixingHeat::PerDough(f64::NAN)).contains("NaN"));
    assert!(problem(|r| r.grain[0].celsius = -60.0).contains("-60 °C"));
    assert!(problem(|r| r.grain[0].moisture = basis(1.0)).contains("100%"));
    assert!(problem(|r| r.flour[0].mass = -kilograms(1.0)).contains("-1 kg"));
    assert!(problem(|r| r.flour[0].heat = Heat::Specific(0.0)).contains("specific heat is 0"));
    assert!(problem(|r| r.room_celsius = Some(f64::INFINITY)).contains("room temperature"));
    assert!(problem(|r| r.friction_kelvin = Some(200.0)).contains("friction factor"));
    assert!(problem(|r| r.yeast_limit_celsius = 130.0).contains("hottest water"));
    assert!(problem(|r| r.hydration_heat = HydrationHeat::PerFlour(-1.0)).contains("hydration"));
    assert_eq!(
        problem(|r| {
            r.flour.clear();
            r.grain.clear();
        }),
        "a dough has no flour, grain or preferment"
    );
    let poolish = BREAD_FLOUR.mixed_with(&crate::heat::properties::PURE_WATER, 0.5);
    assert_eq!(
        problem(|r| r.preferments = vec![ingredient(0.3, -18.0, poolish)]),
        "an ingredient with 57% water is frozen at -18 °C: only grain is calculated frozen"
    );
}

#[test]
fn flour_from_the_freezer_is_no_ice() {
    let mut request = plain_dough();
    request.flour = vec![ingredient(1.0, -18.0, ALL_PURPOSE_FLOUR)];
    let refusal = too_hot(&request);
    // No grain to thaw and none to warm.
    assert_eq!((refusal.thaw, refusal.grain_at_least_celsius), (None, None));
    assert_eq!(refusal.limit_celsius, 43.0);
    // The hottest water allowed leaves the dough colder than it is wanted.
    let poured = Water::Tempered { celsius: 43.0 };
    let Ok(Outcome::Mixed { celsius }) = dough_temperature(&request, &poured) else {
        panic!("no dough");
    };
    close(refusal.dough_celsius.unwrap(), celsius, 1e-9);
    assert!(celsius < request.target_celsius, "{celsius}");
}

#[test]
fn compositions_that_are_none_are_refused() {
    for parts in [
        [0.5, 0.2, 0.1, 0.1, 0.0, 0.0],
        [1.1, -0.1, 0.0, 0.0, 0.0, 0.0],
        [f64::NAN, 0.0, 0.0, 0.0, 0.0, 1.0],
        [0.7, 0.2, 0.1, 0.1, 0.0, 0.0],
    ] {
        let refused = Composition::new(parts).unwrap_err();
        assert!(refused.to_string().contains("allowed is"), "{refused}");
    }
}

/// Water that would scald is refused, and so is any temperature that water does not have.
#[test]
fn frozen_grain_is_to_thaw_first() {
    let refusal = too_hot(&grain_dough(-18.0));
    assert_eq!(refusal.thaw.unwrap().lead, chrono::Duration::hours(24));
    // Any thawed grain will do here: 4 °C needs no more than 32 °C.
    assert_eq!(refusal.grain_at_least_celsius, Some(0.0));

    let mut much = grain_dough(-18.0);
    much.grain = vec![grain(0.6, -18.0, 0.77), grain(0.1, 4.0, 0.77)];
    let refusal = too_hot(&much);
    assert_eq!(refusal.needed_celsius, None);
    let thaw = refusal.thaw.unwrap();
    close(grams(thaw.grain), 600.0, 1e-9);
    let at_least = refusal.grain_at_least_celsius.unwrap();
    assert!((0.0..26.0).contains(&at_least), "{at_least}");
}

#[test]
fn a_dough_with_too_little_water_cannot_be_iced_cold() {
    let mut request = plain_dough();
    request.flour = vec![ingredient(1.0, 38.0, ALL_PURPOSE_FLOUR)];
    request.water = kilograms(0.1);
    request.tap_celsius = 25.0;
    request.target_celsius = 15.0;
    match water_temperature(&request) {
        Err(Refusal::NotEnoughWaterForIce {
            ice_needed,
            water,
            coldest_dough_celsius,
        }) => {
            assert!(ice_needed > water);
            close(grams(water), 100.0, 1e-9);
            // All of the water as ice is the best there is.
            let iced = Water::WithIce {
                ice: water,
                tap_water: Mass::default(),
                chilled_celsius: None,
            };
            let outcome = dough_temperature(&request, &iced).unwrap();
            match outcome {
                Outcome::Mixed { celsius } => close(celsius, coldest_dough_celsius, 1e-9),
                Outcome::IceLeft => panic!("ice left"),
            }
            assert!(coldest_dough_celsius > 15.0);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn water_as_poured_is_checked_too() {
    let request = plain_dough();
    for water in [
        Water::Tempered { celsius: 120.0 },
        Water::Tempered { celsius: f64::NAN },
        Water::WithIce {
            ice: Mass::default(),
            tap_water: Mass::default(),
            chilled_celsius: None,
        },
        Water::WithIce {
            ice: -kilograms(0.1),
            tap_water: kilograms(0.5),
            chilled_celsius: None,
        },
    ] {
        assert!(dough_temperature(&request, &water).is_err(), "{water:?}");
        assert!(
            mixing_heat_from(&request, &water, 26.0).is_err(),
            "{water:?}"
        );
    }
}

#[test]
fn a_slip_of_the_pen_is_not_learnt() {
    let request = plain_dough();
    let water = Water::Tempered { celsius: 20.0 };
    let refused = mixing_heat_from(&request, &water, 44.0).unwrap_err();
    assert!(
        refused
            .to_string()
            .starts_with("a dough of 44 °C: mixing heat per kg of dough is "),
        "{refused}"
    );
    assert_eq!(
        refused.hints(),
        ["check the temperatures that were written down"]
    );
    assert!(mixing_heat_from(&request, &water, 78.8).is_err());
}
