//! Cups, spoons and published densities.

use super::*;
use crate::dough::batch::LineKind;
use crate::dough::formula::{IngredientKind, Yeast};
use crate::quantity::mass::{from_grams, grams};
use proptest::prelude::*;
use uom::si::volume::{cubic_inch, liter};

const FLOUR: LineKind = LineKind::Flour;
const SEEDS: LineKind = LineKind::Ingredient(IngredientKind::Seeds);
const FAT: LineKind = LineKind::Ingredient(IngredientKind::Fat);
const SWEET: LineKind = LineKind::Ingredient(IngredientKind::Sweetener);
const SALT: LineKind = LineKind::Ingredient(IngredientKind::Salt);

fn of(name: &str, what: LineKind) -> &'static Density {
    density(name, what).unwrap_or_else(|| panic!("{name} has a density"))
}

fn measured(mass: f64, name: &str, what: LineKind, set: MeasureSet) -> String {
    nearest(from_grams(mass), of(name, what), set)
        .unwrap()
        .to_string()
}

/// The US gallon is 231 cubic inches, an inch 2.54 cm exactly (NIST Special Publication 811, Appendix B); it
/// has 16 cups, a cup 16 tablespoons, a tablespoon 3 teaspoons (common practice, no source).
#[test]
fn us_measures_are_parts_of_the_gallon() {
    let inch = 2.54_f64;
    let cup = 231.0 * inch.powi(3) / 16.0;
    for (vessel, wanted) in [
        (Vessel::Cup, cup),
        (Vessel::Tablespoon, cup / 16.0),
        (Vessel::Teaspoon, cup / 48.0),
    ] {
        let found = MeasureSet::UsCup.volume(vessel).get::<milliliter>();
        assert!((found / wanted - 1.0).abs() < 1e-15, "{found} {wanted}");
    }
    let gallon = MeasureSet::UsCup.volume(Vessel::Cup) * 16.0;
    assert!((gallon.get::<cubic_inch>() / 231.0 - 1.0).abs() < 1e-6);
}

/// Common practice, no source: a metric cup is a quarter litre, a US cup half a US liquid pint, which is an
/// eighth of a gallon.
#[test]
fn cups_are_what_recipes_take_them_for() {
    let metric = MeasureSet::MetricCup.volume(Vessel::Cup).get::<liter>();
    assert!((metric - 0.25).abs() < 1e-15);
    let pint = 231.0 * 2.54_f64.powi(3) / 8.0;
    let us = MeasureSet::UsCup.volume(Vessel::Cup).get::<milliliter>();
    assert!((us - pint / 2.0).abs() < 1e-12);
}

/// USDA SR28, NDB 20081: a cup of all-purpose flour weighs 125 g. A metric cup holds 250 ÷ 236.5882365 of
/// that, 132.1 g (arithmetic).
#[test]
fn a_cup_of_flour() {
    let flour = of("all-purpose flour", FLOUR);
    let cup = |set: MeasureSet| grams(flour.mass_density() * set.volume(Vessel::Cup));
    assert!((cup(MeasureSet::UsCup) - 125.0).abs() < 1e-9);
    assert!((cup(MeasureSet::MetricCup) - 132.1).abs() < 0.05);
    assert_eq!(
        measured(125.0, "plain flour", FLOUR, MeasureSet::UsCup),
        "1 cup"
    );
    assert_eq!(
        measured(132.1, "plain flour", FLOUR, MeasureSet::MetricCup),
        "1 cup"
    );
}

/// Where the database has a second measure of the same food, the two agree within its rounding and filling.
#[test]
fn cups_and_spoons_of_the_source_agree() {
    for (name, what, vessel, published, within) in [
        ("salt", SALT, Vessel::Teaspoon, 6.0, 0.02),
        ("salt", SALT, Vessel::Tablespoon, 18.0, 0.02),
        ("sugar, granulated", SWEET, Vessel::Teaspoon, 4.2, 0.02),
        ("honey", SWEET, Vessel::Tablespoon, 21.0, 0.02),
        ("olive oil", FAT, Vessel::Tablespoon, 13.5, 0.01),
        ("flax seed", SEEDS, Vessel::Tablespoon, 10.3, 0.025),
        ("sesame", SEEDS, Vessel::Tablespoon, 9.0, 0.01),
        (
            "dry",
            LineKind::Ingredient(IngredientKind::Yeast(Yeast::ActiveDry)),
            Vessel::Tablespoon,
            12.0,
            1e-9,
        ),
    ] {
        let found = grams(of(name, what).mass_density() * MeasureSet::UsCup.volume(vessel));
        assert!((found / published - 1.0).abs() < within, "{name}: {found}");
    }
}

/// Grams worked out by hand from 125 g in a US cup: 7.8125 g in a tablespoon, 2.604 g in a teaspoon.
#[test]
fn the_words_of_a_measure() {
    for (mass, words) in [
        (593.75, "4 3/4 cups"),
        (41.667, "1/3 cup"),
        (83.333, "2/3 cup"),
        (31.25, "1/4 cup"),
        (62.5, "1/2 cup"),
        (140.625, "1 cup + 2 tbsp"),
        (132.8125, "1 cup + 1 tbsp"),
        (136.72, "1 cup + 1 1/2 tbsp"),
        (23.4375, "3 tbsp"),
        (11.72, "1 1/2 tbsp"),
        (9.115, "1 tbsp + 1/2 tsp"),
        (7.8125, "1 tbsp"),
        (7.75, "1 tbsp"),
        (7.55, "1 tbsp"),
        (7.4, "2 3/4 tsp"),
        (5.208, "2 tsp"),
        (3.906, "1 1/2 tsp"),
        (1.953, "3/4 tsp"),
        (0.651, "1/4 tsp"),
        (30.9, "1/4 cup"),
    ] {
        let found = measured(mass, "plain flour", FLOUR, MeasureSet::UsCup);
        assert_eq!(found, words, "{mass} g");
    }
}

/// In the metric set a cup is 16 2/3 tablespoons: 280 mL of water, of 1.0017 g/mL, is 250 + 2 × 15.
#[test]
fn metric_spoons_are_of_15_and_5_millilitres() {
    assert_eq!(
        measured(280.5, "water", LineKind::Water, MeasureSet::MetricCup),
        "1 cup + 2 tbsp"
    );
    assert_eq!(
        measured(20.03, "water", LineKind::HeldBack, MeasureSet::MetricCup),
        "1 tbsp + 1 tsp"
    );
}

#[test]
fn what_no_spoon_holds_has_no_measure() {
    let flour = of("plain flour", FLOUR);
    let at = |mass| nearest(from_grams(mass), flour, MeasureSet::UsCup);
    assert_eq!(at(0.0), None);
    assert_eq!(at(0.3), None, "less than an eighth of a teaspoon of 2.6 g");
    let far = at(0.5).unwrap();
    assert_eq!(far.to_string(), "1/4 tsp");
    assert!((far.relative_error - (0.651_04 / 0.5 - 1.0)).abs() < 1e-4);
}

#[test]
fn names_are_read_by_their_words() {
    for (name, what, ndb) in [
        ("Strong white bread flour", FLOUR, "20083"),
        ("All-Purpose", FLOUR, "20081"),
        ("strong wholemeal bread flour", FLOUR, "20080"),
        ("dark rye", FLOUR, "20063"),
        ("rye flour, medium", FLOUR, "20064"),
        ("light rye", FLOUR, "20065"),
        ("barley flour", FLOUR, "20130"),
        ("malted barley flour", FLOUR, "20131"),
        ("salt", SALT, "02047"),
        ("sunflower seeds", SEEDS, "12036"),
        ("linseed", SEEDS, "12220"),
        ("sesame seeds", SEEDS, "12023"),
        ("rapeseed oil", FAT, "04582"),
        ("sunflower oil", FAT, "04060"),
        ("vegetable oil", FAT, "04044"),
        ("oil", FAT, "04044"),
        ("sugar", SWEET, "19335"),
        ("molasses", SWEET, "19304"),
        ("malt syrup", SWEET, "19352"),
    ] {
        assert_eq!(of(name, what).ndb, ndb, "{name}");
    }
}

#[test]
fn what_is_not_published_or_not_plain_stays_a_weight() {
    let yeast = |kind| LineKind::Ingredient(IngredientKind::Yeast(kind));
    for (name, what) in [
        ("wet grain", LineKind::Grain),
        ("bread flour", LineKind::Grain),
        ("sponge", LineKind::Stage),
        ("yeast", yeast(Yeast::Instant)),
        ("yeast", yeast(Yeast::Fresh)),
        ("coarse salt", SALT),
        ("sea salt flakes", SALT),
        ("flour", FLOUR),
        ("rye flour", FLOUR),
        ("wholegrain spelt", FLOUR),
        ("gluten-free plain flour", FLOUR),
        ("mixed seeds: sunflower, linseed", SEEDS),
        ("ground flaxseed", SEEDS),
        ("toasted sesame oil", FAT),
        ("butter", FAT),
        ("brown sugar", SWEET),
        ("icing sugar", SWEET),
        ("salt", LineKind::Ingredient(IngredientKind::Other)),
    ] {
        assert_eq!(density(name, what), None, "{name}");
    }
}

proptest! {
    /// The measure's own words, read back, hold the mass within the error that is stated; and only parts
    /// that a set of measures has are used.
    #[test]
    fn a_measure_holds_the_mass_within_its_stated_error(
        milligrams in 2_000_u32..100_000_000, row in 0..DENSITIES.len(), us in any::<bool>(),
    ) {
        let set = if us { MeasureSet::UsCup } else { MeasureSet::MetricCup };
        let mass = f64::from(milligrams) / 1000.0;
        let density = &DENSITIES[row];
        let measure = nearest(from_grams(mass), density, set).unwrap();
        let mut millilitres = 0.0;
        let words = measure.to_string();
        for part in words.split(" + ") {
            let (number, unit) = part.rsplit_once(' ').unwrap();
            let vessel = match unit {
                "cup" | "cups" => Vessel::Cup,
                "tbsp" => Vessel::Tablespoon,
                "tsp" => Vessel::Teaspoon,
                other => panic!("{other} is no vessel"),
            };
            let count: f64 = number
                .split(' ')
                .map(|one| match one.split_once('/') {
                    Some((top, bottom)) => {
                        top.parse::<f64>().unwrap() / bottom.parse::<f64>().unwrap()
                    }
                    None => one.parse().unwrap(),
                })
                .sum();
            millilitres += count * set.volume(vessel).get::<milliliter>();
        }
        prop_assert!((measure.volume(set).get::<milliliter>() / millilitres - 1.0).abs() < 1e-9);
        let held = millilitres * density.grams_per_ml();
        prop_assert!((held / mass - 1.0 - measure.relative_error).abs() < 1e-9, "{words}");
        // Half the smallest part of a teaspoon, or half of half a tablespoon beside a quarter cup and one.
        let teaspoon = set.volume(Vessel::Teaspoon).get::<milliliter>() * density.grams_per_ml();
        let bound = if mass >= 2.0 * teaspoon { 0.07 } else { 0.125 * teaspoon / mass + 1e-9 };
        prop_assert!(measure.relative_error.abs() <= bound, "{words} of {mass} g: {}", measure.relative_error);
        for filled in [Some(measure.first), measure.second].into_iter().flatten() {
            prop_assert!(filled.vessel.parts().contains(&(filled.twelfths % TWELFTHS)));
        }
    }
}
