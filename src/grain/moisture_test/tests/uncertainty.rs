//! How sure a test is: against an independent propagation, and what must hold of any samples.

use super::*;
use proptest::prelude::*;

/// Reads `pan/wet/dry+pan/wet/dry` in milligrams.
fn sample(text: &str) -> Sample {
    let mut stages = text.split('+').map(|stage| {
        let readings: Vec<Milligrams> = stage
            .split('/')
            .map(|reading| Milligrams::new(reading.parse().unwrap()))
            .collect();
        Weighing::new(readings[0], readings[1], vec![readings[2]]).unwrap()
    });
    Sample {
        first: stages.next().unwrap(),
        second: stages.next(),
    }
}

fn agree(found: f64, expected: f64, what: &str) {
    let same = found == expected || (found / expected - 1.0).abs() < 1e-9;
    assert!(same, "{what}: {found}, expected {expected}");
}

/// `reference.csv` was made once with the Python package uncertainties 3.2.3 and SciPy 1.17.1:
///
/// ```text
/// import random
/// from math import inf, sqrt
/// from scipy.stats import norm, t
/// from uncertainties import ufloat
///
/// random.seed(20261120)
/// LIMITS = {"whole": (0.003, 0.015), "milled": (0.0010, 0.0067)}
///
/// def stage(moisture, readability):
///     pan = random.randrange(0, 300_000) // readability * readability
///     wet = pan + random.randrange(20_000, 400_000) // readability * readability
///     dry = pan + round((wet - pan) * (1 - moisture)) // readability * readability
///     return pan, wet, dry
///
/// def dry_fraction(weighing, readability):
///     pan, wet, dry = (ufloat(reading, readability / sqrt(12)) for reading in weighing)
///     return (dry - pan) / (wet - pan)
///
/// def row(form, readability, samples):
///     moistures = []
///     for stages in samples:
///         dry = 1
///         for weighing in stages:
///             dry = dry * dry_fraction(weighing, readability)
///         moistures.append(1 - dry)
///     n = len(moistures)
///     mean = sum(moistures) / n
///     values = [one.nominal_value for one in moistures]
///     middle = sum(values) / n
///     squares = sum((one - middle) ** 2 for one in values)
///     repeatability, reproducibility = (limit / 2.8 for limit in LIMITS[form])
///     own = n > 1 and sqrt(squares / (n - 1)) > repeatability
///     scatter = ufloat(0, (sqrt(squares / (n - 1)) if own else repeatability) / sqrt(n))
///     oven = ufloat(0, sqrt(reproducibility**2 - repeatability**2))
///     cells = [form, readability]
///     cells += [";".join("+".join("/".join(map(str, one)) for one in stages) for stages in samples)]
///     cells += [repr(mean.nominal_value)]
///     for value in (mean + scatter, mean + scatter + oven):
///         u = value.std_dev
///         freedom = u**4 / (scatter.std_dev**4 / (n - 1)) if own else inf
///         factor = norm.ppf(0.975) if freedom == inf else t.ppf(0.975, freedom)
///         cells += [repr(u), repr(freedom), repr(float(factor * u))]
///     print(*cells, sep=",")
///
/// print("form,readability_mg,samples_mg,value,repeatable,repeatable_freedom,repeatable_95,"
///       "standard,freedom,expanded_95")
/// for form, lefts in [("whole", [23_000]), ("whole", [23_000] * 2), ("whole", [22_900, 23_100]),
///                     ("whole", [22_700, 23_300]), ("whole", [21_000, 25_000]),
///                     ("milled", [93_000]), ("milled", [93_000] * 2), ("milled", [92_800, 93_200])]:
///     row(form, 100, [[(0, 100_000, left)] for left in lefts])
/// for number in range(48):
///     readability = random.choice([1, 10, 100, 500, 1000])
///     level = random.uniform(0.05, 0.88)
///     spread = random.choice([0, 0.001, 0.006])
///     samples = []
///     for _ in range(number % 6 + 1):
///         moisture = min(0.92, max(0.03, random.gauss(level, spread)))
///         stages = [stage(moisture, readability)]
///         if number % 4 == 3:
///             left = random.uniform(0.03, 0.15)
///             first = 1 - (1 - moisture) / (1 - left)
///             stages = [stage(max(first, 0.02), readability), stage(left, readability)]
///         samples.append(stages)
///     row(random.choice(["whole", "milled"]), readability, samples)
/// ```
#[test]
fn moisture_and_uncertainty_agree_with_an_independent_propagation() {
    let table = include_str!("../reference.csv");
    let rows: Vec<&str> = table.lines().skip(1).collect();
    assert_eq!(rows.len(), 56);
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let number = |at: usize| cells[at].parse::<f64>().unwrap();
        let test = MoistureTest {
            method: Method::Oven,
            readability: Milligrams::new(cells[1].parse().unwrap()),
            samples: cells[2].split(';').map(sample).collect(),
            open: Vec::new(),
            laboratory: None,
        };
        let found = test
            .evaluate(cells[0].parse().unwrap(), Kind::Mashed)
            .unwrap();
        for (part, at) in [(found.repeatable, 4), (found.moisture, 7)] {
            agree(part.value, number(3), row);
            agree(part.standard, number(at), row);
            agree(part.freedom, number(at + 1), row);
            agree(part.expanded(), number(at + 2), row);
        }
    }
}

/// Samples of 100 g on a balance that shows 0.1 g, from what is left of each, in tenths of a gram.
fn tenths(left: &[i64], form: Form) -> TestResult {
    let samples = left
        .iter()
        .map(|tenths| one_stage(0.0, 100.0, &[*tenths as f64 / 10.0]))
        .collect();
    test_of(Method::Oven, samples)
        .evaluate(form, Kind::Mashed)
        .unwrap()
}

/// `u² = s_r² + s_L² + u_b² = s_R² + u_b²`, which is BETWEEN_SAMPLE_SD and the balance where grain is
/// unmilled, and R = 0.67 % where it is milled (Casta 1997).
#[test]
fn one_sample_carries_the_reproducibility_of_the_method() {
    for (form, left, expected) in [
        (Form::Whole, 230, BETWEEN_SAMPLE_SD),
        (Form::Dried, 930, BETWEEN_SAMPLE_SD),
        (Form::Milled, 930, 0.0067 / 2.8),
    ] {
        let test = test_of(
            Method::Oven,
            vec![one_stage(0.0, 100.0, &[left as f64 / 10.0])],
        );
        let balance = test.samples[0].balance_uncertainty(test.readability);
        let found = test.evaluate(form, Kind::Mashed).unwrap().moisture;
        assert!(
            (found.standard / libm::hypot(balance, expected) - 1.0).abs() < 1e-12,
            "{form}"
        );
        assert_eq!(found.freedom, f64::INFINITY);
    }
}

/// The three cases that a plain standard error of the mean gets wrong: ± 0.05 points where two samples
/// agree, ± 3.7 where they lie 0.6 apart, against ± 1.05 for one alone.
#[test]
fn a_second_sample_neither_works_wonders_nor_spoils_the_first() {
    let half_width = |left: &[i64]| tenths(left, Form::Whole).moisture.expanded() * 100.0;
    for (left, expected) in [
        (&[230][..], 1.052),
        (&[230, 230], 1.041),
        (&[229, 231], 1.050),
        (&[227, 233], 1.279),
    ] {
        let found = half_width(left);
        assert!((found - expected).abs() < 5e-4, "{left:?}: {found}");
    }
}

/// `u(2)² − u(1)² = d²/4 − s_r² − u_b²/2` where samples lie more than √2 s_r apart: a second sample pays as
/// long as they lie no more than 2 s_r = r ÷ 1.4 apart. Within r the range grows by at most 3 %.
#[test]
fn two_samples_within_the_repeatability_are_as_good_as_one() {
    for (form, middle) in [(Form::Whole, 22_000), (Form::Milled, 93_000)] {
        let precision = Precision::of(form);
        // A balance to a milligram, so that samples differ by what is asked.
        let fine = |left: &[i64]| {
            let samples = left
                .iter()
                .map(|milligrams| one_stage(0.0, 100.0, &[*milligrams as f64 / 1000.0]))
                .collect();
            let mut test = test_of(Method::Oven, samples);
            test.readability = Milligrams::new(1);
            test.evaluate(form, Kind::Mashed).unwrap().moisture
        };
        let one = fine(&[middle]);
        let limit = (precision.repeatability * 100_000.0).round() as i64;
        for apart in 0..=limit {
            let two = fine(&[middle, middle + apart]);
            let difference = apart as f64 / 100_000.0;
            if difference <= 2.0 * precision.repeatability_sd() {
                assert!(two.standard <= one.standard, "{form} {apart}");
            }
            assert!(
                two.expanded() <= 1.03 * one.expanded(),
                "{form} {apart}: {} and {}",
                two.expanded(),
                one.expanded()
            );
        }
        let beyond = fine(&[middle, middle + limit]);
        assert!(beyond.standard > one.standard, "{form}");
    }
}

fn form() -> impl Strategy<Value = Form> {
    proptest::sample::select(Form::ALL.to_vec())
}

proptest! {
    #[test]
    fn more_equal_samples_never_widen_the_range_and_never_beat_the_oven(
        form in form(),
        left in 100i64..900,
        count in 1usize..12,
    ) {
        let some = tenths(&vec![left; count], form);
        let more = tenths(&vec![left; count + 1], form);
        prop_assert!(more.moisture.expanded() <= some.moisture.expanded());
        prop_assert!(more.repeatable.expanded() < some.repeatable.expanded());
        let oven = Precision::of(form).between_laboratories_sd();
        prop_assert!(more.moisture.standard > oven);
        prop_assert!((more.moisture.standard.powi(2)
            - more.repeatable.standard.powi(2)
            - oven.powi(2)).abs() < 1e-15);
    }

    /// A sample that says what the others say on average is never a loss, however far those lie apart.
    #[test]
    fn a_sample_in_the_middle_never_widens_the_range(
        form in form(),
        middle in 200i64..800,
        offsets in proptest::collection::vec(0i64..40, 1..5),
    ) {
        let around: Vec<i64> = offsets.iter().flat_map(|by| [middle - by, middle + by]).collect();
        let more: Vec<i64> = around.iter().copied().chain([middle]).collect();
        let (around, more) = (tenths(&around, form).moisture, tenths(&more, form).moisture);
        prop_assert!(more.standard <= around.standard * (1.0 + 1e-12));
        prop_assert!(more.expanded() <= around.expanded() * (1.0 + 1e-9));
    }

    /// `u(2)² ≤ u(1)² + d²/4`: two samples are worse than one by no more than half their difference.
    #[test]
    fn two_samples_are_worse_than_one_only_by_their_disagreement(
        form in form(),
        left in 200i64..800,
        apart in 0i64..100,
    ) {
        let one = tenths(&[left], form).moisture;
        let two = tenths(&[left, left + apart], form).moisture;
        let half = apart as f64 / 2000.0;
        // The balance part of one sample hardly depends on its moisture; that of two is smaller.
        prop_assert!(two.standard <= libm::hypot(one.standard, half) * (1.0 + 1e-9));
    }
}
