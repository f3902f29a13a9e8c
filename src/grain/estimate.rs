//! A lot's moisture from the best evidence there is, with where it comes from.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use super::by_cause::{ByCause, Cause};
use super::moisture_test::{TestResult, Unfinished};
use super::next_lot::Pulls;
use super::pooling;
use super::precision::Precision;
use super::within::Within;
use super::{Form, Kind, clipped, possible_range, wettest};
use crate::quantity::text::count;
use crate::quantity::{Uncertain, WetBasis};
use known::Known;
use std::fmt;

mod known;

/// What a lot's moisture is taken to be.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// Moisture, a fraction of wet mass, wet basis.
    pub moisture: Uncertain,
    /// The same with its uncertainty by cause, for mixtures.
    pub by_cause: ByCause,
    /// Where it comes from.
    pub from: Evidence,
    /// Samples of it whose drying has not ended.
    pub unfinished: Unfinished,
    /// What pulled the mean of an untested lot, where lots were tested before.
    pub pulls: Option<Pulls>,
    /// How many samples from different places of the lot would do, see [`Within::samples_enough`].
    pub samples_enough: usize,
    /// Whether its tests contradict each other so much that they say less than the default would.
    pub says_less_than_default: bool,
    /// Whether the range is wider for an unfinished sample.
    widened: bool,
    /// Half-width of the 95 % range after one further test.
    after_one_more_test: f64,
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
    /// The weights of the treatment that made the lot.
    Treatment {
        /// Whether the grain before it was tested.
        tested: bool,
    },
    /// The lots that were joined to it.
    Joined {
        /// How many lots.
        count: usize,
        /// Whether each of them was tested.
        tested: bool,
    },
    /// Tested earlier lots of the same source and form.
    EarlierLots {
        /// How many lots.
        count: usize,
    },
    /// Tested lots of other sources in the same form: none of this one was.
    OtherSources {
        /// How many lots.
        count: usize,
    },
    /// What is published for grain of this form, or judgement where nothing is.
    PublishedDefault,
    /// Steeped grain, of which nothing is published: the figure of mashed grain, with a wider range.
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
            Self::Treatment { .. } => "treatment",
            Self::Joined { .. } => "joined lots",
            Self::EarlierLots { .. } => "earlier lots",
            Self::OtherSources { .. } => "lots of other sources",
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
                "{} of this lot, taken together with {} of the same source and form",
                count(*tests, "moisture test"),
                count(*lots, "other lot"),
            ),
            Self::Treatment { tested } => write!(
                formatter,
                "the weights before and after its treatment, dry grain conserved but for stated losses; \
                 the grain before it was {}",
                if *tested { "tested" } else { "not tested" },
            ),
            Self::Joined { count: lots, .. } => write!(
                formatter,
                "{} put together, by wet weight, their uncertainties added up",
                count(*lots, "lot"),
            ),
            Self::EarlierLots { count: lots } => write!(
                formatter,
                "{} of the same source and form, taken together with other sources and the published figure \
                 (Paule & Mandel 1982); the lot itself is not tested",
                count(*lots, "other lot"),
            ),
            Self::OtherSources { count: lots } => write!(
                formatter,
                "{} of other sources in the same form, taken together with the published figure; no lot of this \
                 source is tested",
                count(*lots, "lot"),
            ),
            Self::PublishedDefault => formatter.write_str(
                "not tested, and no other lot is: the published default (fresh grain 70 to \
                 80 %, Bianco et al. 2020; the width, pressed and dried grain by judgement)",
            ),
            Self::NoPublishedComposition => formatter.write_str(
                "not tested, no other lot is, and no composition of steeped grain has been \
                 published: the figure of mashed grain, with a range wider by judgement",
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

/// Tested earlier lots of one kind and form; of each there is one result, [`TestResult::of_lot`].
#[derive(Debug, Clone, Copy, Default)]
pub struct Earlier<'a> {
    /// Of the source itself.
    pub own: &'a [TestResult],
    /// Of each other source.
    pub others: &'a [Vec<TestResult>],
}

/// Puts together the tests of a lot and the tests of earlier lots.
///
/// Tests count by inverse variance, and by less where they contradict each other. What earlier lots say is pulled towards
/// lots of other sources and the default, the more the fewer they are, see [`next_lot`](super::next_lot). What was weighed
/// here shares the bias of one oven, which is added once, after the rest. The default alone stands in where there is
/// nothing else. Values whose standard uncertainty is not more than 0 claim what no measurement can and are left out.
pub fn estimate(
    tests: &[TestResult],
    earlier: Earlier<'_>,
    form: Form,
    kind: Kind,
    within: &Within,
) -> Estimate {
    let unfinished = Unfinished::of(tests);
    let tests: Vec<&TestResult> = tests.iter().filter(|one| one.is_usable()).collect();
    let default = default_moisture(form, kind);
    let precision = Precision::of(form);
    let known = Known::new(&tests, earlier, (precision, *within), &default);
    let lots = known.learned().map(|learned| (learned.own, learned.others));
    let from = match (tests.len(), lots, kind) {
        (0, Some((0, count)), _) => Evidence::OtherSources { count },
        (0, Some((count, _)), _) => Evidence::EarlierLots { count },
        (0, None, Kind::Mashed) => Evidence::PublishedDefault,
        (0, None, Kind::Steeped) => Evidence::NoPublishedComposition,
        (count, lots, _) => Evidence::Tests {
            count,
            with_earlier_lots: lots.map(|(own, _)| own),
        },
    };
    let by_cause = known
        .together()
        .unwrap_or_else(|| ByCause::one(default, Cause::Default));
    let after = known.with_one_more(by_cause.value).expanded();
    let pulls = known.learned().map(|learned| learned.pulls);
    let found = Estimate::with(by_cause, from, after, within.samples_enough(precision));
    Estimate {
        pulls: pulls.filter(|_| tests.is_empty()),
        says_less_than_default: !tests.is_empty()
            && found.moisture.expanded() >= default.expanded(),
        ..found
    }
    .beside(unfinished)
}

/// The largest difference between two tests of one lot that is more than chance explains at 95 %, and how much it
/// explains there.
///
/// Two tests weighed here share their oven's bias, so only what repeats may explain a difference between
/// them; a laboratory does not share it.
pub fn contradiction(tests: &[TestResult]) -> Option<(f64, f64)> {
    let apart = |(one, other): (&TestResult, &TestResult)| {
        if one.is_weighed() && other.is_weighed() {
            pooling::contradiction(&one.repeatable, &other.repeatable)
        } else {
            pooling::contradiction(&one.moisture, &other.moisture)
        }
    };
    let tests: Vec<&TestResult> = tests.iter().filter(|one| one.is_usable()).collect();
    tests
        .iter()
        .enumerate()
        .flat_map(|(index, one)| tests[index + 1..].iter().map(move |other| (*one, *other)))
        .filter_map(apart)
        .max_by(|(one, _), (other, _)| one.total_cmp(other))
}

impl Estimate {
    /// A moisture that follows from those of other lots; a test of the lot itself takes its place.
    pub fn calculated(by_cause: ByCause, from: Evidence, form: Form) -> Self {
        let (precision, within) = (Precision::of(form), Within::default());
        let default = default_moisture(form, Kind::Mashed);
        let untested = Known::new(&[], Earlier::default(), (precision, within), &default);
        let after = untested.with_one_more(by_cause.value).expanded();
        Self::with(by_cause, from, after, within.samples_enough(precision))
    }

    fn with(by_cause: ByCause, from: Evidence, after: f64, samples_enough: usize) -> Self {
        let moisture = by_cause.uncertain();
        Self {
            moisture,
            by_cause,
            from,
            unfinished: Unfinished::default(),
            pulls: None,
            samples_enough,
            says_less_than_default: false,
            widened: false,
            after_one_more_test: after.min(moisture.expanded()),
        }
    }

    /// The same, its causes called by what they are of.
    #[must_use]
    pub fn named(mut self, lot: &str, source: &str) -> Self {
        self.by_cause = self.by_cause.named(lot, source);
        self
    }

    /// The same with what unfinished samples say: the moisture is at least this. They narrow nothing, and the dry end of
    /// the range stays. Where they are wetter than the estimate, its wet end comes to lie as far above their figure as that
    /// lies above the estimate, whatever is tested besides.
    #[must_use]
    pub fn beside(mut self, unfinished: Unfinished) -> Self {
        self.unfinished = unfinished;
        let Some(bound) = unfinished.at_least.map(WetBasis::get) else {
            return self;
        };
        let now = self.moisture.expanded();
        let reach = (2.0 * bound - self.moisture.value).min(wettest(bound)) - self.moisture.value;
        // Half of a range that goes down by `half` and up to the reach.
        let with_reach = |half: f64| f64::midpoint(half, half.max(reach));
        if reach > now {
            self.widened = true;
            self.moisture.value += (reach - now) / 2.0;
            self.moisture.standard *= with_reach(now) / now;
            self.by_cause = self.by_cause.as_whole(&self.moisture);
        }
        self.after_one_more_test = with_reach(self.after_one_more_test);
        self
    }

    /// What unfinished samples say at least, where the range is widened for them.
    pub fn widened_by(&self) -> Option<WetBasis> {
        self.unfinished.at_least.filter(|_| self.widened)
    }

    /// Whether the lot, or what it was made of, was tested.
    pub const fn is_tested(&self) -> bool {
        matches!(
            self.from,
            Evidence::Tests { .. }
                | Evidence::Treatment { tested: true }
                | Evidence::Joined { tested: true, .. }
        )
    }

    /// The best single figure.
    pub fn wet_basis(&self) -> WetBasis {
        clipped(self.moisture.value)
    }

    /// Lower and upper end of the 95 % range, clipped to what grain can be.
    pub fn range(&self) -> (WetBasis, WetBasis) {
        possible_range(&self.moisture)
    }

    /// Half-width of the 95 % range, a fraction of wet mass, after one further test of one sample of
    /// 100 g on a balance that shows 0.1 g, if it says what is expected. It replaces a default and joins
    /// anything measured. Never wider than now: where tests contradict each other, one more may not help.
    pub const fn after_one_more_test(&self) -> f64 {
        self.after_one_more_test
    }
}

#[cfg(test)]
mod tests;
