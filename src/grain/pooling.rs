//! Putting uncertain values together: tests of one lot, and what earlier lots say about the next.

use crate::quantity::Uncertain;
use crate::quantity::uncertain::welch_satterthwaite;

/// Weighted mean of values of one and the same thing, weights `1 ÷ u²`; nothing from no values.
///
/// Standard uncertainties must be more than 0. Degrees of freedom by Welch–Satterthwaite over the
/// weighted parts (JCGM 100:2008, G.4.1).
pub fn inverse_variance_mean(values: &[Uncertain]) -> Option<Uncertain> {
    if let [only] = values {
        return Some(*only);
    }
    let weights: f64 = values.iter().map(weight).sum();
    if weights <= 0.0 {
        return None;
    }
    let sum: f64 = values.iter().map(|one| weight(one) * one.value).sum();
    let parts: Vec<(f64, f64)> = values
        .iter()
        .map(|one| (weight(one) / weights * one.standard, one.freedom))
        .collect();
    Some(Uncertain {
        value: sum / weights,
        standard: weights.sqrt().recip(),
        freedom: welch_satterthwaite(&parts),
    })
}

/// The mean of [`inverse_variance_mean`], made less certain where the values scatter more than their
/// own uncertainties allow: the standard uncertainty grows by the Birge ratio √(χ² ÷ (n − 1)) where
/// that is above 1 (Birge 1932, Physical Review 40:207–227, from memory). It then rests on how n values scatter, so on
/// n − 1 degrees of freedom (JCGM 100:2008, G.3.3), as if they were samples of one test.
pub fn consistent_mean(values: &[Uncertain]) -> Option<Uncertain> {
    let mean = inverse_variance_mean(values)?;
    let ratio = birge_ratio(values, mean.value);
    let scatter = values.len() as f64 - 1.0;
    Some(Uncertain {
        standard: mean.standard * ratio,
        freedom: if ratio > 1.0 {
            mean.freedom.min(scatter)
        } else {
            mean.freedom
        },
        ..mean
    })
}

/// By how much more values scatter around their mean than their own uncertainties allow; at least 1.
pub fn birge_ratio(values: &[Uncertain], mean: f64) -> f64 {
    let scatter: f64 = values
        .iter()
        .map(|one| weight(one) * (one.value - mean).powi(2))
        .sum();
    let freedom = (values.len() as f64 - 1.0).max(1.0);
    (scatter / freedom).sqrt().max(1.0)
}

/// The difference between two values where it is more than chance explains at 95 %.
pub fn contradiction(one: &Uncertain, other: &Uncertain) -> Option<(f64, f64)> {
    let difference = (one.value - other.value).abs();
    let allowed = Uncertain::known(0.0, libm::hypot(one.standard, other.standard)).expanded();
    (difference > allowed).then_some((difference, allowed))
}

fn weight(value: &Uncertain) -> f64 {
    value.standard.powi(-2)
}

/// Variance between lots beyond what their own uncertainties explain: that at which the weighted squares around the
/// weighted mean are what chance makes of them, k − 1 (Paule & Mandel 1982, Journal of Research of the National Bureau of
/// Standards 87:377–385). Nothing where they explain it all, or of fewer than two lots.
pub fn paule_mandel(lots: &[Uncertain]) -> f64 {
    let expected = lots.len() as f64 - 1.0;
    let squares = |between: f64| {
        let weight = |lot: &Uncertain| (lot.standard.powi(2) + between).recip();
        let weights: f64 = lots.iter().map(weight).sum();
        let mean = lots.iter().map(|lot| weight(lot) * lot.value).sum::<f64>() / weights;
        let of_lot = |lot: &Uncertain| weight(lot) * (lot.value - mean).powi(2);
        lots.iter().map(of_lot).sum::<f64>()
    };
    if lots.len() < 2 || squares(0.0) <= expected {
        return 0.0;
    }
    // Falls all the way, so halving finds where it crosses.
    let (mut low, mut high) = (0.0, f64::MIN_POSITIVE.max(lots[0].standard.powi(2)));
    while squares(high) > expected {
        (low, high) = (high, 2.0 * high);
    }
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if squares(middle) > expected {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests;
