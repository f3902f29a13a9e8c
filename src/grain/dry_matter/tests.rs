use super::*;
use crate::grain::moisture_test::{Method, MoistureTest, Sample};
use crate::grain::{Earlier, Form, Kind, Precision, TestResult, Within, estimate};
use crate::quantity::mass::exact::avoirdupois_pound;
use crate::quantity::mass::{from_grams, grams};
use crate::quantity::{DryBasis, DryFraction};
use proptest::prelude::*;
use uom::si::mass::{kilogram, ton};

fn wet_basis(value: f64) -> WetBasis {
    WetBasis::new(value).unwrap()
}

/// What a mass of one moisture weighs at another, its dry matter kept.
fn restated(wet: Mass, from: f64, to: f64) -> Mass {
    wet_for(dry_grain(wet, wet_basis(from)), wet_basis(to))
}

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found}, expected {expected}"
    );
}

/// 1000 kg at 25 % dried to 14 %: 872 kg (IRRI Rice Knowledge Bank, moisture content calculations).
#[test]
fn drying_leaves_the_published_mass() {
    let left = restated(Mass::new::<kilogram>(1000.0), 0.25, 0.14);
    close(left.get::<kilogram>(), 872.0, 0.5);
}

/// 25 % to 15.5 %: shrink 11.24 % of the start, 1.18 % per point (Karki, South Dakota State University
/// Extension 2019).
#[test]
fn shrink_is_as_published() {
    let shrink = 100.0 - grams(restated(from_grams(100.0), 0.25, 0.155));
    close(shrink, 11.24, 0.005);
    close(shrink / 9.5, 1.18, 0.005);
}

/// Oil of 6.0 % at 20 % moisture is 6.4, 6.5 and 7.5 % at 15, 13 and 0 % (Iowa State University
/// Extension, PM-1625).
#[test]
fn a_part_is_restated_at_another_moisture() {
    for (moisture, expected) in [(0.15, 6.4), (0.13, 6.5), (0.0, 7.5)] {
        let whole = grams(restated(from_grams(100.0), 0.20, moisture));
        close(6.0 / whole * 100.0, expected, 0.05);
    }
}

/// 16.8 lb of dry matter in feed of 28.5 % dry matter: 58.9 lb as fed (Penn State Extension).
#[test]
fn dry_matter_wanted_becomes_wet_mass() {
    let dry = Mass::new::<avoirdupois_pound>(16.8);
    let moisture = DryFraction::new(0.285).unwrap().to_wet_basis();
    close(
        wet_for(dry, moisture).get::<avoirdupois_pound>(),
        58.9,
        0.05,
    );
}

/// 2 t at 75 % restated at 15 %: 0.59 t (a feed laboratory's sheet on moisture conversion).
#[test]
fn wet_tonnes_become_dry_ones() {
    let left = restated(Mass::new::<ton>(2.0), 0.75, 0.15);
    close(left.get::<ton>(), 0.59, 0.005);
}

/// 6000 lb hold 2160 lb of dry matter at 36 % and 1800 lb at 30 % (a dairy extension article); 2160 lb
/// at 30 % take 7200 lb (arithmetic).
#[test]
fn a_load_holds_the_published_dry_matter() {
    let load = Mass::new::<avoirdupois_pound>(6000.0);
    let pounds = |mass: Mass| mass.get::<avoirdupois_pound>();
    close(pounds(dry_grain(load, wet_basis(0.64))), 2160.0, 0.5);
    close(pounds(dry_grain(load, wet_basis(0.70))), 1800.0, 0.5);
    let dry = Mass::new::<avoirdupois_pound>(2160.0);
    close(pounds(wet_for(dry, wet_basis(0.70))), 7200.0, 1e-9);
}

/// 12.7 % dry matter is 687.4 % moisture on dry basis; the drying rate breaks at 360 %, when 47 % of
/// the water is gone (Danilchenko et al. 2020, New Technologies 15(4):41–52).
#[test]
fn dry_basis_is_as_published() {
    let moisture = DryFraction::new(0.127).unwrap().to_wet_basis();
    close(moisture.to_dry_basis().unwrap().get() * 100.0, 687.4, 0.05);

    let wet = from_grams(1000.0);
    let before = DryBasis::new(6.874).unwrap().to_wet_basis();
    let after = DryBasis::new(3.60).unwrap().to_wet_basis();
    let dry = dry_grain(wet, before);
    let gone = wet - wet_for(dry, after);
    close(grams(gone) / grams(wet - dry), 0.476, 0.01);
}

/// 10.7 % on dry basis (Abdullah, Nawawi & Othman 2000, Journal of Stored Products Research 36) is
/// 9.666 % on wet basis (arithmetic).
#[test]
fn flour_that_grew_no_mould_on_wet_basis() {
    let moisture = DryBasis::new(0.107).unwrap().to_wet_basis();
    close(moisture.percent(), 9.666, 0.001);
}

/// Water has no dry basis (arithmetic): an error, not infinity.
#[test]
fn pure_water_has_no_dry_basis() {
    assert!(wet_basis(1.0).to_dry_basis().is_err());
}

/// 100 g of dry grain are 116.28 g of flour with 14 % moisture (arithmetic).
#[test]
fn dry_grain_counts_as_more_flour_when_flour_holds_water() {
    let dry = from_grams(100.0);
    close(grams(flour_equivalent(dry, wet_basis(0.0))), 100.0, 1e-9);
    let equivalent = flour_equivalent(dry, wet_basis(0.14));
    close(grams(equivalent), 116.279, 0.001);
    let wet = wet_for(dry, wet_basis(0.77));
    close(grams(carried_water(wet, equivalent)), 318.504, 0.001);
}

#[test]
fn dry_range_turns_the_moisture_range_over() {
    let found = dry_range(
        Milligrams::new(18_400_000),
        &estimate::estimate(
            &[],
            Earlier::default(),
            Form::Whole,
            Kind::Mashed,
            &Within::default(),
        ),
    );
    close(grams(found.best), 4048.0, 1e-6);
    assert!(found.low < found.best && found.best < found.high);
    close(grams(found.low + found.high) / 2.0, 4048.0, 1e-6);
}

/// The worked example of `docs/models/dry_matter.md`, every figure of it.
#[test]
fn the_worked_example_of_the_page_is_what_the_program_calculates() {
    let page = include_str!("../../../docs/models/dry_matter.md");
    let (_, example) = page.split_once("## Worked example").unwrap();
    let figure = |label: &str| {
        example
            .lines()
            .find_map(|line| line.strip_prefix(label)?.strip_prefix("  "))
            .unwrap_or_else(|| panic!("no line `{label}`"))
            .trim()
    };
    let sample = |label| Sample {
        first: figure(label).parse().unwrap(),
        second: None,
    };
    let readability = figure("readability").parse().unwrap();
    let test_of = |samples| {
        MoistureTest {
            method: Method::Oven,
            readability,
            samples,
            open: Vec::new(),
            laboratory: None,
        }
        .evaluate(Form::Whole, Kind::Mashed)
        .unwrap()
    };
    let samples = vec![sample("first weighing"), sample("second weighing")];
    let result = test_of(samples.clone());
    let precision = Precision::of(Form::Whole);
    let percent = |value: f64, digits: usize| format!("{:.digits$} %", value * 100.0);
    for (label, value) in [
        ("moisture, first sample", result.samples[0].get()),
        ("moisture, second sample", result.samples[1].get()),
        ("moisture, mean", result.moisture.value),
    ] {
        assert_eq!(figure(label), percent(value, 2), "{label}");
    }
    for (label, weighing) in [("balance, first sample", 0), ("balance, second sample", 1)] {
        let found = samples[weighing].balance_uncertainty(readability);
        assert_eq!(figure(label), percent(found, 4), "{label}");
    }
    let difference = result.samples[0].get() - result.samples[1].get();
    for (label, value) in [
        ("samples, s_x", difference / 2f64.sqrt()),
        ("repeatability, s_r", precision.repeatability_sd()),
        ("oven, s_L", precision.between_laboratories_sd()),
        ("repeatable part", result.repeatable.standard),
        ("standard uncertainty", result.moisture.standard),
    ] {
        assert_eq!(figure(label), percent(value, 4), "{label}");
    }
    assert_eq!(
        figure("degrees of freedom"),
        format!("{:.1}", result.moisture.freedom)
    );
    assert_eq!(
        figure("expanded, 95 %"),
        percent(result.moisture.expanded(), 2)
    );
    let found = estimate::estimate(
        std::slice::from_ref(&result),
        Earlier::default(),
        Form::Whole,
        Kind::Mashed,
        &Within::default(),
    );
    let wet: Milligrams = figure("wet grain").parse().unwrap();
    let range = dry_range(wet, &found);
    for (label, mass) in [
        ("dry grain", range.best),
        ("dry grain, low", range.low),
        ("dry grain, high", range.high),
    ] {
        assert_eq!(figure(label), format!("{:.0} g", grams(mass)), "{label}");
    }
    let alone = test_of(samples[..1].to_vec());
    assert_eq!(
        figure("first sample alone, 95 %"),
        percent(alone.moisture.expanded(), 2)
    );
    let lots: Vec<TestResult> = figure("earlier lots")
        .split(", ")
        .map(|lot| {
            let left = 100.0 - lot.parse::<f64>().unwrap();
            let first = format!("0g,100g,{left:.1}g").parse().unwrap();
            test_of(vec![Sample {
                first,
                second: None,
            }])
        })
        .collect();
    let next = estimate::estimate(
        &[],
        Earlier {
            own: &lots,
            others: &[],
        },
        Form::Whole,
        Kind::Mashed,
        &Within::default(),
    );
    assert_eq!(figure("next lot"), percent(next.moisture.value, 2));
    assert_eq!(
        figure("next lot, expanded, 95 %"),
        percent(next.moisture.expanded(), 2)
    );
}

proptest! {
    /// `1 − (100−Mo)/(100−Mf) = (Mo−Mf)/(100−Mf)`: the shrink of South Dakota State University
    /// Extension 2019 is that of North Dakota State University Extension 2009.
    #[test]
    fn both_published_shrink_equations_agree(from in 0.0f64..0.999, share in 0.0f64..1.0) {
        let to = from * share;
        let shrink = 1.0 - grams(restated(from_grams(1.0), from, to));
        prop_assert!((shrink - (from - to) / (1.0 - to)).abs() < 1e-12);
    }

    #[test]
    fn wet_and_dry_mass_go_there_and_back(wet in 1.0f64..1e6, moisture in 0.0f64..0.999) {
        let back = wet_for(dry_grain(from_grams(wet), wet_basis(moisture)), wet_basis(moisture));
        prop_assert!((grams(back) / wet - 1.0).abs() < 1e-12);
    }
}
