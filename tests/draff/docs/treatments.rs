//! `docs/models/treatments.md`: the forms and the worked example.

use super::{read, rows, split};
use draffbook::grain::drying::{latent_heat, least_heat, removal};
use draffbook::grain::{Form, Step, Treatment};
use draffbook::quantity::{Milligrams, Uncertain, WetBasis};
use uom::si::available_energy::kilojoule_per_kilogram;
use uom::si::energy::megajoule;

const PAGE: &str = "models/treatments.md";

fn number(page: &str, label: &str) -> f64 {
    let line = page.lines().find_map(|line| line.strip_prefix(label));
    let text = line.unwrap_or_else(|| panic!("no line `{label}`")).trim();
    text.split(' ').next().unwrap().parse().unwrap()
}

#[test]
fn the_worked_example_is_what_the_program_calculates() {
    let text = read(PAGE);
    let (_, page, _) = split(&text, "## Worked example", "The liquor and");
    let percent = |label: &str| number(page, label) / 100.0;
    let kilograms = |label: &str| Milligrams::new((number(page, label) * 1e6).round() as i64);
    let treatment = Treatment {
        step: Step::Press,
        wet_in: kilograms("wet grain, w"),
        wet_out: kilograms("product, p"),
        water: Milligrams::ZERO,
        left: Milligrams::ZERO,
        dry_loss: Milligrams::new((number(page, "dry grain lost, λ") * 1e3) as i64),
    };
    let before = Uncertain::known(
        percent("moisture before, m "),
        percent("its standard uncertainty"),
    );
    let after = treatment.moisture(&before);
    let near = |found: f64, label: &str, half_digit: f64| {
        let expected = number(page, label);
        assert!((found - expected).abs() <= half_digit, "{label}: {found}");
    };
    near(after.value * 100.0, "moisture of the product, m′", 0.005);
    // The second line of that name is the product's.
    let (_, below, _) = split(page, "moisture of the product, m′", "pressed on to");
    let standard = number(below, "its standard uncertainty");
    assert!((after.standard * 100.0 - standard).abs() <= 0.005);
    let water = |label: &str| {
        let to = WetBasis::new(percent(label)).unwrap();
        removal(treatment.wet_out.mass(), &after, to).unwrap().water
    };
    near(water("pressed on to").grams().0, "liquor to run off", 0.5);
    let dried = water("dried to");
    near(dried.grams().0, "water to dry off", 0.5);
    let heat = least_heat(dried.best, 60.0).get::<megajoule>();
    near(heat, "least heat at 60 °C", 0.005);
}

#[test]
fn the_steps_make_the_forms_of_the_page() {
    let text = read(PAGE);
    let (_, table, _) = split(&text, "## Forms", "Drained, soaked");
    let described = rows(table);
    assert_eq!(described.len(), Step::ALL.len());
    for row in described {
        let step: Step = row[0].parse().unwrap();
        for form in Form::ALL {
            let taken = row[1] == "any" || row[1].split(", ").any(|word| word == form.as_str());
            assert_eq!(step.form(form).is_ok(), taken, "{step} {form}");
        }
    }
}

#[test]
fn the_latent_heat_of_the_page_is_that_of_the_program() {
    let text = read(PAGE);
    assert!(text.contains("2501.0106 − 2.38777 t + 8.30156·10⁻⁴ t² − 1.41158·10⁻⁵ t³"));
    for t in [0.0_f64, 25.0, 60.0, 100.0] {
        let page = 2501.0106 - 2.387_77 * t + 8.301_56e-4 * t * t - 1.411_58e-5 * t * t * t;
        let found = latent_heat(t).get::<kilojoule_per_kilogram>();
        assert!((found - page).abs() < 0.001, "{t}: {found} {page}");
    }
}
