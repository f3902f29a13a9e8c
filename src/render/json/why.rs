//! Why a moisture is known as it is, as JSON.

use super::{fraction, grams};
use crate::grain::Estimate;
use crate::report::moisture::{MoistureWhy, NextBake};
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
}

impl Why {
    /// From what was asked.
    pub(super) fn of(estimate: &Estimate, why: &MoistureWhy) -> Self {
        let (pulls, next) = (estimate.pulls.as_ref(), why.next_bake.as_ref());
        Self {
            pull_own: pulls.map(|pulls| fraction(pulls.own)),
            pull_other_sources: pulls.map(|pulls| fraction(pulls.others)),
            pull_published: pulls.map(|pulls| fraction(pulls.published)),
            expanded_95_after: fraction(estimate.after_one_more_test()),
            next_bake: next.map(|next| next.code.to_string()),
            held_now_g: next.map(|next| grams(next.held_now)),
            held_after_g: next.map(|next| grams(next.held_after)),
            is_worth_a_test: next.map(NextBake::is_worth_a_test),
        }
    }
}
