//! All that was measured of a lot and of lots like it, and how it becomes one moisture.

use super::Earlier;
use crate::grain::by_cause::{ByCause, Cause, Part};
use crate::grain::clipped;
use crate::grain::moisture_test::TestResult;
use crate::grain::next_lot::{Published, Pulls, next_lot};
use crate::grain::pooling::{birge_ratio, consistent_mean};
use crate::grain::precision::Precision;
use crate::grain::weighing::balance_uncertainty;
use crate::grain::within::Within;
use crate::quantity::{Milligrams, Uncertain};

/// What was measured.
#[derive(Clone)]
pub(super) struct Known {
    precision: Precision,
    within: Within,
    /// Tests of the lot weighed here, without their oven's bias.
    weighed: Vec<Uncertain>,
    /// Laboratories' figures for the lot.
    laboratories: Vec<Uncertain>,
    /// What earlier lots say.
    learned: Option<Learned>,
}

/// What earlier lots say of the next one.
#[derive(Clone)]
pub(super) struct Learned {
    /// Without the bias of the oven.
    moisture: ByCause,
    /// What pulled the mean.
    pub(super) pulls: Pulls,
    /// How many lots of the source say it.
    pub(super) own: usize,
    /// How many lots of other sources do.
    pub(super) others: usize,
    /// Whether any was weighed here: then the whole is taken to have the bias of the oven. Where
    /// laboratories' figures are among them that is on the wide side.
    biased: bool,
}

impl Learned {
    fn from(earlier: Earlier<'_>, default: &Uncertain) -> Option<Self> {
        let usable = |lots: &[TestResult]| -> Vec<Uncertain> {
            let usable = lots.iter().filter(|lot| lot.is_usable());
            usable.map(|lot| lot.repeatable).collect()
        };
        let own = usable(earlier.own);
        let others: Vec<Vec<Uncertain>> = earlier.others.iter().map(|lots| usable(lots)).collect();
        if own.is_empty() && others.iter().all(Vec::is_empty) {
            return None;
        }
        let next = next_lot(&own, &others, &Published::of(default));
        let part = |cause: Cause, standard, freedom| Part {
            seen_in: cause.clone(),
            cause,
            standard,
            freedom,
        };
        let all = || earlier.others.iter().flatten().chain(earlier.own);
        Some(Self {
            moisture: ByCause {
                value: next.value,
                parts: vec![
                    part(Cause::Lot(String::new()), next.between, next.freedom),
                    part(Cause::Source(String::new()), next.mean_error, f64::INFINITY),
                    part(Cause::Overall, next.overall_error, f64::INFINITY),
                ],
            },
            pulls: next.pulls,
            own: own.len(),
            others: others.iter().map(Vec::len).sum(),
            biased: all().any(|lot| lot.is_usable() && lot.is_weighed()),
        })
    }

    /// What it says where nothing else shares its oven.
    fn alone(&self, precision: Precision) -> ByCause {
        if self.biased {
            with_bias(self.moisture.clone(), precision)
        } else {
            self.moisture.clone()
        }
    }
}

/// A value that holds only what repeats, with the bias of its oven added as a known part.
fn with_bias(repeatable: ByCause, precision: Precision) -> ByCause {
    repeatable.with(Part {
        cause: Cause::Oven,
        standard: precision.between_laboratories_sd(),
        freedom: f64::INFINITY,
        seen_in: Cause::Oven,
    })
}

impl Known {
    /// Sorts what was measured. Lots of other sources say nothing where the lot itself was tested: they were no test of
    /// this grain.
    pub(super) fn new(
        tests: &[&TestResult],
        earlier: Earlier<'_>,
        (precision, within): (Precision, Within),
        default: &Uncertain,
    ) -> Self {
        let (weighed, laboratories): (Vec<&TestResult>, Vec<&TestResult>) =
            tests.iter().partition(|test| test.is_weighed());
        Self {
            precision,
            within,
            weighed: weighed.iter().map(|test| test.repeatable).collect(),
            laboratories: laboratories.iter().map(|test| test.moisture).collect(),
            learned: Learned::from(earlier, default)
                .filter(|learned| tests.is_empty() || learned.own > 0),
        }
    }

    /// What earlier lots say.
    pub(super) const fn learned(&self) -> Option<&Learned> {
        self.learned.as_ref()
    }

    /// One moisture from all of it; nothing from nothing.
    ///
    /// First what shares the oven, its bias added once; then the laboratories beside it; then earlier lots
    /// if they are not in yet. Where nothing contradicts this is generalized least squares.
    pub(super) fn together(&self) -> Option<ByCause> {
        let weighed = consistent_mean(&self.weighed)
            .map(|mean| ByCause::one(mean, Cause::Samples(String::new())));
        let (in_oven, beside) = match &self.learned {
            Some(learned) if learned.biased && weighed.is_some() => {
                (Some(learned.moisture.clone()), None)
            }
            Some(learned) => (None, Some(learned.alone(self.precision))),
            None => (None, None),
        };
        let of_oven = weighed.and_then(|mean| mean_of([Some(mean), in_oven]));
        let mut tested: Vec<ByCause> = self
            .laboratories
            .iter()
            .enumerate()
            .map(|(index, found)| ByCause::one(*found, Cause::Laboratory(String::new(), index)))
            .collect();
        tested.extend(of_oven.map(|mean| with_bias(mean, self.precision)));
        mean_of([consistent(&tested), beside])
    }

    /// The same once another sample of 100 g, weighed on a balance that shows 0.1 g, has said what is
    /// expected of it: what was weighed here before, else `expected`.
    pub(super) fn with_one_more(&self, expected: f64) -> Uncertain {
        const SAMPLE: f64 = 100_000.0;
        const READABILITY: Milligrams = Milligrams::new(100);
        let expected = consistent_mean(&self.weighed).map_or(expected, |mean| mean.value);
        let balance = balance_uncertainty(clipped(expected).get(), SAMPLE, READABILITY);
        let (spread, _) = self.within.spread(self.precision);
        let test = Uncertain::known(expected, libm::hypot(balance, spread));
        let mut more = self.clone();
        more.weighed.push(test);
        more.learned = more.learned.filter(|learned| learned.own > 0);
        more.together()
            .map_or_else(|| self.precision.with_bias(test), |found| found.uncertain())
    }
}

fn mean_of(values: [Option<ByCause>; 2]) -> Option<ByCause> {
    match values {
        [Some(one), Some(other)] => ByCause::weighted_mean(&[one, other]),
        [one, other] => one.or(other),
    }
}

/// As [`consistent_mean`], with the causes kept.
fn consistent(values: &[ByCause]) -> Option<ByCause> {
    if let [only] = values {
        return Some(only.clone());
    }
    let mean = ByCause::weighted_mean(values)?;
    let whole: Vec<Uncertain> = values.iter().map(ByCause::uncertain).collect();
    let now = mean.uncertain();
    Some(mean.as_whole(&Uncertain {
        standard: now.standard * birge_ratio(&whole, now.value),
        ..now
    }))
}
