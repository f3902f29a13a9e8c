//! What a moisture test says, and what its unfinished samples say.

use super::pooling;
use super::warning::Warning;
use crate::quantity::{Uncertain, WetBasis};

/// Samples whose drying has not ended.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Unfinished {
    /// How many.
    pub samples: usize,
    /// The most that one of them has lost so far: the moisture is at least this.
    pub at_least: Option<WetBasis>,
}

impl Unfinished {
    /// Those of several tests.
    pub fn of(tests: &[TestResult]) -> Self {
        tests.iter().fold(Self::default(), |all, test| Self {
            samples: all.samples + test.unfinished.samples,
            at_least: largest(
                [all.at_least, test.unfinished.at_least]
                    .into_iter()
                    .flatten(),
            ),
        })
    }
}

pub(super) fn largest(moistures: impl Iterator<Item = WetBasis>) -> Option<WetBasis> {
    moistures.max_by(|one, other| one.get().total_cmp(&other.get()))
}

/// What a test says.
#[derive(Debug, Clone, PartialEq)]
pub struct TestResult {
    /// Moisture of each weighed sample, in the order weighed.
    pub samples: Vec<WetBasis>,
    /// Its samples whose drying has not ended.
    pub unfinished: Unfinished,
    /// Moisture of the lot, a fraction of wet mass, wet basis.
    pub moisture: Uncertain,
    /// The same value with only what scatters from test to test: without the bias that weighed tests of one
    /// oven share. A laboratory's figure keeps all of its uncertainty.
    pub repeatable: Uncertain,
    /// What makes one doubt it.
    pub warnings: Vec<Warning>,
}

impl TestResult {
    /// Whether samples were weighed here; otherwise a laboratory gave its figure.
    pub fn is_weighed(&self) -> bool {
        !self.samples.is_empty()
    }

    /// All finished tests of one lot, weighed ones first together, as one; nothing from none.
    pub fn of_lot(tests: &[Self]) -> Option<Self> {
        let usable = || tests.iter().filter(|test| test.is_usable());
        let repeatable: Vec<Uncertain> = usable().map(|test| test.repeatable).collect();
        let repeatable = pooling::consistent_mean(&repeatable)?;
        Some(Self {
            samples: usable().flat_map(|test| &test.samples).copied().collect(),
            unfinished: Unfinished::default(),
            moisture: repeatable,
            repeatable,
            warnings: Vec::new(),
        })
    }

    /// Whether it says a moisture; one whose samples are all unfinished, or that claims what no measurement can,
    /// does not.
    pub fn is_usable(&self) -> bool {
        [self.moisture, self.repeatable]
            .iter()
            .all(|one| one.value.is_finite() && one.standard.is_finite() && one.standard > 0.0)
    }
}
