use super::*;
use crate::dough::batch::{self, BatchRequest, Size};
use crate::dough::formula::Formula;
use crate::dough::mixing_heat::learned;
use crate::dough::temperature::{Outcome, Water, dough_temperature, specific_heat};
use crate::quantity::Uncertain;
use crate::quantity::mass::{from_grams, grams};
use proptest::prelude::*;

/// 900 g of bread flour, 300 g of grain of 77 % with 69 g of dry grain in it, and 450 g of water beside its
/// 231 g: 969 g of total flour, of which 7.120743 % is grain and on which 681 g of water are 70.278638 %.
const PLAIN: &str = r#"
name = "plain dough"
hydration = "70.278638%"
mixing_rise = "2.77K"

[grain]
wanted = "7.120743%"

[[flour]]
name = "bread flour"
share = "92.879257%"
"#;

/// What a formula states, before any dough of it was measured.
fn stated(formula: &Formula) -> MixingRise {
    learned(formula.mixing_rise, &[])
}

/// Grain in a soaker, a sponge of wholemeal rye, and a bit of everything.
const RICH: &str = r#"
name = "rich dough"
hydration = "75%"
mixing_rise = "4K"

[grain]
wanted = "8%"
stage = "soaker"

[[flour]]
name = "strong white"
share = "67%"

[[flour]]
name = "wholemeal rye"
share = "25%"

[[stage]]
name = "sponge"
kind = "preferment"
flour = "20%"
of = "wholemeal rye"
hydration = "100%"

[[stage]]
name = "soaker"
kind = "soaker"
flour = "8%"
water = "35%"

[[ingredient]]
name = "sunflower seeds"
kind = "seeds"
share = "6%"
stage = "soaker"

[[ingredient]]
name = "salt"
kind = "salt"
share = "2%"

[[ingredient]]
name = "fresh yeast"
kind = "yeast"
yeast = "fresh"
share = "2%"

[[ingredient]]
name = "oil"
kind = "fat"
share = "3%"

[[ingredient]]
name = "honey"
kind = "sweetener"
share = "1%"
"#;

fn formula(text: &str) -> Formula {
    Formula::from_text(text).unwrap()
}

fn of_flour(formula: &Formula, flour: f64, sd: f64) -> Batch {
    batch::work_out(&BatchRequest {
        formula,
        size: Size::Flour(from_grams(flour)),
        share: formula.grain.wanted,
        moisture: Uncertain::known(0.77, sd),
        thirst: None,
        scale: Milligrams::new(1_000),
        fine_scale: Milligrams::new(100),
    })
    .unwrap()
}

/// Flour and room 21 °C, tap 12 °C, dough 26 °C.
fn mild(grain: f64) -> Temperatures {
    Temperatures {
        thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
        tap: 12.0,
        room: Some(21.0),
        flour: 21.0,
        grain: Some(GrainTemperature::Even(grain)),
        stages: Vec::new(),
        dough: 26.0,
    }
}

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found}, expected {expected} within {tolerance}"
    );
}

fn mass_of(request: &Request) -> f64 {
    let plain: f64 = [&request.flour, &request.preferments, &request.others]
        .into_iter()
        .flatten()
        .map(|part| grams(part.mass))
        .sum();
    let grain: f64 = request.grain.iter().map(|grain| grams(grain.mass)).sum();
    plain + grain + grams(request.water)
}

/// By hand with round specific heats, kJ/(kg K): flour 2.00, grain 0.77 × 4.18 + 0.23 × 1.85 = 3.64, water
/// 4.18. To 26 °C flour takes 0.9 × 2.00 × 5 = 9.0 kJ and grain from 4 °C 0.3 × 3.64 × 22 = 24.0 kJ. The dough
/// takes 1.80 + 1.09 + 1.88 = 4.77 kJ/K, so 2.77 K of mixing give 13.2 kJ. Water brings the other 19.8 kJ,
/// 0.45 kg of it from 10.5 K above 26 °C. Three factors: 3 × 26 − 21 − 21 − 3 × 2.77 = 27.7 °C.
#[test]
fn cold_grain_asks_for_warmer_water_than_the_usual_rule() {
    let formula = formula(PLAIN);
    let batch = of_flour(&formula, 900.0, 0.01);
    close(grams(batch.hold_back.wet), 300.0, 0.01);
    close(grams(batch.hold_back.add_water), 450.0, 0.01);
    let warmth = work_out(&batch, &mild(4.0), stated(&formula));
    assert!(warmth.mixing.kelvin.is_some());
    let plan = warmth.plan.unwrap();
    let Water::Tempered { celsius } = plan.water else {
        panic!("no ice is needed: {plan:?}");
    };
    close(celsius, 36.5, 0.2);
    close(plan.factor_rule.unwrap().celsius.unwrap(), 27.69, 0.01);
}

/// By hand with the same round specific heats: 240 g of thawed grain of 77 % from 3 °C take 0.24 × 3.64 × 23 = 20.1 kJ, 60 g
/// of dried grain of 5 %, 0.05 × 4.18 + 0.95 × 1.85 = 1.97, from 20 °C 0.06 × 1.97 × 6 = 0.7 kJ. The dough takes 1.80 + 0.99 +
/// 1.88 = 4.67 kJ/K, so 2.77 K of mixing give 12.9 kJ. Flour takes 9.0 kJ, so water brings 16.9 kJ: 9.0 K above 26 °C.
#[test]
fn each_lot_of_the_grain_has_its_own_temperature_and_takes_its_own_heat() {
    let formula = formula(PLAIN);
    let batch = of_flour(&formula, 900.0, 0.01);
    let lot = |grams, moisture, celsius| LotTemperature {
        wet: from_grams(grams),
        moisture: WetBasis::new(moisture).unwrap(),
        celsius,
    };
    let with = |lots: Vec<LotTemperature>| {
        let temperatures = Temperatures {
            grain: Some(GrainTemperature::OfLots(lots)),
            ..mild(4.0)
        };
        match work_out(&batch, &temperatures, stated(&formula)).plan {
            Ok(WaterPlan {
                water: Water::Tempered { celsius },
                ..
            }) => celsius,
            other => panic!("water warms it: {other:?}"),
        }
    };
    close(
        with(vec![lot(240.0, 0.77, 3.0), lot(60.0, 0.05, 20.0)]),
        35.0,
        0.2,
    );
    // Lots that are alike are one, whatever part of them goes in.
    let alike = with(vec![lot(800.0, 0.77, 4.0), lot(1600.0, 0.77, 4.0)]);
    close(alike, with(vec![lot(1.0, 0.77, 4.0)]), 1e-9);
    close(alike, 36.5, 0.2);
}

/// Of 300 g of grain of 77 % at −18 °C, 231 g are water; 0.3 × 0.23 × 22 % of protein bind 0.4 times their
/// mass, 6 g; of the other 225 g 1 ÷ 18 stays liquid: 212 g of ice.
#[test]
fn frozen_grain_is_refused_with_the_ice_in_it() {
    let formula = formula(PLAIN);
    let batch = of_flour(&formula, 900.0, 0.01);
    let warmth = work_out(&batch, &mild(-18.0), stated(&formula));
    let Err(Refusal::TooHot(why)) = warmth.plan else {
        panic!("frozen grain needs hot water: {warmth:?}");
    };
    close(why.needed_celsius.unwrap(), 82.0, 0.3);
    let thaw = why.thaw.unwrap();
    close(grams(thaw.grain), 300.0, 0.01);
    close(grams(thaw.ice), 212.4, 0.5);
}

/// Flour at 30 °C, tap at 24 °C, dough at 25 °C, a rise of 8.65 K. By hand: mixing gives 4.77 × 8.65 = 41.3 kJ,
/// flour 9.0 kJ and grain takes 0.3 × 3.64 × 21 = 22.9 kJ, so the water takes 27.4 kJ: 14.6 K below 25 °C. Ice
/// takes 333.6 + 24 × 4.18 = 434 kJ/kg beside tap water, which takes 0.45 × 4.18 × 1 = 1.9 kJ: 59 g.
#[test]
fn a_hot_day_takes_ice() {
    let formula = formula(&PLAIN.replace("2.77K", "8.65K"));
    let batch = of_flour(&formula, 900.0, 0.01);
    let hot = Temperatures {
        thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
        tap: 24.0,
        room: Some(30.0),
        flour: 30.0,
        dough: 25.0,
        ..mild(4.0)
    };
    let plan = work_out(&batch, &hot, stated(&formula)).plan.unwrap();
    let Water::WithIce {
        ice,
        tap_water,
        chilled_celsius,
    } = plan.water
    else {
        panic!("ice is needed: {plan:?}");
    };
    close(grams(ice), 59.0, 1.0);
    close(grams(ice + tap_water), 450.0, 0.01);
    close(chilled_celsius.unwrap(), 10.4, 0.3);
}

/// Everything in the batch is in the balance once, wherever the grain goes, and not more for the water held
/// back on top of the estimate.
#[test]
fn the_balance_weighs_what_the_dough_weighs() {
    let plain = formula(PLAIN);
    let rich = formula(RICH);
    for (formula, stages) in [(&plain, vec![]), (&rich, vec![24.0, 18.0])] {
        let batch = of_flour(formula, 920.0, 0.02);
        let temperatures = Temperatures {
            stages,
            ..mild(4.0)
        };
        let request = request(&batch, &temperatures, stated(formula)).unwrap();
        close(mass_of(&request), grams(batch.dough), 1e-6);
    }
}

/// Total flour 1000 g. Sponge: 200 g of rye flour and 200 g of water. Soaker: 80 g of dry grain as 347.83 g of
/// wet grain, 350 g of water in all, so 82.17 g are poured, and 60 g of seeds. By hand with c at 20 °C:
/// (200 × 1.954 + 200 × 4.177) ÷ 400 = 3.065 and (347.83 × 3.64 + 82.17 × 4.177 + 60 × 1.94) ÷ 490 = 3.52.
#[test]
fn an_earlier_stage_comes_in_as_one_mixture() {
    let formula = formula(RICH);
    let batch = of_flour(&formula, 920.0, 0.02);
    let temperatures = Temperatures {
        grain: None,
        stages: vec![24.0, 18.0],
        ..mild(4.0)
    };
    let request = request(&batch, &temperatures, stated(&formula)).unwrap();
    assert!(request.grain.is_empty());
    let [sponge, soaker] = request.preferments.as_slice() else {
        panic!("two stages: {:?}", request.preferments);
    };
    let heat = |part: &Ingredient| match part.heat {
        Heat::Composition(composition) => specific_heat(&composition, 20.0),
        Heat::Specific(heat) => heat,
    };
    close(grams(sponge.mass), 400.0, 1e-6);
    close(sponge.celsius, 24.0, 0.0);
    close(heat(sponge), 3.065, 0.005);
    close(grams(soaker.mass), 490.0, 1e-6);
    close(soaker.celsius, 18.0, 0.0);
    close(heat(soaker), 3.52, 0.02);
    // 750 g of water, less 200 and 350 in the stages and 13.8 that 20 g of fresh yeast bring.
    close(grams(request.water), 186.2, 1e-6);
    let others: f64 = request.others.iter().map(|part| grams(part.mass)).sum();
    close(others, 80.0, 1e-6);
}

#[test]
fn a_formula_without_a_rise_is_calculated_without_mixing_heat() {
    let with = formula(PLAIN);
    let without = formula(&PLAIN.replace("mixing_rise = \"2.77K\"\n", ""));
    let warmth =
        |formula: &Formula| work_out(&of_flour(formula, 900.0, 0.01), &mild(4.0), stated(formula));
    let celsius = |warmth: &Warmth| match warmth.plan.as_ref().unwrap().water {
        Water::Tempered { celsius } => celsius,
        Water::WithIce { .. } => panic!("no ice is needed"),
    };
    assert!(warmth(&without).mixing.kelvin.is_none());
    // 13.2 kJ of mixing less are 7.0 K of 0.45 kg of water more: above the limit of 43 °C, just.
    assert!(matches!(
        warmth(&without).plan,
        Err(Refusal::TooHot(why)) if (why.needed_celsius.unwrap() - 43.5).abs() < 0.3
    ));
    assert!(celsius(&warmth(&with)) < 37.0);
}

#[test]
fn a_final_dough_without_water_is_refused() {
    let all_in_the_soaker = RICH
        .replace("water = \"35%\"", "water = \"55%\"")
        .replace("yeast = \"fresh\"", "yeast = \"instant\"");
    let formula = formula(&all_in_the_soaker);
    let batch = of_flour(&formula, 920.0, 0.0);
    let temperatures = Temperatures {
        grain: None,
        stages: vec![24.0, 18.0],
        ..mild(4.0)
    };
    assert!(matches!(
        work_out(&batch, &temperatures, stated(&formula)).plan,
        Err(Refusal::Other(problem)) if problem.to_string().contains("no water of its own")
    ));
}

#[test]
fn a_flour_is_known_by_the_words_of_its_name() {
    for (name, expected) in [
        ("bread flour", BREAD_FLOUR),
        ("Tipo 0", BREAD_FLOUR),
        ("Wholemeal", WHOLE_WHEAT_FLOUR),
        ("whole-wheat flour", WHOLE_WHEAT_FLOUR),
        ("wholegrain rye", MEDIUM_RYE_FLOUR),
        ("Rye 1150", MEDIUM_RYE_FLOUR),
        ("all-purpose flour", ALL_PURPOSE_FLOUR),
        ("plain", ALL_PURPOSE_FLOUR),
        ("Bryer's white", BREAD_FLOUR),
    ] {
        assert_eq!(flour_named(name), expected, "{name}");
    }
}

#[test]
fn a_pinch_of_ice_is_left_out() {
    let worth = |ice, tap| is_worth_weighing(from_grams(ice), from_grams(tap));
    assert!(worth(5.0, 400.0));
    assert!(!worth(4.9, 100.0));
    assert!(worth(100.0, 9_900.0));
    assert!(!worth(99.0, 9_901.0));
}

/// A dough that was mixed by a rise and comes out as warm as the balance says shows that very rise again.
#[test]
fn a_measured_dough_shows_by_how_much_mixing_warmed_it() {
    let formula = formula(RICH);
    let batch = of_flour(&formula, 900.0, 0.01);
    let temperatures = Temperatures {
        grain: None,
        ..mild(4.0)
    };
    let temperatures = Temperatures {
        stages: vec![20.0, 18.0],
        ..temperatures
    };
    for (rise, celsius) in [(0.5, 30.0), (4.0, 22.0), (9.0, 12.0)] {
        let mixing = learned(None, &[rise]);
        let water = Water::Tempered { celsius };
        let request = request(&batch, &temperatures, mixing).unwrap();
        let Outcome::Mixed { celsius: dough } = dough_temperature(&request, &water).unwrap() else {
            panic!("nothing is frozen");
        };
        let found = rise_measured(&batch, &temperatures, &water, dough).unwrap();
        // The rise of a request is that at its target, and specific heats move a little with the temperature.
        assert!((found - rise).abs() < 0.01, "{found} for {rise}");
    }
    let water = Water::Tempered { celsius: 25.0 };
    for (measured, words) in [(17.0, "colder than"), (44.0, "check the")] {
        let refused = rise_measured(&batch, &temperatures, &water, measured).unwrap_err();
        let said = format!("{refused} {}", refused.hints().join(" "));
        assert!(said.contains(words), "{said}");
    }
}

proptest! {
    /// The dough calculated with the water that was found is the one asked for.
    #[test]
    fn the_balance_closes(
        grain in prop_oneof![Just(-18.0), 0.0f64..30.0],
        flour in 10.0f64..32.0,
        sponge in 4.0f64..30.0,
        tap in 4.0f64..28.0,
        dough in 18.0f64..30.0,
    ) {
        let in_the_final_dough = RICH
            .replacen("stage = \"soaker\"", "", 1)
            .replace("water = \"35%\"", "water = \"5%\"");
        let formula = formula(&in_the_final_dough);
        let batch = of_flour(&formula, 920.0, 0.01);
        let asked = Temperatures {
            thaw: crate::dough::house::Thaw::default(),
            tap,
            room: None,
            flour,
            grain: Some(GrainTemperature::Even(grain)),
            stages: vec![sponge, sponge],
            dough,
        };
        let request = request(&batch, &asked, stated(&formula)).unwrap();
        let comes_out = |water: &Water| dough_temperature(&request, water).unwrap();
        match work_out(&batch, &asked, stated(&formula)).plan {
            Ok(plan) => {
                let found = comes_out(&plan.water);
                let Outcome::Mixed { celsius } = found else {
                    panic!("ice is left: {plan:?}");
                };
                prop_assert!((celsius - dough).abs() < 1e-6);
                if let Water::Tempered { celsius } = plan.water {
                    prop_assert!((tap..=YEAST_LIMIT_CELSIUS).contains(&celsius));
                }
            }
            // Water at the limit leaves it too cold.
            Err(Refusal::TooHot(_)) => match comes_out(&Water::Tempered { celsius: YEAST_LIMIT_CELSIUS }) {
                Outcome::Mixed { celsius } => prop_assert!(celsius < dough),
                Outcome::IceLeft => {}
            },
            Err(other) => panic!("{other:?}"),
        }
    }
}

#[test]
fn a_thermometer_read_wrong_moves_the_rise_by_as_much() {
    assert_eq!(rise_corrected(7.0, (27.0, 28.5)), Ok(8.5));
    assert_eq!(rise_corrected(7.0, (27.0, 20.0)), Ok(0.0));
    // Colder than without mixing, warmer than any mixer makes it, no dough at all.
    for celsius in [19.0, 41.0, 90.0] {
        assert!(rise_corrected(7.0, (27.0, celsius)).is_err(), "{celsius}");
    }
}
