use super::*;
use crate::dough::batch::{Batch, BatchRequest, LineKind, Size, work_out};
use crate::dough::thirst::ThirstRule;
use crate::quantity::mass::{from_grams, grams as in_grams};
use crate::quantity::{Milligrams, Uncertain};

fn grams(value: f64) -> Milligrams {
    Milligrams::nearest(from_grams(value))
}

/// Invented: a loaf with a sponge of the same flour and the same yeast as its final dough, and rye in the
/// final dough only.
fn ferry_loaf(moisture: f64, grain: f64) -> Masses {
    Masses {
        name: "ferry loaf".into(),
        grain: grams(grain),
        moisture: WetBasis::new(moisture).unwrap(),
        form: Form::Whole,
        flours: vec![
            ("bread flour".into(), grams(520.0)),
            ("rye flour".into(), grams(130.0)),
        ],
        water: grams(90.0),
        ingredients: vec![
            ("salt".into(), IngredientKind::Salt, grams(19.0)),
            (
                "fresh yeast".into(),
                IngredientKind::Yeast(Yeast::Fresh),
                grams(9.0),
            ),
            ("rapeseed oil".into(), IngredientKind::Fat, grams(23.0)),
        ],
        preferments: vec![PrefermentMasses {
            name: "sponge".into(),
            flour: ("bread flour".into(), grams(250.0)),
            water: grams(240.0),
            yeast: Some((Yeast::Fresh, grams(1.5))),
            ripens: "14h".into(),
        }],
        pieces: Some(2),
        whole_dough: [None, None, None, Some("11%".into())],
        steps: vec![StepOnPaper {
            kind: "bake".into(),
            takes: "38min".into(),
            temperature: Some("215C".into()),
        }],
    }
}

/// The batch of the printed formula with the same flour from the bag and grain of the same moisture.
fn back(masses: &Masses, flour: f64) -> (Formula, Batch) {
    let formula = Formula::from_text(&masses.to_text(&mass_in_grams).unwrap()).unwrap();
    let batch = work_out(&BatchRequest {
        formula: &formula,
        size: Size::Flour(from_grams(flour)),
        share: formula.grain.wanted,
        moisture: Uncertain::known(masses.moisture.get(), 0.0),
        thirst: None,
        scale: Milligrams::new(1),
        fine_scale: Milligrams::new(1),
    })
    .unwrap();
    (formula, batch)
}

/// Whoever has several mixers takes the mark out.
#[test]
fn the_mixer_stands_in_the_file_to_be_filled_in() {
    let text = ferry_loaf(0.78, 400.0).to_text(&mass_in_grams).unwrap();
    assert_eq!(Formula::from_text(&text).unwrap().mixer, None);
    let named = text.replacen("# mixer = ", "mixer = ", 1);
    let formula = Formula::from_text(&named).unwrap();
    assert_eq!(formula.mixer.as_deref(), Some("spiral"));
}

/// What is on paper was found with the grain in it: its thirst asks for no more water, and all of it for a wetter one.
#[test]
fn the_water_on_paper_holds_what_the_grain_drinks() {
    let masses = ferry_loaf(0.78, 400.0);
    let (formula, _) = back(&masses, 900.0);
    let thirst = ThirstRule::default()
        .in_dough(&formula, [Form::Whole])
        .unwrap();
    let total = from_grams(988.0);
    let water = thirst.water(from_grams(88.0), total);
    // The share in the file is rounded: 0.02 % of 8.9 % of 988 g, four tenths of a gram at most for each gram.
    assert!(in_grams(water.likely).abs() < 0.02, "{water:?}");
    let other = ThirstRule::default().in_dough(&formula, [Form::Pressed]);
    assert_eq!(other.unwrap().found_with, 0.0);
}

fn exact(batch: &Batch, stage: &str, name: &str) -> f64 {
    let stage = batch.stages.iter().find(|one| one.name == stage).unwrap();
    let line = stage.lines.iter().find(|one| one.name == name);
    in_grams(line.unwrap_or_else(|| panic!("no {name}")).exact)
}

/// Common practice, no source: dry grain counts in total flour; flour, water and yeast that appear in two
/// stages are summed.
///
/// By hand. Flour from the bag 520 + 130 + 250 = 900 g. Poured 90 + 240 = 330 g; 10.5 g of fresh yeast bring
/// 0.69 × 10.5 = 7.245 g.
/// 400 g at 75 %: 100 g dry, 300 g water: total flour 1000 g, water 330 + 300 + 7.245 = 637.245 g, 63.7245 %.
/// 400 g at 78 %: 88 g dry, 312 g water: total flour 988 g, water 649.245 g, 65.7131 %; grain 8.9069 %.
/// 400 g at 80 %: 80 g dry, 320 g water: total flour 980 g, water 657.245 g, 67.0658 %; grain 8.1633 %.
#[test]
fn masses_become_percentages_at_three_moistures() {
    for (moisture, dry, carried) in [
        (0.75, 100.0, 300.0),
        (0.78, 88.0, 312.0),
        (0.80, 80.0, 320.0),
    ] {
        let total = 520.0 + 130.0 + 250.0 + dry;
        let water = 90.0 + 240.0 + carried + 0.69 * (9.0 + 1.5);
        let (formula, _) = back(&ferry_loaf(moisture, 400.0), 900.0);
        let near = |found: f64, expected: f64, what: &str| {
            let off = (found / expected - 1.0).abs();
            assert!(off < 0.0005, "{moisture}, {what}: {found}, not {expected}");
        };
        near(formula.hydration, water / total, "hydration");
        near(formula.grain.wanted, dry / total, "grain");
        near(formula.flours[0].share, 770.0 / total, "bread flour");
        near(formula.flours[1].share, 130.0 / total, "rye flour");
        near(
            formula.stages[0].flour,
            250.0 / total,
            "flour of the sponge",
        );
        near(
            formula.stages[0].water,
            (240.0 + 0.69 * 1.5) / total,
            "water of the sponge",
        );
        let yeast: f64 = formula
            .ingredients
            .iter()
            .filter(|one| one.kind == IngredientKind::Yeast(Yeast::Fresh))
            .map(|one| one.share)
            .sum();
        near(yeast, 10.5 / total, "yeast of both stages");
        assert_eq!(formula.pieces, Some(2));
        // 900 + 330 + 400 + 19 + 10.5 + 23 = 1682.5 g in two pieces.
        near(formula.piece.unwrap().grams(), 841.25, "piece");
    }
}

/// What the hand sum above says in percent, so that a slip in the test's own sum shows too.
#[test]
fn the_printed_hydration_is_that_of_the_hand_sum() {
    for (moisture, hydration, grain) in [
        (0.75, 0.637_245, 0.1),
        (0.78, 0.657_131, 0.089_069),
        (0.80, 0.670_658, 0.081_633),
    ] {
        let (formula, _) = back(&ferry_loaf(moisture, 400.0), 900.0);
        assert!(
            (formula.hydration - hydration).abs() < 0.000_1,
            "{moisture}"
        );
        assert!(
            (formula.grain.wanted - grain).abs() < 0.000_05,
            "{moisture}"
        );
    }
}

/// Also with a few grams of water only, and with a flour of which the final dough takes a trace.
#[test]
fn the_same_flour_gives_the_same_masses_within_a_thousandth() {
    for moisture in [0.75, 0.78, 0.80] {
        for (pour, last_of_the_flour) in [(90.0, 520.0), (12.0, 520.0), (90.0, 7.0)] {
            let mut masses = ferry_loaf(moisture, 400.0);
            masses.water = grams(pour);
            masses.flours[0].1 = grams(last_of_the_flour);
            let bag = last_of_the_flour + 130.0 + 250.0;
            let (_, batch) = back(&masses, bag);
            for (stage, name, expected) in [
                ("sponge", "bread flour", 250.0),
                ("sponge", "water", 240.0),
                ("sponge", "fresh yeast", 1.5),
                ("final dough", "wet grain", 400.0),
                ("final dough", "bread flour", last_of_the_flour),
                ("final dough", "rye flour", 130.0),
                ("final dough", "salt", 19.0),
                ("final dough", "fresh yeast", 9.0),
                ("final dough", "rapeseed oil", 23.0),
            ] {
                let found = exact(&batch, stage, name);
                let off = (found / expected - 1.0).abs();
                assert!(off < 0.001, "{moisture}, {pour}, {stage}, {name}: {found}");
            }
            let add = in_grams(batch.hold_back.add_water);
            assert!(
                (add / pour - 1.0).abs() < 0.001,
                "{moisture}: {add}, not {pour}"
            );
        }
    }
}

#[test]
fn a_flour_of_the_preferment_only_is_one_of_the_flours() {
    let mut masses = ferry_loaf(0.78, 400.0);
    masses.preferments[0].flour.0 = "spelt flour".into();
    let (formula, batch) = back(&masses, 900.0);
    assert_eq!(formula.flours[2].name, "spelt flour");
    assert!((exact(&batch, "sponge", "spelt flour") - 250.0).abs() < 0.25);
    let left = batch.stages[1]
        .lines
        .iter()
        .find(|line| line.name == "spelt flour" && line.what == LineKind::Flour);
    assert!(left.is_none_or(|line| in_grams(line.exact).abs() < 0.1));
}

#[test]
fn round_percentages_are_printed_round() {
    let masses = Masses {
        name: "Nan's \"square\" loaf".into(),
        grain: grams(400.0),
        moisture: WetBasis::new(0.75).unwrap(),
        form: Form::Pressed,
        flours: vec![("bread flour".into(), grams(900.0))],
        water: grams(380.0),
        ingredients: vec![("salt".into(), IngredientKind::Salt, grams(20.0))],
        preferments: Vec::new(),
        pieces: None,
        whole_dough: [None, None, None, None],
        steps: Vec::new(),
    };
    let text = masses.to_text(&mass_in_grams).unwrap();
    for line in [
        "hydration = \"68%\"",
        "wanted = \"10%\"",
        "share = \"90%\"",
        "share = \"2%\"",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    assert_eq!(
        Formula::from_text(&text).unwrap().name,
        "Nan's \"square\" loaf"
    );
}

#[test]
fn what_makes_no_formula_is_refused() {
    let refused = |change: fn(&mut Masses), words: &str| {
        let mut masses = ferry_loaf(0.78, 400.0);
        change(&mut masses);
        let said = masses.to_text(&mass_in_grams).unwrap_err().to_string();
        assert!(said.contains(words), "{said}");
    };
    refused(|masses| masses.pieces = Some(0), "number of pieces is 0");
    refused(
        |masses| masses.preferments.push(masses.preferments[0].clone()),
        "stage `sponge` is there twice",
    );
    refused(
        |masses| masses.preferments[0].name = "final dough".into(),
        "takes what the others leave",
    );
    refused(|masses| masses.water = grams(9_000.0), "hydration is");
}
