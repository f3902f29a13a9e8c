use super::*;
use crate::grain::estimate::default_moisture;
use crate::grain::{Form, Kind, Precision};
use crate::quantity::uncertain::welch_satterthwaite;

fn read(cell: &str) -> Vec<Uncertain> {
    cell.split_terminator(';')
        .map(|lot| {
            let (value, sd) = lot.split_once('/').unwrap();
            Uncertain::known(value.parse().unwrap(), sd.parse().unwrap())
        })
        .collect()
}

fn whole() -> Published {
    Published::of(&default_moisture(Form::Whole, Kind::Mashed))
}

/// `reference.csv` was made once with NumPy 2.4.6 and SciPy 1.17.1 by another way: all lots at once, with the
/// matrix of their covariances, and the conditional mean of a normal distribution.
///
/// ```text
/// import random
/// from numpy import array, diag, equal, linalg, ones
/// from scipy.optimize import brentq
///
/// def paule_mandel(values, variances):
///     def excess(between):
///         weights = 1 / (variances + between)
///         mean = (weights * values).sum() / weights.sum()
///         return (weights * (values - mean) ** 2).sum() - (len(values) - 1)
///     return brentq(excess, 0, 1, xtol=1e-20, rtol=1e-14) if excess(0) > 0 else 0.0
///
/// random.seed(1991)
/// LOTS, FREEDOM, DEFAULT = 0.0177**2 / 2, 4, 0.0375**2
/// SOURCES, OVERALL = 0.75 * (DEFAULT - 2 * LOTS), 0.25 * (DEFAULT - 2 * LOTS)
///
/// def draw(count):
///     mean, spread = random.gauss(0.78, 0.03), random.choice([0.003, 0.01, 0.02])
///     return [(round(random.gauss(mean, spread), 5), round(random.uniform(0.001, 0.006), 5)) for _ in range(count)]
///
/// def between(lots):
///     seen = max(0, len(lots) - 1)
///     tau2 = 0.0
///     if seen:
///         values, sds = (array(column) for column in zip(*lots))
///         tau2 = paule_mandel(values, sds**2)
///     return (FREEDOM * LOTS + seen * tau2) / (FREEDOM + seen)
///
/// def text(lots):
///     return ";".join(f"{value}/{sd}" for value, sd in lots)
///
/// print("own,others,value,between,mean_error")
/// for row in range(24):
///     own = draw([0, 1, 2, 3, 10, 20][row % 6])
///     others = [draw(random.choice([1, 2, 5])) for _ in range(row // 6)]
///     if not own and not others:
///         continue
///     sources = [own] + others
///     lots = [(source, value, sd) for source, of in enumerate(sources) for value, sd in of]
///     source, value, sd = (array(column) for column in zip(*lots))
///     tau2 = array([between(of) for of in sources])
///     same = equal.outer(source, source)
///     cov = OVERALL + SOURCES * same + diag(tau2[source] + sd**2)
///     to = OVERALL + SOURCES * (source == 0)
///     weights = linalg.solve(cov, to)
///     best = 0.78 + weights @ (value - 0.78)
///     error = (OVERALL + SOURCES - weights @ to) ** 0.5
///     print(text(own), "|".join(map(text, others)), repr(float(best)), repr(float(tau2[0] ** 0.5)), repr(float(error)), sep=",")
/// ```
#[test]
fn the_next_lot_is_that_of_another_implementation() {
    let rows: Vec<&str> = include_str!("reference.csv").lines().skip(1).collect();
    assert_eq!(rows.len(), 23);
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let others: Vec<Vec<Uncertain>> = cells[1].split_terminator('|').map(read).collect();
        let found = next_lot(&read(cells[0]), &others, &whole());
        // Of the mean's uncertainty, what all sources share is a part by itself.
        let mean_error = libm::hypot(found.mean_error, found.overall_error);
        for (found, at) in [(found.value, 2), (found.between, 3), (mean_error, 4)] {
            let expected: f64 = cells[at].parse().unwrap();
            assert!(
                (found - expected).abs() < 1e-9,
                "{row}: {found}, expected {expected}"
            );
        }
        let Pulls {
            own,
            others,
            published,
        } = found.pulls;
        assert!((own + others + published - 1.0).abs() < 1e-12);
        assert!(own >= 0.0 && others >= 0.0 && published > 0.0);
    }
}

/// Pale, wet lots of one source, dry ones of another: the more lots, the less is pulled elsewhere.
#[test]
fn every_lot_pulls_the_mean_further_to_its_source() {
    let lot = |value| Uncertain::known(value, 0.002);
    let others = [vec![lot(0.75), lot(0.752)]];
    let mut last = next_lot(&[], &others, &whole());
    assert!(last.pulls.own == 0.0 && last.value < 0.78);
    for count in 1..12 {
        let next = next_lot(&vec![lot(0.81); count], &others, &whole());
        assert!(
            next.pulls.own > last.pulls.own && next.value > last.value,
            "{count}"
        );
        assert!(next.between < last.between || count == 1, "{count}");
        last = next;
    }
    assert!(last.pulls.own > 0.95, "{last:?}");
}

/// What the page says of a steady brewery, and that one whose lots scatter is told to.
#[test]
fn a_steady_brewery_is_known_and_another_is_not() {
    let half_width = |spread: f64| {
        // Evenly spread, with this standard deviation.
        let lots: Vec<Uncertain> = (0..30)
            .map(|lot| {
                let place = (f64::from(lot) - 14.5) / 8.655;
                Uncertain::known(0.77 + spread * place, 0.001)
            })
            .collect();
        let next = next_lot(&lots, &[], &whole());
        let oven = Precision::UNMILLED.between_laboratories_sd();
        let parts = [
            (next.between, next.freedom),
            (
                libm::hypot(next.mean_error, next.overall_error),
                f64::INFINITY,
            ),
            (oven, f64::INFINITY),
        ];
        let variance: f64 = parts.iter().map(|(part, _)| part * part).sum();
        let freedom = welch_satterthwaite(&parts);
        Uncertain {
            value: next.value,
            standard: variance.sqrt(),
            freedom,
        }
        .expanded()
    };
    assert!(
        (half_width(0.002) - 0.014).abs() < 0.0005,
        "{}",
        half_width(0.002)
    );
    assert!(half_width(0.02) > 0.04, "{}", half_width(0.02));
}

/// Three lots of 77 to 80 % (Głowacki et al. 2022) and the default's range (see its sources) are what the parts add
/// up to.
#[test]
fn the_parts_of_a_default_add_up_to_it() {
    for (form, kind) in [
        (Form::Whole, Kind::Mashed),
        (Form::Dried, Kind::Mashed),
        (Form::Pressed, Kind::Steeped),
    ] {
        let default = default_moisture(form, kind);
        let published = Published::of(&default);
        let between = published.between_lots * published.freedom / (published.freedom - 2.0);
        let sum = published.overall + published.between_sources + between;
        assert!((sum.sqrt() / default.standard - 1.0).abs() < 1e-12);
    }
    let range_of_three = 0.80 - 0.77;
    assert!(((2.0 * whole().between_lots).sqrt() - range_of_three / 1.693).abs() < 5e-5);
}
