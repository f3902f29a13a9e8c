use super::*;
use crate::dough::hold_back::{FlourAmount, GrainAmount, Request, work_out};
use crate::dough::thirst::Thirst;
use crate::quantity::{Uncertain, WetBasis};

/// A dough of 1 kg of total flour, a tenth of it dry grain, whose moisture is known exactly. Its thirst in points, at least,
/// likely and at most, and the grain share with which its hydration was found.
fn dough((low, likely, high): (f64, f64, f64), found_with: f64) -> (HoldBack, ThirstWater) {
    let sum = work_out(&Request {
        grain: GrainAmount::Share(0.1),
        flour: FlourAmount::Total(from_grams(1000.0)),
        hydration: 0.7,
        moisture: Uncertain::known(0.77, 0.0),
        flour_basis: WetBasis::new(0.0).unwrap(),
        elsewhere: 0.0,
        thirst: Some(Thirst {
            found_with,
            learned: Some(LearnedThirst {
                low,
                likely,
                high,
                doughs: 7,
            }),
        }),
    })
    .unwrap();
    (sum, sum.thirst.unwrap())
}

/// What is said of a dough in short, on its sheet, of 100 g of its grain, and why water is held back.
fn said(points: (f64, f64, f64), found_with: f64) -> [String; 4] {
    let (sum, water) = dough(points, found_with);
    let (low, likely, high) = points;
    [
        in_short(&sum, &water, IN_GRAMS),
        range_in_short(&sum, &water, IN_GRAMS).unwrap_or_default(),
        of_a_hundred(low, likely, high),
        reason(&sum, &water, IN_GRAMS).to_owned(),
    ]
}

const MORE: (f64, f64, f64) = (0.20, 0.40, 0.60);
const LESS: (f64, f64, f64) = (-0.52, -0.31, -0.11);
const EITHER: (f64, f64, f64) = (-0.48, -0.01, 0.45);

#[test]
fn each_end_of_the_range_has_its_direction() {
    assert_eq!(
        said(MORE, 0.0),
        [
            "dry grain drinks more than flour: 20 g to 60 g more water in this dough, most likely 40 g",
            "in 7 bakes: 20 g to 60 g more than flour",
            "for each 100 g of dry grain 20 g to 60 g more water than flour takes, most likely 40 g",
            "because it drinks more than flour",
        ]
    );
    assert_eq!(
        said(LESS, 0.0),
        [
            "dry grain drinks less than flour: 11 g to 52 g less water in this dough, most likely 31 g",
            "in 7 bakes: 11 g to 52 g less than flour",
            "for each 100 g of dry grain 11 g to 52 g less water than flour takes, most likely 31 g",
            "in case it drinks only a little less than flour",
        ]
    );
    assert_eq!(
        said(EITHER, 0.0),
        [
            "dry grain may drink less or more than flour: between 48 g less and 45 g more water in this dough, most likely 1 g less",
            "in 7 bakes: between 48 g less and 45 g more than flour",
            "for each 100 g of dry grain between 48 g less and 45 g more water than flour takes, most likely 1 g less",
            "as it may drink less or more than flour",
        ]
    );
}

#[test]
fn the_likeliest_of_a_range_across_nothing_has_its_direction() {
    for (likely, words) in [(-0.02, "2 g less"), (0.02, "2 g more"), (0.0, "0 g")] {
        let [short, ..] = said((-0.3, likely, 0.3), 0.0);
        assert!(short.ends_with(&format!("most likely {words}")), "{short}");
    }
}

/// Half a gram is shown as nothing, which is neither less nor more.
#[test]
fn an_end_that_is_shown_as_nothing_has_no_direction() {
    for (points, range) in [
        (
            (-0.004, 0.1, 0.2),
            "in 7 bakes: 0 g to 20 g more than flour",
        ),
        (
            (-0.2, -0.1, 0.004),
            "in 7 bakes: 0 g to 20 g less than flour",
        ),
        (
            (-0.2, -0.1, -0.004),
            "in 7 bakes: 0 g to 20 g less than flour",
        ),
    ] {
        assert_eq!(said(points, 0.0)[1], range);
    }
}

/// The formula states 20 %, the dough has 10 %: 100 g less grain in 1 kg of flour, whose thirst the dough does not take.
#[test]
fn less_grain_than_the_hydration_was_found_with_turns_the_range_round() {
    let start = "this is less grain than the hydration was found with, so the dough takes";
    for (points, range, held) in [
        (
            MORE,
            "20 g to 60 g less water, about 40 g",
            "in case it drinks little, so less grain saves less water",
        ),
        (
            LESS,
            "11 g to 52 g more water, about 31 g",
            "in case it drinks less than flour, so less grain costs water",
        ),
        (
            EITHER,
            "between 45 g less and 48 g more water, about 1 g more",
            "in case it drinks little, so less grain saves less water",
        ),
    ] {
        let [short, _, _, why] = said(points, 0.2);
        assert_eq!(short, format!("{start} {range}"));
        assert_eq!(why, held);
    }
}

#[test]
fn less_grain_and_water_in_the_hydration_are_told_only_where_a_formula_states_grain() {
    // So little that all of it is shown as nothing.
    for points in [LESS, EITHER, MORE, (0.001, 0.002, 0.003)] {
        let [short, sheet, _, why] = said(points, 0.0);
        for words in ["the hydration", "less grain"] {
            assert!(
                !short.contains(words) && !why.contains(words),
                "{short}, {why}"
            );
        }
        assert!(!sheet.is_empty());
    }
    let [short, sheet, _, why] = said(MORE, 0.1);
    assert!(short.starts_with("the hydration covers"), "{short}");
    assert_eq!(sheet, "");
    assert_eq!(why, "as drier grain drinks more and wetter grain less");
}

#[test]
fn water_for_thirst_comes_on_top_where_the_grain_likely_drinks_more_than_the_hydration_holds() {
    for (points, found_with, on_top) in [
        (MORE, 0.0, true),
        (EITHER, 0.0, false),
        (LESS, 0.0, false),
        (MORE, 0.1, false),
        (MORE, 0.2, false),
        (MORE, 0.05, true),
    ] {
        let (_, water) = dough(points, found_with);
        assert_eq!(is_on_top(&water, Units::Metric), on_top, "{points:?}");
    }
}

#[test]
fn a_range_that_bakes_did_not_change_is_the_published_one() {
    let (sum, water) = dough((LOWEST, CENTRE, HIGHEST), 0.0);
    assert_eq!(
        range_in_short(&sum, &water, IN_GRAMS).unwrap(),
        "published: 10 g to 107 g more than flour"
    );
}
