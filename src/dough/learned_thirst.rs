//! The thirst of the house's grain, learned from doughs whose water was recorded.
//!
//! Equations, symbols and sources: `docs/models/hold_back.md`, "What bakes teach".

use super::thirst::{CENTRE, HIGHEST, LOWEST};
use crate::quantity::Uncertain;
use std::collections::BTreeMap;

/// A dough whose water was recorded, on its total flour.
#[derive(Debug, Clone, PartialEq)]
pub struct WateredDough {
    /// Its formula: each has a hydration of its own, which may be off.
    pub formula: String,
    /// Grain whose thirst is not in the hydration, a fraction of total flour.
    pub grain: f64,
    /// Water poured beyond the sum without thirst, a fraction of total flour.
    pub more_water: f64,
    /// Standard uncertainty of that from the moisture of the grain.
    pub from_moisture: f64,
}

/// What doughs say of thirst.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LearnedThirst {
    /// Points of absorption for each percent of dry grain, at least.
    pub low: f64,
    /// The likeliest.
    pub likely: f64,
    /// At most.
    pub high: f64,
    /// On how many doughs it rests.
    pub doughs: usize,
}

/// So many of the newest doughs count: flour and grain of years ago say little. Our choice.
pub const NEWEST: usize = 40;

/// By how much of total flour a baker's hand differs from dough to dough: a percent, judgement; and the degrees of freedom
/// it counts for.
const HAND: f64 = 0.01;
const HAND_FREEDOM: f64 = 4.0;
/// The noise of the hand and the slope hang on each other: so often they are worked out in turn.
const TURNS: usize = 8;

/// The published figure as a standard deviation: its farther end is 1.96 of them from the centre.
fn published_sd() -> f64 {
    (HIGHEST - CENTRE) / 1.96
}

/// Bayesian linear regression of more water on grain, with an intercept for each formula and the published figure as prior of
/// the slope (Gelman and others, Bayesian Data Analysis, chapter 14, from memory).
pub fn posterior(doughs: &[WateredDough]) -> Uncertain {
    let mut of_formula: BTreeMap<&str, Vec<&WateredDough>> = BTreeMap::new();
    for dough in doughs {
        of_formula.entry(&dough.formula).or_default().push(dough);
    }
    let freedom = HAND_FREEDOM + doughs.len() as f64 - of_formula.len() as f64;
    let prior = published_sd().powi(-2);
    let mut noise = HAND * HAND;
    let (mut slope, mut seen) = (CENTRE, 0.0);
    for _ in 0..TURNS {
        let (mut cross, mut squares) = (0.0, 0.0);
        seen = 0.0;
        // An intercept for each formula is the same as to measure from its own mean.
        let mut centred: Vec<(f64, f64, f64)> = Vec::new();
        for of_one in of_formula.values() {
            let weight = |dough: &WateredDough| (noise + dough.from_moisture.powi(2)).recip();
            let all: f64 = of_one.iter().map(|dough| weight(dough)).sum();
            let mean = |of: fn(&WateredDough) -> f64| {
                of_one
                    .iter()
                    .map(|dough| weight(dough) * of(dough))
                    .sum::<f64>()
                    / all
            };
            let (grain, more) = (mean(|dough| dough.grain), mean(|dough| dough.more_water));
            centred.extend(
                of_one
                    .iter()
                    .map(|dough| (weight(dough), dough.grain - grain, dough.more_water - more)),
            );
        }
        for (weight, grain, more) in &centred {
            seen += weight * grain * grain;
            cross += weight * grain * more;
        }
        slope = (prior * CENTRE + cross) / (prior + seen);
        for (weight, grain, more) in &centred {
            // Of a residual the hand has its share; the rest is the moisture.
            squares += noise * weight * (more - slope * grain).powi(2);
        }
        noise = (HAND_FREEDOM * HAND * HAND + squares) / freedom;
    }
    let variance = (prior + seen).recip();
    Uncertain {
        value: slope,
        standard: variance.sqrt(),
        // What the prior says is known; only the rest hangs on how well the hand is.
        freedom: freedom / (seen * variance).powi(2),
    }
}

/// What doughs say, nothing from none. It lies in the published range as long as its centre does; doughs of one share for each
/// formula leave it at that.
pub fn learned(doughs: &[WateredDough]) -> Option<LearnedThirst> {
    let found = posterior(doughs);
    let (mut low, mut high) = found.range();
    if (LOWEST..=HIGHEST).contains(&found.value) {
        (low, high) = (low.max(LOWEST), high.min(HIGHEST));
    }
    (!doughs.is_empty()).then_some(LearnedThirst {
        low,
        likely: found.value,
        high,
        doughs: doughs.len(),
    })
}

#[cfg(test)]
mod tests;
