//! The worked examples of `docs/models/dough_temperature.md`.

use super::*;
use crate::dough::temperature::balance::Balance;
use crate::heat::properties::{ALL_PURPOSE_FLOUR, MEDIUM_RYE_FLOUR, WHOLE_WHEAT_FLOUR};
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Temperature, bounds};

const PAGE: &str = include_str!("../../../../docs/models/dough_temperature.md");

/// The figures of a `label  value` block under a heading of the page.
fn figures(heading: &str) -> impl Fn(&str) -> String {
    let (_, section) = PAGE.split_once(&format!("## {heading}\n")).unwrap();
    let section = section.split("\n## ").next().unwrap().to_owned();
    move |label| {
        section
            .lines()
            .find_map(|line| line.strip_prefix(label)?.strip_prefix("  "))
            .unwrap_or_else(|| panic!("no line `{label}`"))
            .trim()
            .to_owned()
    }
}

fn number(text: &str, unit: &str) -> f64 {
    text.strip_suffix(unit).unwrap().trim().parse().unwrap()
}

fn request_of(figure: &dyn Fn(&str) -> String) -> Request {
    let mass = |label| figure(label).parse::<Milligrams>().unwrap().mass();
    let celsius = |label| {
        figure(label)
            .parse::<Temperature>()
            .unwrap()
            .degrees_celsius()
    };
    let moisture: Percent = figure("moisture").parse().unwrap();
    Request {
        thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
        flour: vec![Ingredient {
            mass: mass("bread flour"),
            celsius: celsius("flour and room"),
            heat: Heat::Composition(BREAD_FLOUR),
        }],
        grain: vec![Grain {
            mass: mass("wet grain"),
            celsius: celsius("grain"),
            moisture: basis(moisture.within(&bounds::MOISTURE).unwrap()),
        }],
        water: mass("water"),
        tap_celsius: celsius("tap"),
        target_celsius: celsius("dough wanted"),
        mixing_heat: MixingHeat::PerDough(number(&figure("mixing heat"), "kJ/kg")),
        room_celsius: Some(celsius("flour and room")),
        ..plain_dough()
    }
}

fn in_celsius(celsius: f64) -> String {
    format!("{celsius:.1} °C")
}

fn in_kilojoules(heat: f64) -> String {
    format!("{heat:.1} kJ")
}

#[test]
fn the_worked_example_of_the_page_is_what_the_program_calculates() {
    let figure = figures("Worked example");
    let request = request_of(&figure);
    let balance = Balance::of(&request);
    let target = request.target_celsius;
    let by_rule = water_temperature(&request).unwrap().factor_rule.unwrap();
    let changed = |change: &dyn Fn(&mut Request)| {
        let mut other = request.clone();
        change(&mut other);
        in_celsius(tempered(&other))
    };
    for (label, expected) in [
        (
            "heat to flour",
            in_kilojoules(balance.bodies[0].taken(target)),
        ),
        (
            "heat to grain",
            in_kilojoules(balance.taken_by_grain(target)),
        ),
        ("heat of mixing", in_kilojoules(balance.given)),
        ("water at", in_celsius(tempered(&request))),
        ("three factors", in_celsius(by_rule.celsius.unwrap())),
        (
            "friction factor",
            format!("{:.1} K", by_rule.friction_kelvin),
        ),
        ("grain's part", format!("{:.1} K", by_rule.grain_kelvin)),
        (
            "flour of 1.80",
            changed(&|r| r.flour[0].heat = Heat::Specific(1.80)),
        ),
        (
            "moisture of 79 %",
            changed(&|r| r.grain[0].moisture = basis(r.grain[0].moisture.get() + 0.02)),
        ),
        ("grain 1 K warmer", changed(&|r| r.grain[0].celsius += 1.0)),
        ("flour 1 K warmer", changed(&|r| r.flour[0].celsius += 1.0)),
        (
            "mixing + 1 kJ/kg",
            changed(&|r| {
                let MixingHeat::PerDough(heat) = r.mixing_heat else {
                    panic!("a rise")
                };
                r.mixing_heat = MixingHeat::PerDough(heat + 1.0);
            }),
        ),
    ] {
        assert_eq!(figure(label), expected, "{label}");
    }
}

#[test]
fn the_refusal_of_the_page_is_what_the_program_calculates() {
    let figure = figures("Worked example of a refusal");
    let request = request_of(&figure);
    let refusal = too_hot(&request);
    let thaw = refusal.thaw.unwrap();
    for (label, expected) in [
        (
            "heat to grain",
            in_kilojoules(Balance::of(&request).taken_by_grain(request.target_celsius)),
        ),
        ("water at", in_celsius(refusal.needed_celsius.unwrap())),
        ("limit", in_celsius(refusal.limit_celsius)),
        ("ice in the grain", format!("{:.0} g", grams(thaw.ice))),
        (
            "grain at least",
            in_celsius(refusal.grain_at_least_celsius.unwrap()),
        ),
    ] {
        assert_eq!(figure(label), expected, "{label}");
    }
}

#[test]
fn the_ice_of_the_page_is_what_the_program_calculates() {
    let figure = figures("Worked example with ice");
    let request = request_of(&figure);
    let (ice, tap_water, chilled) = ice(&request);
    for (label, expected) in [
        ("ice", format!("{:.0} g", grams(ice))),
        ("tap water", format!("{:.0} g", grams(tap_water))),
        ("or water at", in_celsius(chilled.unwrap())),
    ] {
        assert_eq!(figure(label), expected, "{label}");
    }
}

/// The page's tables hold the constants of the code.
#[test]
fn the_tables_of_the_page_are_those_of_the_code() {
    let pure = |part: usize| {
        let mut fractions = [0.0; 6];
        fractions[part] = 1.0;
        Composition::new(fractions).unwrap().curve()
    };
    let curves = [
        ("water", pure(0)),
        ("protein", pure(1)),
        ("fat", pure(2)),
        ("carbohydrate", pure(3)),
        ("fibre", pure(4)),
        ("ash", pure(5)),
        ("ice", crate::heat::properties::ICE),
    ];
    for (name, curve) in curves {
        let printed: Vec<f64> = row(name).iter().map(|cell| cell.parse().unwrap()).collect();
        assert_eq!(printed, curve.0, "{name}");
    }
    for (name, flour) in [
        ("all-purpose flour", ALL_PURPOSE_FLOUR),
        ("bread flour", BREAD_FLOUR),
        ("whole-wheat flour", WHOLE_WHEAT_FLOUR),
        ("medium rye flour", MEDIUM_RYE_FLOUR),
        ("dry grain", wet_grain(basis(0.0))),
    ] {
        let cells = row(name);
        let printed: Vec<f64> = cells[1..7]
            .iter()
            .map(|cell| cell.parse().unwrap())
            .collect();
        let mut fractions = [0.0; 6];
        for (fraction, percent) in fractions.iter_mut().zip(&printed) {
            *fraction = percent / 100.0;
        }
        assert_eq!(flour, Composition::new(fractions).unwrap(), "{name}");
        close(
            cells[7].parse().unwrap(),
            specific_heat(&flour, 20.0),
            0.0005,
        );
    }
}

/// The cells of the table row that begins with `name`.
fn row(name: &str) -> Vec<&'static str> {
    let line = PAGE
        .lines()
        .find_map(|line| line.strip_prefix(&format!("| {name} | ")))
        .unwrap_or_else(|| panic!("no row `{name}`"));
    line.trim_end_matches('|')
        .split('|')
        .map(str::trim)
        .collect()
}
