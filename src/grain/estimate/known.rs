//! All that was measured of a lot and of lots like it, and how it becomes one moisture.

use crate::grain::clipped;
use crate::grain::moisture_test::TestResult;
use crate::grain::pooling::{consistent_mean, inverse_variance_mean, prediction};
use crate::grain::precision::Precision;
use crate::grain::weighing::balance_uncertainty;
use crate::quantity::{Milligrams, Uncertain};

/// What was measured.
#[derive(Clone)]
pub(super) struct Known {
    precision: Precision,
    /// Tests of the lot weighed here, without their oven's bias.
    weighed: Vec<Uncertain>,
    /// Laboratories' figures for the lot.
    laboratories: Vec<Uncertain>,
    /// What earlier lots say.
    learned: Option<Learned>,
}

/// What earlier lots say of the next one.
#[derive(Clone, Copy)]
pub(super) struct Learned {
    /// Without the bias of the oven.
    moisture: Uncertain,
    /// Whether any was weighed here: then the whole is taken to have the bias of the oven. Where
    /// laboratories' figures are among them that is on the wide side.
    biased: bool,
}

impl Learned {
    fn from(lots: &[&TestResult]) -> Option<Self> {
        let values: Vec<Uncertain> = lots.iter().map(|lot| lot.repeatable).collect();
        Some(Self {
            moisture: prediction(&values)?,
            biased: lots.iter().any(|lot| lot.is_weighed()),
        })
    }

    /// What it says where nothing else shares its oven.
    fn alone(&self, precision: Precision) -> Uncertain {
        if self.biased {
            precision.with_bias(self.moisture)
        } else {
            self.moisture
        }
    }
}

impl Known {
    /// Sorts what was measured; earlier lots say something only if their 95 % range has less than
    /// `half_width` on either side.
    pub(super) fn new(
        tests: &[&TestResult],
        earlier: &[&TestResult],
        precision: Precision,
        half_width: f64,
    ) -> Self {
        let (weighed, laboratories): (Vec<&TestResult>, Vec<&TestResult>) =
            tests.iter().partition(|test| test.is_weighed());
        Self {
            precision,
            weighed: weighed.iter().map(|test| test.repeatable).collect(),
            laboratories: laboratories.iter().map(|test| test.moisture).collect(),
            learned: Learned::from(earlier)
                .filter(|one| one.alone(precision).expanded() < half_width),
        }
    }

    /// What earlier lots say, if it is worth anything.
    pub(super) const fn learned(&self) -> Option<Learned> {
        self.learned
    }

    /// One moisture from all of it; nothing from nothing.
    ///
    /// First what shares the oven, its bias added once; then the laboratories beside it; then earlier lots
    /// if they are not in yet. Where nothing contradicts this is generalized least squares.
    pub(super) fn together(&self) -> Option<Uncertain> {
        let weighed = consistent_mean(&self.weighed);
        let (in_oven, beside) = match self.learned {
            Some(learned) if learned.biased && weighed.is_some() => (Some(learned.moisture), None),
            Some(learned) => (None, Some(learned.alone(self.precision))),
            None => (None, None),
        };
        let of_oven = weighed.and_then(|mean| mean_of([Some(mean), in_oven]));
        let mut tested = self.laboratories.clone();
        tested.extend(of_oven.map(|mean| self.precision.with_bias(mean)));
        mean_of([consistent_mean(&tested), beside])
    }

    /// The same once another sample of 100 g, weighed on a balance that shows 0.1 g, has said what is
    /// expected of it: what was weighed here before, else `expected`.
    pub(super) fn with_one_more(&self, expected: f64) -> Uncertain {
        const SAMPLE: f64 = 100_000.0;
        const READABILITY: Milligrams = Milligrams::new(100);
        let expected = consistent_mean(&self.weighed).map_or(expected, |mean| mean.value);
        let balance = balance_uncertainty(clipped(expected).get(), SAMPLE, READABILITY);
        let scatter = balance.hypot(self.precision.repeatability_sd());
        let test = Uncertain::known(expected, scatter);
        let mut more = self.clone();
        more.weighed.push(test);
        more.together()
            .unwrap_or_else(|| self.precision.with_bias(test))
    }
}

fn mean_of(values: [Option<Uncertain>; 2]) -> Option<Uncertain> {
    let values: Vec<Uncertain> = values.into_iter().flatten().collect();
    inverse_variance_mean(&values)
}
