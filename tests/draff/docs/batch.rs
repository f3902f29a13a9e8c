//! `docs/models/batch.md`: the worked examples.

use super::{read, split};
use draffbook::dough::batch::{Batch, BatchRequest, Size, work_out};
use draffbook::dough::formula::from_masses::{Masses, mass_in_grams};
use draffbook::dough::formula::{Formula, IngredientKind};
use draffbook::dough::thirst::ThirstRule;
use draffbook::grain::Form;
use draffbook::quantity::fraction::Percent;
use draffbook::quantity::mass::grams;
use draffbook::quantity::{Milligrams, Uncertain, WetBasis, bounds};

const PAGE: &str = "models/batch.md";

/// The part of the page below a heading.
fn section(heading: &str) -> String {
    let page = format!("{}\n## ", read(PAGE));
    let (_, section, _) = split(&page, &format!("## {heading}\n"), "\n## ");
    section.to_owned()
}

/// The figure after a label.
fn figure(section: &str, label: &str) -> String {
    section
        .lines()
        .find_map(|line| line.strip_prefix(label)?.strip_prefix("  "))
        .unwrap_or_else(|| panic!("no line `{label}`"))
        .trim()
        .to_owned()
}

fn percent(section: &str, label: &str, bounds: &bounds::Bounds) -> f64 {
    let typed: Percent = figure(section, label).parse().unwrap();
    typed.within(bounds).unwrap()
}

fn exact(batch: &Batch, stage: usize, name: &str) -> f64 {
    let line = batch.stages[stage]
        .lines
        .iter()
        .find(|line| line.name == name);
    grams(line.unwrap().exact)
}

#[test]
fn the_worked_example_is_what_the_program_calculates() {
    let page = section("Worked example");
    let (_, toml, _) = split(&page, "```toml", "```");
    let formula = Formula::from_text(toml).unwrap();
    let flour: Milligrams = figure(&page, "flour").parse().unwrap();
    let batch = work_out(&BatchRequest {
        formula: &formula,
        size: Size::Flour(flour.mass()),
        share: formula.grain.wanted,
        moisture: Uncertain::known(
            percent(&page, "moisture", &bounds::MOISTURE),
            percent(&page, "moisture, sd", &bounds::MOISTURE_SD),
        ),
        thirst: ThirstRule::Published.in_dough(&formula, []),
        scale: Milligrams::new(1),
        fine_scale: Milligrams::new(1),
    })
    .unwrap();
    let sum = &batch.hold_back;
    for (label, found) in [
        ("total flour", grams(sum.total_flour)),
        ("sponge: bread flour", exact(&batch, 0, "bread flour")),
        ("sponge: water", exact(&batch, 0, "water")),
        ("final: sponge", exact(&batch, 1, "sponge")),
        ("final: wet grain", exact(&batch, 1, "wet grain")),
        ("final: bread flour", exact(&batch, 1, "bread flour")),
        ("final: wholemeal", exact(&batch, 1, "wholemeal")),
        ("final: salt", exact(&batch, 1, "salt")),
        ("final: fresh yeast", exact(&batch, 1, "fresh yeast")),
        ("carried water", grams(sum.carried_water)),
        ("total water", grams(sum.total_water)),
        ("water to add", grams(sum.add_water)),
        ("pour first", grams(sum.pour_first)),
        ("hold back", grams(sum.keep_back)),
        ("of it for thirst", grams(sum.keep_back_thirst)),
        ("mixed dough", grams(batch.dough)),
        ("reaches the tins", grams(batch.divided)),
        ("bread", grams(batch.baked)),
    ] {
        assert_eq!(figure(&page, label), format!("{found:.1} g"), "{label}");
    }
}

#[test]
fn the_worked_example_from_masses_is_what_the_program_calculates() {
    let page = section("Worked example from masses");
    let mass = |typed: &str| typed.parse::<Milligrams>().unwrap();
    let moisture = percent(&page, "moisture", &bounds::MOISTURE);
    let masses = Masses {
        name: "on paper".into(),
        grain: mass("400g"),
        moisture: WetBasis::new(moisture).unwrap(),
        form: Form::Whole,
        flours: vec![("bread flour".into(), mass("900g"))],
        water: mass("380g"),
        ingredients: vec![("salt".into(), IngredientKind::Salt, mass("20g"))],
        preferments: Vec::new(),
        pieces: None,
        whole_dough: [None, None, None, None],
        steps: Vec::new(),
    };
    for typed in [
        "400 g of wet grain",
        "900 g of bread flour",
        "380 g of water",
        "20 g of salt",
    ] {
        assert!(page.contains(typed), "{typed}");
    }
    let text = masses.to_text(&mass_in_grams).unwrap();
    let formula = Formula::from_text(&text).unwrap();
    assert!(
        text.contains("total flour, 1000 g, of which 100 g is dry grain"),
        "{text}"
    );
    assert_eq!(figure(&page, "total flour"), "1000.0 g");
    assert_eq!(figure(&page, "dry grain"), "100.0 g");
    for (label, found) in [
        ("hydration", format!("{:.1} %", formula.hydration * 100.0)),
        ("grain", format!("{:.1} %", formula.grain.wanted * 100.0)),
        (
            "salt",
            format!("{:.2} %", formula.ingredients[0].share * 100.0),
        ),
    ] {
        assert_eq!(figure(&page, label), found, "{label}");
    }
}
