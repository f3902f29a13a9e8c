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
/// that is above 1 (Birge 1932, Physical Review 40:207–227, from memory).
pub fn consistent_mean(values: &[Uncertain]) -> Option<Uncertain> {
    let mean = inverse_variance_mean(values)?;
    Some(Uncertain {
        standard: mean.standard * birge_ratio(values, mean.value),
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
pub fn contradiction(one: &Uncertain, other: &Uncertain) -> Option<f64> {
    let difference = (one.value - other.value).abs();
    let allowed = Uncertain::known(0.0, one.standard.hypot(other.standard)).expanded();
    (difference > allowed).then_some(difference)
}

fn weight(value: &Uncertain) -> f64 {
    value.standard.powi(-2)
}

/// Mean of a population of lots that differ among themselves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RandomEffects {
    /// Mean over lots.
    pub mean: f64,
    /// Standard error of the mean.
    pub standard_error: f64,
    /// Variance between lots, τ².
    pub between: f64,
}

/// Random-effects mean with the between-lot variance of DerSimonian & Laird (1986), Controlled
/// Clinical Trials 7:177–188. Nothing from fewer than two values.
pub fn random_effects(lots: &[Uncertain]) -> Option<RandomEffects> {
    if lots.len() < 2 {
        return None;
    }
    let weights: f64 = lots.iter().map(weight).sum();
    let squares: f64 = lots.iter().map(|lot| weight(lot).powi(2)).sum();
    let fixed = lots.iter().map(|lot| weight(lot) * lot.value).sum::<f64>() / weights;
    let scatter: f64 = lots
        .iter()
        .map(|lot| weight(lot) * (lot.value - fixed).powi(2))
        .sum();
    let expected = lots.len() as f64 - 1.0;
    let between = ((scatter - expected) / (weights - squares / weights)).max(0.0);
    let random_weight = |lot: &Uncertain| (lot.standard.powi(2) + between).recip();
    let total: f64 = lots.iter().map(random_weight).sum();
    let sum: f64 = lots.iter().map(|lot| random_weight(lot) * lot.value).sum();
    Some(RandomEffects {
        mean: sum / total,
        standard_error: total.sqrt().recip(),
        between,
    })
}

/// What the next lot will be, from at least three earlier ones: variance τ² + se², Student's t with
/// k − 2 degrees of freedom (Higgins, Thompson & Spiegelhalter 2009, Journal of the Royal
/// Statistical Society A 172:137–159). What the values share is not in it: it cannot be seen from how they
/// differ, so the caller takes it out before and adds it after.
pub fn prediction(lots: &[Uncertain]) -> Option<Uncertain> {
    if lots.len() < 3 {
        return None;
    }
    let pooled = random_effects(lots)?;
    Some(Uncertain {
        value: pooled.mean,
        standard: (pooled.between + pooled.standard_error.powi(2)).sqrt(),
        freedom: lots.len() as f64 - 2.0,
    })
}

#[cfg(test)]
mod tests;
