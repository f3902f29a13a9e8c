//! Why a moisture is known as it is, as JSON.

use super::{fraction, grams};
use crate::report::SourceChart;
use crate::report::moisture::{MoistureAnswer, MoistureWhy};
use serde::Serialize;

/// `moisture --why --json`.
#[derive(Serialize)]
pub(super) struct Why {
    pull_own: Option<f64>,
    pull_other_sources: Option<f64>,
    pull_published: Option<f64>,
    expanded_95_after: f64,
    next_bake: Option<String>,
    held_now_g: Option<f64>,
    held_after_g: Option<f64>,
    is_worth_a_test: Option<bool>,
    #[serde(flatten)]
    limits: Limits,
}

/// The tested lots of a source with their limits, and what breaks a rule.
#[derive(Serialize)]
pub(super) struct Limits {
    source_lots: Option<usize>,
    limit_low_wet_basis: Option<f64>,
    limit_high_wet_basis: Option<f64>,
    odd_lots: Vec<String>,
    drift: Option<&'static str>,
}

impl Limits {
    /// From the chart; nothing of grain that has none.
    pub(super) fn of(source: Option<&SourceChart>) -> Self {
        let limits = source.and_then(|source| Some(source.chart.as_ref()?.limits()));
        Self {
            source_lots: source.map(|source| source.lots.len()),
            limit_low_wet_basis: limits.map(|(low, _)| fraction(low)),
            limit_high_wet_basis: limits.map(|(_, high)| fraction(high)),
            odd_lots: source
                .into_iter()
                .flat_map(SourceChart::odd)
                .map(|(lot, ..)| lot.to_string())
                .collect(),
            drift: source
                .and_then(SourceChart::drift)
                .map(|signal| signal.rule.as_key()),
        }
    }
}

impl Why {
    /// From what was asked.
    pub(super) fn of(answer: &MoistureAnswer, why: &MoistureWhy) -> Self {
        let estimate = &answer.estimate;
        let (pulls, next) = (estimate.pulls.as_ref(), why.next_bake.as_ref());
        Self {
            pull_own: pulls.map(|pulls| fraction(pulls.own)),
            pull_other_sources: pulls.map(|pulls| fraction(pulls.others)),
            pull_published: pulls.map(|pulls| fraction(pulls.published)),
            expanded_95_after: fraction(estimate.after_one_more_test()),
            next_bake: next.map(|next| next.code.to_string()),
            held_now_g: next.map(|next| grams(next.held_now)),
            held_after_g: next.map(|next| grams(next.held_after)),
            is_worth_a_test: next.map(|_| answer.is_worth_a_test()),
            limits: Limits::of(why.source.as_ref()),
        }
    }
}
