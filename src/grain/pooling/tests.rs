use super::*;

fn lots(text: &str) -> Vec<Uncertain> {
    text.split(';')
        .map(|lot| {
            let (value, sd) = lot.split_once('/').unwrap();
            Uncertain::known(value.parse().unwrap(), sd.parse().unwrap())
        })
        .collect()
}

fn agree(found: f64, expected: f64, what: &str) {
    // Between-lot variances are differences of sums, so the smallest carry rounding noise.
    let same = (found - expected).abs() <= 1e-9 * expected.abs().max(1e-6);
    assert!(same, "{what}: {found}, expected {expected}");
}

/// `reference.csv` was made once with statsmodels 0.15.0 and SciPy 1.17.1:
///
/// ```text
/// import random
/// from math import sqrt
/// from numpy import array
/// from scipy.stats import t
/// from statsmodels.stats.meta_analysis import combine_effects
///
/// random.seed(1986)
/// print("lots,mean,standard_error,between,prediction_standard,prediction_expanded_95")
/// for row in range(16):
///     k = row % 7 + 3
///     spread = random.choice([0.0, 0.002, 0.008, 0.02])
///     values = [round(random.gauss(0.775, spread), 5) for _ in range(k)]
///     sds = [round(random.uniform(0.002, 0.009), 5) for _ in range(k)]
///     result = combine_effects(array(values), array(sds) ** 2, method_re="dl")
///     # statsmodels keeps a negative variance between lots; the method takes it as 0, which is the
///     # fixed-effect mean.
///     between = max(0.0, float(result.tau2))
///     kind = "re" if result.tau2 > 0 else "fe"
///     mean = float(getattr(result, f"mean_effect_{kind}"))
///     error = float(getattr(result, f"sd_eff_w_{kind}"))
///     width = sqrt(between + error**2)
///     print(";".join(f"{v}/{s}" for v, s in zip(values, sds)), repr(mean), repr(error),
///           repr(between), repr(width), repr(float(t.ppf(0.975, k - 2) * width)), sep=",")
/// ```
#[test]
fn random_effects_agree_with_another_implementation() {
    let table = include_str!("reference.csv");
    let rows: Vec<&str> = table.lines().skip(1).collect();
    assert_eq!(rows.len(), 16);
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let number = |at: usize| cells[at].parse::<f64>().unwrap();
        let lots = lots(cells[0]);
        let pooled = random_effects(&lots).unwrap();
        agree(pooled.mean, number(1), row);
        agree(pooled.standard_error, number(2), row);
        agree(pooled.between, number(3), row);
        let next = prediction(&lots).unwrap();
        agree(next.standard, number(4), row);
        agree(next.expanded(), number(5), row);
    }
}

#[test]
fn two_lots_predict_nothing() {
    assert_eq!(prediction(&lots("0.77/0.003;0.78/0.003")), None);
    assert_eq!(random_effects(&lots("0.77/0.003")), None);
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
    assert!((contradiction(&values[0], &values[1]).unwrap() - apart).abs() < 1e-12);
    let close = [Uncertain::known(0.76, u), Uncertain::known(0.761, u)];
    assert_eq!(consistent_mean(&close), inverse_variance_mean(&close));
    assert_eq!(contradiction(&close[0], &close[1]), None);
}
