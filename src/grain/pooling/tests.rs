use super::*;

fn lots(text: &str) -> Vec<Uncertain> {
    text.split(';')
        .map(|lot| {
            let (value, sd) = lot.split_once('/').unwrap();
            Uncertain::known(value.parse().unwrap(), sd.parse().unwrap())
        })
        .collect()
}

/// `reference.csv` was made once with NumPy 2.4.6 and SciPy 1.17.1:
///
/// ```text
/// import random
/// from numpy import array
/// from scipy.optimize import brentq
///
/// def paule_mandel(values, variances):
///     def excess(between):
///         weights = 1 / (variances + between)
///         mean = (weights * values).sum() / weights.sum()
///         return (weights * (values - mean) ** 2).sum() - (len(values) - 1)
///     return brentq(excess, 0, 1, xtol=1e-20, rtol=1e-14) if excess(0) > 0 else 0.0
///
/// random.seed(1982)
/// print("lots,between")
/// for row in range(16):
///     k = row % 7 + 2
///     spread = random.choice([0.0, 0.002, 0.008, 0.02])
///     values = [round(random.gauss(0.775, spread), 5) for _ in range(k)]
///     sds = [round(random.uniform(0.002, 0.009), 5) for _ in range(k)]
///     tau2 = paule_mandel(array(values), array(sds) ** 2)
///     print(";".join(f"{v}/{s}" for v, s in zip(values, sds)), repr(float(tau2)), sep=",")
/// ```
#[test]
fn variances_between_lots_agree_with_another_implementation() {
    let rows: Vec<&str> = include_str!("reference.csv").lines().skip(1).collect();
    assert_eq!(rows.len(), 16);
    for row in rows {
        let (cell, between) = row.split_once(',').unwrap();
        let expected: f64 = between.parse().unwrap();
        let found = paule_mandel(&lots(cell));
        assert!(
            (found - expected).abs() <= 1e-9 * expected + 1e-15,
            "{row}: {found}"
        );
    }
}

/// The thirteen trials of a vaccine of Colditz et al. 1994 (Journal of the American Medical Association 271:698–702), a set
/// that statistics packages are shown on: 0.318 by Paule & Mandel (0.3181 in the manual of the R package metafor, from
/// memory). Each is ill and healthy with the vaccine, ill and healthy without; logarithms of relative risks.
#[test]
fn a_published_set_has_its_published_variance() {
    const TRIALS: [[f64; 4]; 13] = [
        [4.0, 119.0, 11.0, 128.0],
        [6.0, 300.0, 29.0, 274.0],
        [3.0, 228.0, 11.0, 209.0],
        [62.0, 13536.0, 248.0, 12619.0],
        [33.0, 5036.0, 47.0, 5761.0],
        [180.0, 1361.0, 372.0, 1079.0],
        [8.0, 2537.0, 10.0, 619.0],
        [505.0, 87886.0, 499.0, 87892.0],
        [29.0, 7470.0, 45.0, 7232.0],
        [17.0, 1699.0, 65.0, 1600.0],
        [186.0, 50448.0, 141.0, 27197.0],
        [5.0, 2493.0, 3.0, 2338.0],
        [27.0, 16886.0, 29.0, 17825.0],
    ];
    let effects: Vec<Uncertain> = TRIALS
        .iter()
        .map(|[ill, well, other_ill, other_well]| {
            let (all, others) = (ill + well, other_ill + other_well);
            let variance = ill.recip() - all.recip() + other_ill.recip() - others.recip();
            Uncertain::known(
                libm::log((ill / all) / (other_ill / others)),
                variance.sqrt(),
            )
        })
        .collect();
    let found = paule_mandel(&effects);
    assert!((found - 0.3181).abs() < 5e-5, "{found}");
    // statsmodels 0.15.0 on the same figures.
    assert!((found - 0.318_068_452_205_024_3).abs() < 1e-9, "{found}");
}

#[test]
fn lots_that_agree_or_are_alone_have_no_variance_between_them() {
    assert_eq!(paule_mandel(&lots("0.77/0.003")), 0.0);
    assert_eq!(paule_mandel(&[]), 0.0);
    assert_eq!(paule_mandel(&lots("0.77/0.003;0.771/0.003")), 0.0);
}

/// Weights 4 : 1 and `u = 1 ÷ √(1/1² + 1/2²)` (arithmetic).
#[test]
fn surer_values_weigh_more() {
    let found = inverse_variance_mean(&lots("10/1;20/2")).unwrap();
    assert!((found.value - 12.0).abs() < 1e-12);
    assert!((found.standard - 0.8f64.sqrt()).abs() < 1e-12);
    assert_eq!(found.freedom, f64::INFINITY);
    assert_eq!(inverse_variance_mean(&[]), None);
}

/// Two equal parts with 4 degrees of freedom each make 8 (Welch–Satterthwaite, arithmetic).
#[test]
fn degrees_of_freedom_follow_the_weighted_parts() {
    let part = Uncertain {
        value: 0.78,
        standard: 0.01,
        freedom: 4.0,
    };
    let found = inverse_variance_mean(&[part, part]).unwrap();
    assert!((found.freedom - 8.0).abs() < 1e-9);
    assert_eq!(inverse_variance_mean(&[part]), Some(part));
}

/// Two values 4 standard uncertainties of their difference apart, worked by hand: χ² = 16, so the
/// Birge ratio is 4; consistent values keep the uncertainty of their mean.
#[test]
fn values_that_contradict_each_other_are_less_certain_together() {
    let u = 0.005;
    let apart = 4.0 * u * std::f64::consts::SQRT_2;
    let values = [Uncertain::known(0.76, u), Uncertain::known(0.76 + apart, u)];
    let mean = consistent_mean(&values).unwrap();
    assert!((mean.value - (0.76 + apart / 2.0)).abs() < 1e-12);
    assert!((mean.standard - 4.0 * u / std::f64::consts::SQRT_2).abs() < 1e-12);
    assert!((contradiction(&values[0], &values[1]).unwrap().0 - apart).abs() < 1e-12);
    let close = [Uncertain::known(0.76, u), Uncertain::known(0.761, u)];
    assert_eq!(consistent_mean(&close), inverse_variance_mean(&close));
    assert_eq!(contradiction(&close[0], &close[1]), None);
}
