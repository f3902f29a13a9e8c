use super::*;
use crate::dough::thirst::{HIGHEST, LOWEST};
use crate::quantity::Milligrams;
use crate::quantity::fraction::Percent;
use crate::quantity::mass::{from_grams, grams};
use proptest::prelude::*;

fn basis(value: f64) -> WetBasis {
    WetBasis::new(value).unwrap()
}

fn request(grain: GrainAmount, flour: FlourAmount, hydration: f64, moisture: Uncertain) -> Request {
    Request {
        grain,
        flour,
        hydration,
        moisture,
        flour_basis: basis(0.0),
        elsewhere: 0.0,
        thirst: None,
    }
}

fn bread(moisture: f64) -> Request {
    request(
        GrainAmount::Share(0.10),
        FlourAmount::Total(from_grams(1000.0)),
        0.70,
        Uncertain::known(moisture, 0.01),
    )
}

fn close(found: Mass, expected: f64, tolerance: f64) {
    let found = grams(found);
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} g, expected {expected} g"
    );
}

fn ways_out_of(request: &Request) -> WaysOut {
    match work_out(request) {
        Err(Refusal::TooWet(ways)) => *ways,
        other => panic!("not too wet: {other:?}"),
    }
}

/// 900 g flour and 100 g dry grain at 77 %, 75 % and 80 % moisture, 70 % hydration on 1000 g.
/// Arithmetic; that dry grain counts as flour is common practice, no source.
#[test]
fn water_to_add_follows_the_moisture() {
    for (moisture, wet, add) in [
        (0.77, 434.783, 365.217),
        (0.75, 400.0, 400.0),
        (0.80, 500.0, 300.0),
    ] {
        let dough = work_out(&bread(moisture)).unwrap();
        close(dough.wet, wet, 0.001);
        close(dough.carried_water, wet - 100.0, 0.001);
        close(dough.add_water, add, 0.001);
        close(dough.dry, 100.0, 1e-9);
        close(dough.flour, 900.0, 1e-9);
        close(dough.total_water, 700.0, 1e-9);
        assert_eq!(dough.fixed, Fixed::Share);
    }
}

/// The same dough with the dry grain counted as flour of 14 % moisture, keeping 700 g of water:
/// 318.504 g carried, 381.496 g to add (arithmetic).
#[test]
fn flour_of_14_percent_carries_some_of_the_water() {
    let wet = 100.0 / 0.23;
    let equivalent = 100.0 / 0.86;
    let mut dough = request(
        GrainAmount::Wet(from_grams(wet)),
        FlourAmount::Bag(from_grams(900.0)),
        700.0 / (900.0 + equivalent),
        Uncertain::known(0.77, 0.0),
    );
    dough.flour_basis = basis(0.14);
    let dough = work_out(&dough).unwrap();
    close(dough.carried_water, 318.504, 0.001);
    close(dough.add_water, 381.496, 0.001);
    close(dough.flour_equivalent, 116.279, 0.001);
    assert_eq!(dough.fixed, Fixed::Wet);
}

#[test]
fn a_moisture_known_for_sure_holds_nothing_back() {
    let mut sure = bread(0.77);
    sure.moisture.standard = 0.0;
    let dough = work_out(&sure).unwrap();
    close(dough.keep_back, 0.0, 1e-9);
    close(dough.pour_first - dough.add_water, 0.0, 1e-9);
}

/// ± 1.959964 points on 434.783 g at 70 %: 434.783 · 1.7 · 2 · 0.01959964 = 28.974 g (arithmetic).
#[test]
fn held_back_water_spans_the_moisture_range() {
    let dough = work_out(&bread(0.77)).unwrap();
    close(dough.keep_back, 28.974, 0.001);
    close(dough.pour_first, 365.217 - 14.487, 0.001);
    assert!((dough.lower.get() - 0.75040).abs() < 1e-5);
    assert!((dough.upper.get() - 0.78960).abs() < 1e-5);
}

#[test]
fn water_that_may_not_be_needed_is_all_held_back() {
    let tight = request(
        GrainAmount::Wet(from_grams(900.0)),
        FlourAmount::Bag(from_grams(860.0)),
        0.65,
        Uncertain::known(0.77, 0.02),
    );
    let dough = work_out(&tight).unwrap();
    assert!(dough.add_water > Mass::default());
    assert_eq!(dough.pour_first, Mass::default());
    assert!(dough.keep_back > dough.add_water);
}

/// Accepted up to 10 % of flour replaced by dry grain (Prentice & D'Appolonia 1977; Waters et al.
/// 2012).
#[test]
fn more_grain_than_tasters_accepted_is_noted() {
    let noted = |share, flour_basis| {
        let mut dough = bread(0.77);
        dough.grain = GrainAmount::Share(share);
        dough.flour_basis = basis(flour_basis);
        work_out(&dough).unwrap().above_accepted_share
    };
    assert!(!noted(0.10, 0.0));
    assert!(noted(0.101, 0.0));
    assert!(!noted(0.11, 0.14));
    assert!(noted(0.12, 0.14));
}

/// Dried grain of 8 % counted as flour of 14 % takes up water instead of bringing it.
#[test]
fn grain_drier_than_flour_takes_up_water() {
    let mut dough = bread(0.08);
    dough.flour_basis = basis(0.14);
    let dough = work_out(&dough).unwrap();
    assert!(dough.carried_water < Mass::default());
    assert!(dough.add_water > dough.total_water);
}

#[test]
fn what_makes_no_dough_is_refused_in_words() {
    let good = bread(0.77);
    let bag = |value| FlourAmount::Bag(from_grams(value));
    let total = |value| FlourAmount::Total(from_grams(value));
    let wet = |value| GrainAmount::Wet(from_grams(value));
    let with = |change: &dyn Fn(&mut Request)| {
        let mut request = good;
        change(&mut request);
        request
    };
    let cases: Vec<(Request, &str)> = vec![
        (with(&|r| r.grain = GrainAmount::Share(1.0)), "grain share"),
        (with(&|r| r.grain = GrainAmount::Share(0.0)), "grain share"),
        (
            with(&|r| r.grain = GrainAmount::Share(f64::NAN)),
            "grain share",
        ),
        (with(&|r| r.grain = wet(0.0)), "wet grain is nothing"),
        (with(&|r| r.grain = wet(-5.0)), "mass is"),
        (with(&|r| r.grain = wet(f64::INFINITY)), "mass is"),
        (with(&|r| r.flour = bag(0.0)), "flour is nothing"),
        (with(&|r| r.flour = total(0.0)), "total flour is nothing"),
        (
            with(&|r| {
                r.grain = wet(10_000.0);
                r.flour = total(2300.0);
            }),
            "no flour from the bag is left",
        ),
        (
            with(&|r| {
                r.grain = wet(10_000.0);
                r.flour = total(500.0);
            }),
            "wet grain counts as 2300 g of flour and total flour is 500 g",
        ),
        (with(&|r| r.hydration = 0.0), "hydration"),
        (with(&|r| r.hydration = f64::NAN), "hydration"),
        (with(&|r| r.hydration = 9.0), "hydration"),
        (with(&|r| r.moisture.value = 1.0), "moisture"),
        (with(&|r| r.moisture.value = 0.0), "moisture"),
        (with(&|r| r.moisture.standard = -0.01), "standard deviation"),
        (
            with(&|r| r.moisture.standard = f64::NAN),
            "standard deviation",
        ),
        (with(&|r| r.flour_basis = basis(0.2)), "flour basis"),
    ];
    for (request, words) in cases {
        match work_out(&request) {
            Err(Refusal::Other(problem)) => {
                assert!(problem.to_string().contains(words), "{words}: {problem}");
            }
            other => panic!("{words}: {other:?}"),
        }
    }
    for flour_basis in [0.0, 0.14, 0.155] {
        let mut edge = good;
        edge.flour_basis = basis(flour_basis);
        assert!(work_out(&edge).is_ok(), "{flour_basis}");
    }
}

/// The figures of a `label  value` block under a heading of the model's page.
fn figures(heading: &str) -> impl Fn(&str) -> String {
    let page = include_str!("../../../docs/models/hold_back.md");
    let (_, section) = page.split_once(&format!("## {heading}\n")).unwrap();
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

fn request_of(figure: &dyn Fn(&str) -> String) -> Request {
    let mass = |label| figure(label).parse::<Milligrams>().unwrap().mass();
    let percent = |label, bounds| {
        let typed: Percent = figure(label).parse().unwrap();
        typed.within(bounds).unwrap()
    };
    request(
        GrainAmount::Wet(mass("wet grain")),
        FlourAmount::Bag(mass("flour")),
        percent("hydration", &bounds::HYDRATION),
        Uncertain::known(
            percent("moisture", &bounds::MOISTURE),
            percent("moisture, sd", &bounds::MOISTURE_SD),
        ),
    )
}

fn in_grams(mass: Mass) -> String {
    format!("{:.1} g", grams(mass))
}

fn in_percent(fraction: f64) -> String {
    format!("{:.1} %", fraction * 100.0)
}

#[test]
fn the_worked_example_of_the_page_is_what_the_program_calculates() {
    let figure = figures("Worked example");
    let thirsty = Request {
        thirst: Some(Thirst::default()),
        ..request_of(&figure)
    };
    let dough = work_out(&thirsty).unwrap();
    let thirst = dough.thirst.unwrap();
    for (label, expected) in [
        ("dry grain", in_grams(dough.dry)),
        ("carried water", in_grams(dough.carried_water)),
        ("flour-equivalent", in_grams(dough.flour_equivalent)),
        ("total flour", in_grams(dough.total_flour)),
        ("grain share", in_percent(dough.grain_share)),
        ("total water", in_grams(dough.total_water)),
        ("water to add", in_grams(dough.add_water)),
        ("moisture, low", in_percent(dough.lower.get())),
        ("moisture, high", in_percent(dough.upper.get())),
        ("pour first", in_grams(dough.pour_first)),
        ("thirst, low", in_grams(thirst.low)),
        ("thirst, likely", in_grams(thirst.likely)),
        ("thirst, high", in_grams(thirst.high)),
        ("hold back", in_grams(dough.keep_back)),
        ("of it for thirst", in_grams(dough.keep_back_thirst)),
        ("likely to go in", in_grams(dough.likely_back)),
    ] {
        assert_eq!(figure(label), expected, "{label}");
    }
}

#[test]
fn the_refusal_of_the_page_is_what_the_program_calculates() {
    let figure = figures("Worked example of a refusal");
    let ways = ways_out_of(&request_of(&figure));
    for (label, expected) in [
        ("carried water", in_grams(ways.carried_water)),
        ("total water", in_grams(ways.total_water)),
        ("too much", in_grams(ways.too_much)),
        ("share at most", in_percent(ways.share_at_most)),
        ("wet at most", in_grams(ways.wet_at_most)),
        ("press to at most", in_percent(ways.moisture_at_most.get())),
        ("weight when pressed", in_grams(ways.pressed_wet)),
        ("flour at least", in_grams(ways.flour_at_least)),
    ] {
        assert_eq!(figure(label), expected, "{label}");
    }
}

/// A dough of 8 % grain whose hydration was found with 10 %: 2 % of 1000 g of flour is 20 g less grain, and so 2 to
/// 21.4 g less water (arithmetic on the published range). With 12 % it is 20 g more grain.
#[test]
fn grain_that_the_hydration_was_found_with_counts_by_the_difference() {
    let asked = |share: f64| Request {
        grain: GrainAmount::Share(share),
        thirst: Some(Thirst {
            found_with: 0.10,
            learned: None,
        }),
        ..bread(0.77)
    };
    let without = |share: f64| {
        let plain = Request {
            thirst: None,
            ..asked(share)
        };
        work_out(&plain).unwrap()
    };
    let less = work_out(&asked(0.08)).unwrap();
    let thirst = less.thirst.unwrap();
    close(thirst.low, -21.4, 1e-9);
    close(thirst.likely, -8.0, 1e-9);
    close(thirst.high, -2.0, 1e-9);
    assert!(less.pour_first < without(0.08).pour_first);
    assert_eq!(less.add_water, without(0.08).add_water);
    let same = work_out(&asked(0.10)).unwrap();
    close(same.thirst.unwrap().likely, 0.0, 1e-9);
    let more = work_out(&asked(0.12)).unwrap();
    close(more.thirst.unwrap().high, 21.4, 1e-9);
    assert_eq!(more.pour_first, without(0.12).pour_first);
}

/// Grain that is too wet for the dough stays so, however thirsty it may be.
#[test]
fn thirst_makes_no_room_for_wet_grain() {
    let wet = request(
        GrainAmount::Wet(from_grams(900.0)),
        FlourAmount::Bag(from_grams(400.0)),
        0.66,
        Uncertain::known(0.77, 0.01),
    );
    let thirsty = Request {
        thirst: Some(Thirst::default()),
        ..wet
    };
    assert_eq!(ways_out_of(&wet), ways_out_of(&thirsty));
}

fn any_grain() -> impl Strategy<Value = GrainAmount> {
    prop_oneof![
        (1.0f64..20_000.0).prop_map(|value| GrainAmount::Wet(from_grams(value))),
        (0.005f64..0.95).prop_map(GrainAmount::Share),
    ]
}

fn any_flour() -> impl Strategy<Value = FlourAmount> {
    prop_oneof![
        (50.0f64..50_000.0).prop_map(|value| FlourAmount::Bag(from_grams(value))),
        (50.0f64..50_000.0).prop_map(|value| FlourAmount::Total(from_grams(value))),
    ]
}

prop_compose! {
    fn any_request()(
        grain in any_grain(),
        flour in any_flour(),
        hydration in 0.3f64..1.2,
        value in 0.05f64..0.95,
        standard in 0.0f64..0.08,
        freedom in prop_oneof![Just(f64::INFINITY), 1.0f64..30.0],
        flour_basis in prop_oneof![Just(0.0), 0.0f64..0.155],
        thirst in prop_oneof![Just(None), (0.0f64..0.3).prop_map(|found_with| Some(Thirst { found_with, learned: None }))],
    ) -> Request {
        Request {
            grain,
            flour,
            hydration,
            moisture: Uncertain { value, standard, freedom },
            flour_basis: basis(flour_basis),
            elsewhere: 0.0,
            thirst,
        }
    }
}

/// Relative to the dough, since water itself may be next to nothing.
fn nearly(found: Mass, expected: Mass, dough: Mass) -> bool {
    (grams(found) - grams(expected)).abs() <= 1e-9 * grams(dough)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn the_dough_has_the_hydration_asked_for(request in any_request()) {
        let Ok(dough) = work_out(&request) else { return Ok(()) };
        // From what is weighed and the estimated moisture alone.
        let dry = grams(dough.wet) * (1.0 - request.moisture.value);
        let equivalent = dry / (1.0 - request.flour_basis.get());
        let water = grams(dough.add_water) + grams(dough.wet) - equivalent;
        let flour = grams(dough.flour) + equivalent;
        prop_assert!((water / flour / request.hydration - 1.0).abs() < 1e-9);
        prop_assert!((equivalent / flour / dough.grain_share - 1.0).abs() < 1e-9);
        match request.grain {
            GrainAmount::Wet(wet) => prop_assert_eq!(dough.wet, wet),
            GrainAmount::Share(share) => {
                prop_assert!((dough.grain_share / share - 1.0).abs() < 1e-9);
            }
        }
        match request.flour {
            FlourAmount::Bag(flour) => prop_assert_eq!(dough.flour, flour),
            FlourAmount::Total(total) => {
                prop_assert!(nearly(dough.total_flour, total, total));
            }
        }
    }

    #[test]
    fn sums_close(request in any_request()) {
        let Ok(dough) = work_out(&request) else { return Ok(()) };
        let mass = dough.wet + dough.flour + dough.total_water;
        let none = Mass::default();
        prop_assert!(nearly(dough.carried_water + dough.add_water, dough.total_water, mass));
        prop_assert!(nearly(dough.carried_water + dough.flour_equivalent, dough.wet, mass));
        prop_assert!(nearly(dough.flour + dough.flour_equivalent, dough.total_flour, mass));
        prop_assert!(dough.pour_first >= none && dough.keep_back >= none);
        prop_assert!(dough.likely_back >= none && dough.likely_back <= dough.keep_back);
        prop_assert!(dough.pour_first <= dough.add_water + mass * 1e-12);
        prop_assert!(dough.lower <= dough.moisture && dough.moisture <= dough.upper);
    }

    /// Poured and held-back water together make the asked hydration at the driest grain, and the
    /// poured water alone never oversteps it at the wettest.
    #[test]
    fn hydration_is_right_at_both_ends_of_the_range(asked in any_request()) {
        let request = Request { thirst: None, ..asked };
        let Ok(dough) = work_out(&request) else { return Ok(()) };
        let hydration = |moisture: WetBasis, poured: Mass| {
            let equivalent =
                grams(dough.wet) * (1.0 - moisture.get()) / (1.0 - request.flour_basis.get());
            (grams(poured) + grams(dough.wet) - equivalent) / (grams(dough.flour) + equivalent)
        };
        let driest = hydration(dough.lower, dough.pour_first + dough.keep_back);
        prop_assert!((driest / request.hydration - 1.0).abs() < 1e-9);
        if dough.pour_first > Mass::default() {
            let wettest = hydration(dough.upper, dough.pour_first);
            prop_assert!((wettest / request.hydration - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn less_sure_never_means_more_to_pour(request in any_request(), wider in 1.0f64..2.0) {
        let mut doubtful = request;
        doubtful.moisture.standard *= wider;
        match (work_out(&request), work_out(&doubtful)) {
            (Ok(sure), Ok(doubtful)) => {
                prop_assert!(doubtful.pour_first <= sure.pour_first);
                prop_assert!(doubtful.keep_back >= sure.keep_back);
            }
            (sure, doubtful) => prop_assert!(sure.is_err() && doubtful.is_err()),
        }
    }

    /// Whatever the true moisture and thirst are within their ranges, the water poured first is never too much and
    /// with all that is held back it is never too little.
    #[test]
    fn moisture_and_thirst_are_covered_together(
        request in any_request(), moisture in 0.0f64..=1.0, points in LOWEST..=HIGHEST,
    ) {
        let Ok(dough) = work_out(&request) else { return Ok(()) };
        let Some(thirst) = request.thirst else { return Ok(()) };
        let true_moisture = dough.lower.get() + moisture * (dough.upper.get() - dough.lower.get());
        let equivalent = grams(dough.wet) * (1.0 - true_moisture) / (1.0 - request.flour_basis.get());
        let total = grams(dough.flour) + equivalent;
        let takes = total * request.hydration - (grams(dough.wet) - equivalent)
            + points * (equivalent - thirst.found_with * total);
        let poured = grams(dough.pour_first);
        let noise = 1e-9 * (total + grams(dough.wet));
        prop_assert!(poured == 0.0 || poured <= takes + noise, "{poured} g poured, {takes} g taken");
        prop_assert!(poured + grams(dough.keep_back) >= takes - noise);
    }

    /// Each way out, typed back in, needs no added water and is not too wet beyond rounding.
    #[test]
    fn each_way_out_is_one(request in any_request()) {
        let Err(Refusal::TooWet(ways)) = work_out(&request) else { return Ok(()) };
        let mass = ways.wet + ways.total_flour;
        let at = |change: &dyn Fn(&mut Request)| {
            let mut changed = request;
            change(&mut changed);
            match work_out(&changed) {
                Ok(dough) => Some((dough.add_water, dough.wet)),
                Err(Refusal::TooWet(still)) => Some((-still.too_much, still.wet)),
                Err(Refusal::Other(problem)) => panic!("{problem}"),
            }
        };
        let none = Mass::default();

        let (add, wet) = at(&|r| r.grain = GrainAmount::Share(ways.share_at_most)).unwrap();
        prop_assert!(nearly(add, none, mass), "share: {}", grams(add));
        prop_assert!(nearly(wet, ways.wet_at_most, mass));
        prop_assert!(ways.share_at_most < ways.grain_share);

        let (add, wet) = at(&|r| {
            r.moisture.value = ways.moisture_at_most.get();
            if let GrainAmount::Wet(_) = r.grain {
                r.grain = GrainAmount::Wet(ways.pressed_wet);
            }
        }).unwrap();
        prop_assert!(nearly(add, none, mass), "press: {}", grams(add));
        prop_assert!(nearly(wet, ways.pressed_wet, mass));
        prop_assert!(ways.moisture_at_most < ways.moisture);

        let (add, _) = at(&|r| {
            r.grain = GrainAmount::Wet(ways.wet);
            r.flour = match r.flour {
                FlourAmount::Bag(_) => FlourAmount::Bag(ways.flour_at_least),
                FlourAmount::Total(_) => FlourAmount::Total(ways.total_flour_at_least),
            };
        }).unwrap();
        prop_assert!(nearly(add, none, ways.wet + ways.total_flour_at_least), "flour: {}", grams(add));
        prop_assert!(ways.flour_at_least > ways.flour);
    }
}
