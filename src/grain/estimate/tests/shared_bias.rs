//! What tests of one oven share: counted once, and the range then holds the truth as often as it says.

use super::*;
use statrs::distribution::{ContinuousCDF, Normal};

/// Reads `0.77/0.003;0.78/0.002`; nothing from nothing.
fn read(cell: &str, of: fn(f64, f64) -> TestResult) -> Vec<TestResult> {
    cell.split_terminator(';')
        .map(|one| {
            let (value, sd) = one.split_once('/').unwrap();
            of(value.parse().unwrap(), sd.parse().unwrap())
        })
        .collect()
}

/// `reference.csv` was made once with NumPy 2.4.6, statsmodels 0.15.0 and SciPy 1.17.1, as generalized
/// least squares with the covariance that one oven's bias makes; the values contradict each other nowhere:
///
/// ```text
/// import random
/// from math import inf, sqrt
/// from numpy import array, diag, linalg, ones, outer
/// from scipy.stats import norm, t
/// from statsmodels.stats.meta_analysis import combine_effects
///
/// random.seed(1997)
/// r, R = 0.003 / 2.8, 0.015 / 2.8
/// OVEN = sqrt(R**2 - r**2)
///
/// def draw(count, low, high, spread):
///     return [(round(random.gauss(0.77, spread), 5), round(random.uniform(low, high), 5))
///             for _ in range(count)]
///
/// def text(values):
///     return ";".join(f"{value}/{sd}" for value, sd in values)
///
/// print("weighed,laboratories,earlier,value,standard,expanded_95")
/// for row in range(24):
///     weighed = draw(row % 4, 0.001, 0.004, 0.0003)
///     laboratories = draw(row // 4 % 3, 0.004, 0.008, 0.0003)
///     lots = random.choice([4, 6, 9]) if row >= 12 or row == 0 else 0
///     earlier = draw(lots, 0.001, 0.004, 0.006)
///     parts = [(value, sd**2, 1, inf) for value, sd in weighed]
///     parts += [(value, sd**2, 0, inf) for value, sd in laboratories]
///     if earlier:
///         values, sds = (array(column) for column in zip(*earlier))
///         result = combine_effects(values, sds**2, method_re="dl")
///         kind = "re" if result.tau2 > 0 else "fe"
///         mean = float(getattr(result, f"mean_effect_{kind}"))
///         error = float(getattr(result, f"sd_eff_w_{kind}"))
///         parts += [(mean, max(0.0, float(result.tau2)) + error**2, 1, lots - 2)]
///     value, own, oven, freedom = (array(column) for column in zip(*parts))
///     inverse = linalg.inv(diag(own) + OVEN**2 * outer(oven, oven))
///     u = 1 / sqrt(inverse.sum())
///     weights = inverse @ ones(len(value)) * u**2
///     doubt = sum((weights**2 * own) ** 2 / freedom)
///     factor = norm.ppf(0.975) if doubt == 0 else t.ppf(0.975, u**4 / doubt)
///     print(text(weighed), text(laboratories), text(earlier), repr(float(weights @ value)),
///           repr(float(u)), repr(float(factor * u)), sep=",")
/// ```
#[test]
fn shared_bias_is_counted_as_generalized_least_squares_does() {
    let rows: Vec<&str> = include_str!("../reference.csv").lines().skip(1).collect();
    assert_eq!(rows.len(), 24);
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let mut tests = read(cells[0], weighed);
        tests.extend(read(cells[1], laboratory));
        let found = whole(&tests, &read(cells[2], weighed)).moisture;
        for (found, at) in [(found.value, 3), (found.standard, 4), (found.expanded(), 5)] {
            let expected: f64 = cells[at].parse().unwrap();
            assert!(
                (found / expected - 1.0).abs() < 1e-9,
                "{row}: {found}, expected {expected}"
            );
        }
    }
}

/// Two tests of one oven 0.6 points apart are further apart than r = 0.3 (Casta 1997); a laboratory and
/// the oven may differ by R = 1.5.
#[test]
fn an_oven_contradicts_itself_sooner_than_a_laboratory_does() {
    let (one, other) = (oven(&[22_700]), oven(&[23_300]));
    let elsewhere = laboratory(0.767, 0.0054);
    assert!((contradiction(&[&one, &other]).unwrap() - 0.006).abs() < 1e-12);
    assert_eq!(contradiction(&[&one, &elsewhere]), None);
    assert_eq!(contradiction(&[&one, &one]), None);
    let far = laboratory(0.79, 0.0054);
    assert!((contradiction(&[&one, &far, &other]).unwrap() - 0.023).abs() < 1e-12);
    // Widened by the Birge ratio: half the difference, as for two samples of one test, and the oven. The
    // balance part of the two is not quite the same.
    let found = whole(&[one, other], &[]).moisture;
    let expected = 0.003f64.hypot(Precision::UNMILLED.between_laboratories_sd());
    assert!((found.standard / expected - 1.0).abs() < 1e-6);
}

/// A small generator of even numbers between 0 and 1 (multiplier of Knuth's MMIX), the same on every run.
struct Even(u64);

impl Even {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    fn normal(&mut self, standard: f64) -> f64 {
        Normal::standard().inverse_cdf(self.next()) * standard
    }
}

/// In a made-up world where the model holds, the 95 % range holds the true moisture about 95 times in a
/// hundred, also where an oven's bias is shared by the tests and the earlier lots.
#[test]
fn the_range_holds_the_truth_as_often_as_it_says() {
    const ROUNDS: usize = 3000;
    let precision = Precision::UNMILLED;
    let mut even = Even(1997);
    for (samples, earlier, between) in [
        (1, 0, 0.01),
        (2, 0, 0.01),
        (4, 0, 0.01),
        (0, 4, 0.005),
        (0, 8, 0.01),
        (1, 5, 0.005),
        (2, 8, 0.01),
    ] {
        let mut held = 0;
        for _ in 0..ROUNDS {
            let bias = even.normal(precision.between_laboratories_sd());
            let test = |truth: f64, samples: usize, even: &mut Even| {
                let left = |even: &mut Even| {
                    let read = truth + bias + even.normal(precision.repeatability_sd());
                    ((1.0 - read) * 1000.0).round() as i64 * 100
                };
                let left: Vec<i64> = (0..samples).map(|_| left(even)).collect();
                oven(&left)
            };
            let lots: Vec<TestResult> = (0..earlier)
                .map(|_| test(0.77 + even.normal(between), 1, &mut even))
                .collect();
            let truth = 0.77 + even.normal(between);
            let tests: Vec<TestResult> = (samples > 0)
                .then(|| test(truth, samples, &mut even))
                .into_iter()
                .collect();
            let (low, high) = whole(&tests, &lots).range();
            held += usize::from(low.get() < truth && truth < high.get());
        }
        let share = held as f64 / ROUNDS as f64;
        assert!(
            (0.935..0.965).contains(&share),
            "{samples} samples, {earlier} earlier lots: {share}"
        );
    }
}
