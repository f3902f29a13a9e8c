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

/// `reference.csv` was made once with NumPy 2.4.6 and SciPy 1.17.1, as generalized
/// least squares with the covariance that one oven's bias makes; the values contradict each other nowhere:
///
/// ```text
/// import random
/// from math import inf, sqrt
/// from numpy import array, diag, linalg, ones, outer
/// from scipy.stats import norm, t
/// from scipy.optimize import brentq
///
/// def paule_mandel(values, variances):
///     def excess(between):
///         weights = 1 / (variances + between)
///         mean = (weights * values).sum() / weights.sum()
///         return (weights * (values - mean) ** 2).sum() - (len(values) - 1)
///     return brentq(excess, 0, 1, xtol=1e-20, rtol=1e-14) if excess(0) > 0 else 0.0
///
/// random.seed(1997)
/// r, R = 0.003 / 2.8, 0.015 / 2.8
/// OVEN = sqrt(R**2 - r**2)
/// LOTS, FREEDOM, DEFAULT = 0.0177**2 / 2, 4, 0.0375**2
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
///     parts = [(value, sd**2, 1, 0) for value, sd in weighed]
///     parts += [(value, sd**2, 0, 0) for value, sd in laboratories]
///     if earlier:
///         values, sds = (array(column) for column in zip(*earlier))
///         tau2 = paule_mandel(values, sds**2)
///         freedom = FREEDOM + lots - 1
///         tau2 = (FREEDOM * LOTS + (lots - 1) * tau2) / freedom
///         cov = DEFAULT - 2 * LOTS + diag(tau2 + sds**2)
///         weights = linalg.solve(cov, ones(lots) * (DEFAULT - 2 * LOTS))
///         mean = float(0.78 + weights @ (values - 0.78))
///         error2 = float((DEFAULT - 2 * LOTS) * (1 - weights.sum()))
///         parts += [(mean, tau2 + error2, 1, (tau2 + weights.sum() * error2) ** 2 / freedom)]
///     value, own, oven, doubt = (array(column) for column in zip(*parts))
///     inverse = linalg.inv(diag(own) + OVEN**2 * outer(oven, oven))
///     u = 1 / sqrt(inverse.sum())
///     weights = inverse @ ones(len(value)) * u**2
///     doubt = sum(weights**4 * doubt)
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
    assert!((contradiction(&[one.clone(), other.clone()]).unwrap().0 - 0.006).abs() < 1e-12);
    assert_eq!(contradiction(&[one.clone(), elsewhere]), None);
    assert_eq!(contradiction(&[one.clone(), one.clone()]), None);
    let far = laboratory(0.79, 0.0054);
    assert!((contradiction(&[one.clone(), far, other.clone()]).unwrap().0 - 0.023).abs() < 1e-12);
    // Widened by the Birge ratio: half the difference, as for two samples of one test, and the oven. The
    // balance part of the two is not quite the same.
    let found = whole(&[one, other], &[]).moisture;
    let expected = libm::hypot(0.003, Precision::UNMILLED.between_laboratories_sd());
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

/// In books drawn from what is published, the 95 % range holds the true moisture 93 to 97 times in a hundred: without a
/// sample, with one and two, of even and uneven tubs, after none to ten earlier lots, where an oven's bias is shared.
/// `DRAFF_LONG` draws ten times as many.
#[test]
fn the_range_holds_the_truth_as_often_as_it_says() {
    let rounds = if std::env::var_os("DRAFF_LONG").is_some() {
        20_000
    } else {
        2_000
    };
    let published = Published::of(&default_moisture(Form::Whole, Kind::Mashed));
    let mut even = Even(1997);
    for samples in [0, 1, 2] {
        for (earlier, elsewhere) in [(0, 0), (0, 3), (1, 0), (3, 2), (10, 0)] {
            for within in [Precision::UNMILLED.repeatability_sd(), 0.004] {
                let mut held = 0;
                for _ in 0..rounds {
                    let bias = even.normal(Precision::UNMILLED.between_laboratories_sd());
                    let overall = published.mean + even.normal(published.overall.sqrt());
                    let source = |even: &mut Even| {
                        // The published variance over a χ² of four degrees of freedom.
                        let chi_squared = -2.0 * libm::log(even.next() * even.next());
                        let between = published.between_lots * 4.0 / chi_squared;
                        (
                            overall + even.normal(published.between_sources.sqrt()),
                            between.sqrt(),
                        )
                    };
                    let test = |truth: f64, samples: usize, even: &mut Even| {
                        let own = within / (samples as f64).sqrt();
                        weighed(truth + bias + even.normal(own), own)
                    };
                    let lots = |count: usize, (mean, between): (f64, f64), even: &mut Even| {
                        let lot = |even: &mut Even| {
                            let truth = mean + even.normal(between);
                            test(truth, 1, even)
                        };
                        (0..count).map(|_| lot(even)).collect::<Vec<TestResult>>()
                    };
                    let ours = source(&mut even);
                    let own = lots(earlier, ours, &mut even);
                    let others: Vec<Vec<TestResult>> = (0..elsewhere)
                        .map(|_| {
                            let other = source(&mut even);
                            lots(4, other, &mut even)
                        })
                        .collect();
                    let truth = ours.0 + even.normal(ours.1);
                    let tests: Vec<TestResult> = (samples > 0)
                        .then(|| test(truth, samples, &mut even))
                        .into_iter()
                        .collect();
                    let earlier = Earlier {
                        own: &own,
                        others: &others,
                    };
                    let found = estimate(
                        &tests,
                        earlier,
                        Form::Whole,
                        Kind::Mashed,
                        &Within::default(),
                    );
                    let (low, high) = found.moisture.range();
                    held += usize::from(low < truth && truth < high);
                }
                let share = held as f64 / f64::from(rounds);
                assert!(
                    (0.93..0.97).contains(&share),
                    "{samples} samples, {earlier} earlier lots, {elsewhere} sources, {within}: {share}"
                );
            }
        }
    }
}

/// Untested lots of one to five breweries, joined in equal parts, where only another brewery was ever tested: what all of
/// them share does not average out.
#[test]
fn the_range_of_a_mixture_of_untested_breweries_holds_the_truth() {
    const ROUNDS: u32 = 4_000;
    let published = Published::of(&default_moisture(Form::Whole, Kind::Mashed));
    let mut even = Even(2011);
    for count in 1..=5 {
        let mut held = 0;
        for _ in 0..ROUNDS {
            let bias = even.normal(Precision::UNMILLED.between_laboratories_sd());
            let overall = published.mean + even.normal(published.overall.sqrt());
            let lot = |even: &mut Even| {
                // The published variance over a χ² of four degrees of freedom.
                let chi_squared = -2.0 * libm::log(even.next() * even.next());
                let between = (published.between_lots * 4.0 / chi_squared).sqrt();
                overall + even.normal(published.between_sources.sqrt()) + even.normal(between)
            };
            let sd = Precision::UNMILLED.repeatability_sd();
            let tested = lot(&mut even) + bias + even.normal(sd);
            let others = [vec![weighed(tested, sd)]];
            let earlier = Earlier {
                own: &[],
                others: &others,
            };
            let within = Within::default();
            let estimates: Vec<ByCause> = (0..count)
                .map(|lot| {
                    estimate(&[], earlier, Form::Whole, Kind::Mashed, &within)
                        .named(&format!("lot {lot}"), &format!("source {lot}"))
                        .by_cause
                })
                .collect();
            let mixed = ByCause::mean(estimates.iter().map(|one| (1.0, one))).unwrap();
            let truth = (0..count).map(|_| lot(&mut even)).sum::<f64>() / f64::from(count);
            let (low, high) = mixed.uncertain().range();
            held += u32::from(low < truth && truth < high);
        }
        let share = f64::from(held) / f64::from(ROUNDS);
        assert!((0.93..0.97).contains(&share), "{count} lots: {share}");
    }
}
