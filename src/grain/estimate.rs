//! A lot's moisture from the best evidence there is, with where it comes from.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use super::moisture_test::BETWEEN_SAMPLE_SD;
use super::pooling::{consistent_mean, inverse_variance_mean, prediction};
use super::weighing::balance_uncertainty;
use super::{Form, Kind, clipped};
use crate::quantity::text::count;
use crate::quantity::{Milligrams, Uncertain, WetBasis};
use std::fmt;

/// What a lot's moisture is taken to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Moisture, a fraction of wet mass, wet basis.
    pub moisture: Uncertain,
    /// Where it comes from.
    pub from: Evidence,
}

/// Where an estimate comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evidence {
    /// Moisture tests of this lot.
    Tests {
        /// How many tests.
        count: usize,
        /// How many earlier lots were weighed in with them, if any.
        with_earlier_lots: Option<usize>,
    },
    /// Tested earlier lots of the same source and form.
    EarlierLots {
        /// How many lots.
        count: usize,
    },
    /// What is published for grain of this form, or judgement where nothing is.
    PublishedDefault,
    /// Steeped grain, of which nothing is published: the figure of mashed grain, taken wider.
    NoPublishedComposition,
}

impl Evidence {
    /// A short word for files that others read; it stays the same.
    pub const fn as_key(self) -> &'static str {
        match self {
            Self::Tests {
                with_earlier_lots: None,
                ..
            } => "test",
            Self::Tests { .. } => "test and earlier lots",
            Self::EarlierLots { .. } => "earlier lots",
            Self::PublishedDefault => "published default",
            Self::NoPublishedComposition => "no published composition",
        }
    }
}

impl fmt::Display for Evidence {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Tests {
                count: tests,
                with_earlier_lots: None,
            } => write!(formatter, "{} of this lot", count(*tests, "moisture test")),
            Self::Tests {
                count: tests,
                with_earlier_lots: Some(lots),
            } => write!(
                formatter,
                "{} of this lot, weighed together with {} of the same source and form",
                count(*tests, "moisture test"),
                count(*lots, "earlier lot"),
            ),
            Self::EarlierLots { count: lots } => write!(
                formatter,
                "{} of the same source and form (random-effects mean, DerSimonian & Laird 1986); \
                 this lot is not tested",
                count(*lots, "earlier lot"),
            ),
            Self::PublishedDefault => formatter.write_str(
                "not tested, too few tested earlier lots: the published default (fresh grain 70 to \
                 80 %, Bianco et al. 2020; the width, pressed and dried grain by judgement)",
            ),
            Self::NoPublishedComposition => formatter.write_str(
                "not tested, too few tested earlier lots, and no composition of steeped grain has \
                 been published: the figure of mashed grain, taken wider by judgement",
            ),
        }
    }
}

/// The moisture to take where nothing was measured, a fraction of wet mass.
///
/// Whole and blended: 78 %, plausible 70 to 85 % read as ± 2 standard deviations (75–80 %: Oliver
/// 2011, The Oxford Companion to Beer; 70–80 %: Bianco et al. 2020; 77–80 %: Głowacki et al. 2022).
/// Pressed: 65 %, ± 2 sd 55 to 75 %, judgement around 70 % (US 2012/0005916) and below 60 % (Aliyu &
/// Bala 2011). Dried and milled: 8 %, ± 2 sd 2 to 14 %, judgement around below 10 % (Głowacki et al.
/// 2022) and 6.19 % (International Journal of Food Science 2022, 8704684). Steeped grain: the same
/// with 4/3 of the standard deviation, so 5 points when whole, judgement.
pub fn default_moisture(form: Form, kind: Kind) -> Uncertain {
    let (value, standard) = match form {
        Form::Whole | Form::Blended => (0.78, 0.0375),
        Form::Pressed => (0.65, 0.05),
        Form::Dried | Form::Milled => (0.08, 0.03),
    };
    match kind {
        Kind::Mashed => Uncertain::known(value, standard),
        Kind::Steeped => Uncertain::known(value, standard * 4.0 / 3.0),
    }
}

/// Puts together the tests of a lot and the moistures of earlier tested lots of its source and form.
///
/// Tests count by inverse variance, and by less where they contradict each other. Earlier lots join in from three on, and only if their 95 % range
/// is narrower than the default's. The default stands in where there is neither and is never
/// mixed into a measured value, since a guess is not evidence. Values whose standard uncertainty is
/// not more than 0 claim what no measurement can and are left out.
pub fn estimate(tests: &[Uncertain], earlier: &[Uncertain], form: Form, kind: Kind) -> Estimate {
    let tests = usable(tests);
    let earlier = usable(earlier);
    let default = default_moisture(form, kind);
    let tested = consistent_mean(&tests);
    let learned = prediction(&earlier).filter(|one| one.expanded() < default.expanded());
    let from_tests = |with_earlier_lots| Evidence::Tests {
        count: tests.len(),
        with_earlier_lots,
    };
    let (moisture, from) = match (tested, learned) {
        (Some(tested), Some(learned)) => (
            inverse_variance_mean(&[tested, learned]).unwrap_or(tested),
            from_tests(Some(earlier.len())),
        ),
        (Some(tested), None) => (tested, from_tests(None)),
        (None, Some(learned)) => (
            learned,
            Evidence::EarlierLots {
                count: earlier.len(),
            },
        ),
        (None, None) => (
            default,
            match kind {
                Kind::Mashed => Evidence::PublishedDefault,
                Kind::Steeped => Evidence::NoPublishedComposition,
            },
        ),
    };
    Estimate { moisture, from }
}

fn usable(values: &[Uncertain]) -> Vec<Uncertain> {
    values
        .iter()
        .copied()
        .filter(|one| one.value.is_finite() && one.standard.is_finite() && one.standard > 0.0)
        .collect()
}

impl Estimate {
    /// The best single figure.
    pub fn wet_basis(&self) -> WetBasis {
        clipped(self.moisture.value)
    }

    /// Lower and upper end of the 95 % range, clipped to what grain can be.
    pub fn range(&self) -> (WetBasis, WetBasis) {
        let (low, high) = self.moisture.range();
        (clipped(low), clipped(high))
    }

    /// Half-width of the 95 % range, a fraction of wet mass, after one further test of one sample of
    /// 100 g on a balance that shows 0.1 g. It replaces a default and joins anything measured.
    pub fn after_one_more_test(&self) -> f64 {
        const SAMPLE: f64 = 100_000.0;
        const READABILITY: Milligrams = Milligrams::new(100);
        let moisture = self.wet_basis().get();
        let balance = balance_uncertainty(moisture, SAMPLE, READABILITY);
        let test = Uncertain::known(moisture, balance.hypot(BETWEEN_SAMPLE_SD));
        let after = match self.from {
            Evidence::PublishedDefault | Evidence::NoPublishedComposition => test,
            Evidence::Tests { .. } | Evidence::EarlierLots { .. } => {
                inverse_variance_mean(&[self.moisture, test]).unwrap_or(test)
            }
        };
        after.expanded()
    }
}

#[cfg(test)]
mod tests;
