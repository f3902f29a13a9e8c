//! How much wet grain to fetch: the amount whose plans come out best on average over what is not known yet.
//!
//! Sample-average approximation (Kleywegt, Shapiro & Homem-de-Mello 2002, SIAM Journal on Optimization 12,
//! 479–502, from memory): the same samples for every amount, each planned with the program of a plan as if
//! the moisture and the optional bakes were known by then. `docs/planner_fetch.md` says what that leaves out.

use super::aims::Weights;
use super::problem::{Lot, Situation};
use super::windows::{Fit, Unfit};
use crate::quantity::{Instant, Milligrams};

mod outcome;
pub mod samples;
mod search;

pub use outcome::Expected;
use outcome::Stage;
use samples::Sample;
use search::{Known, descend, least_of_convex};

/// What is asked.
#[derive(Debug, Clone)]
pub struct Request<'a> {
    /// Lots on hand and bakes to come.
    pub situation: &'a Situation,
    /// The grain to be fetched: its moisture as that of a lot nobody has tested, its history from then on.
    /// How much of it there is is the question.
    pub lot: Lot,
    /// From when on it is there.
    pub at: Instant,
    /// The chance of each optional bake to happen.
    pub chance: f64,
    /// How many samples.
    pub samples: usize,
    /// Which samples.
    pub seed: u64,
}

/// How much to take.
#[derive(Debug, Clone, PartialEq)]
pub struct Fetch {
    /// Wet grain to take.
    pub wet: Milligrams,
    /// Amounts were looked at in these steps.
    pub step: Milligrams,
    /// What it comes to.
    pub expected: Expected,
    /// What taking nothing comes to.
    pub nothing: Expected,
    /// What a little less comes to; nothing where no less is possible.
    pub less: Option<(Milligrams, Expected)>,
    /// What a little more comes to.
    pub more: Option<(Milligrams, Expected)>,
    /// Dry grain that the bakes want on average.
    pub wanted: f64,
    /// Least and greatest moisture of the samples.
    pub moisture: (f64, f64),
    /// Last moment of use of what is fetched, kept as assumed.
    pub until: Option<Instant>,
    /// Why nothing is taken, where it is nothing and the search came to its end.
    pub because: Option<Because>,
    /// Somebody ended the search before its end: the best of the amounts looked at, and figures of one sample in
    /// [`THIN`].
    pub stopped: bool,
}

/// Why nothing is to be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Because {
    /// No bake is to come.
    NoBakes,
    /// Every bake weighs out its grain before.
    BakesBefore,
    /// No bake after it may have this grain, for the commonest reason.
    NoneFits(Unfit),
    /// Taking some would leave more over than it fills.
    Covered,
}

impl Because {
    /// The word for it in files.
    pub const fn as_key(self) -> &'static str {
        match self {
            Self::NoBakes => "no-bakes",
            Self::BakesBefore => "bakes-before-pickup",
            Self::NoneFits(_) => "fits-no-bake",
            Self::Covered => "covered",
        }
    }
}

/// Is told the best amount so far and says whether to go on.
pub type Watch<'a> = dyn FnMut(Option<Milligrams>) -> bool + 'a;

/// What is shown beside the answer: so much more and less.
pub const BESIDE: Milligrams = Milligrams::new(2_000_000);
/// Amounts are looked at in one of these steps.
const STEPS: [i64; 8] = [
    500_000,
    1_000_000,
    2_000_000,
    5_000_000,
    10_000_000,
    50_000_000,
    250_000_000,
    1_000_000_000,
];
/// With no more than so many of them.
const MOST_STEPS: i64 = 500;
/// Below this much in all, a finer step.
const LITTLE: i64 = 5_000_000;
/// The step below [`LITTLE`].
const FINE: i64 = 100_000;
/// For amounts beside the answer only every fifth sample is used.
pub const THIN: usize = 5;

/// Calculates how much to fetch; nothing where `watch` ends it before any amount was looked at.
pub fn work_out(request: &Request<'_>, watch: &mut Watch<'_>) -> Option<Fetch> {
    weighed(request, Weights::weighed(&request.situation.costs), watch)
}

fn weighed(request: &Request<'_>, weights: Weights, watch: &mut Watch<'_>) -> Option<Fetch> {
    let Request { situation, at, .. } = *request;
    let stage = Stage::new(situation, &request.lot, at, weights);
    let samples = samples::draw(
        &request.lot.moisture,
        stage.optional(),
        request.chance,
        request.samples,
        request.seed,
    );
    decided(request, &stage, &samples, watch)
}

fn decided(
    request: &Request<'_>,
    stage: &Stage,
    samples: &[Sample],
    watch: &mut Watch<'_>,
) -> Option<Fetch> {
    let moistures = samples.iter().map(|sample| sample.moisture);
    let moisture = (
        moistures.clone().fold(1.0, f64::min),
        moistures.fold(0.0, f64::max),
    );
    let most = Milligrams::new((stage.most() / (1.0 - moisture.1) * 1e6).ceil() as i64);
    let step = step_for(most);
    let last = usize::try_from((most.get() + step.get() - 1) / step.get()).unwrap_or(0);
    let wet = |steps: usize| Milligrams::new(steps as i64 * step.get());
    let thinned: Vec<Sample> = samples.iter().step_by(THIN).cloned().collect();
    let mut goes_on = true;
    let mut best = 0;
    let mut work = |wet: Milligrams| stage.expected(samples, wet);
    let mut whole = Known::new(&mut work);
    if last > 0 {
        let mut bound = |steps: usize| stage.bound(&thinned, wet(steps));
        let near = least_of_convex(last, &mut Known::new(&mut bound), &mut || {
            goes_on = watch(None);
            goes_on
        })?;
        best = near;
        if goes_on {
            best = descend(
                near,
                last,
                &mut |steps| whole.at(wet(steps)).cost,
                &mut || {
                    goes_on = watch(Some(wet(near)));
                    goes_on
                },
            );
        }
    }
    // Who ends a search does not wait for every sample of the amounts beside it.
    let mut work = |wet: Milligrams| {
        if goes_on {
            whole.at(wet)
        } else {
            stage.expected(&thinned, wet)
        }
    };
    let mut expected = Known::new(&mut work);
    let taken = wet(best);
    let less = Milligrams::new((taken.get() - BESIDE.get()).max(0));
    let more = Milligrams::new(taken.get() + BESIDE.get());
    Some(Fetch {
        wet: taken,
        step,
        expected: expected.at(taken),
        nothing: expected.at(Milligrams::ZERO),
        less: (best > 0).then(|| (less, expected.at(less))),
        more: (last > 0).then(|| (more, expected.at(more))),
        wanted: stage.wanted(request.chance),
        moisture,
        until: stage.windows().lots.last().and_then(|lot| lot.until),
        because: (best == 0 && goes_on).then(|| because(request, stage)),
        stopped: !goes_on,
    })
}

/// In which steps to look at amounts up to `most`.
fn step_for(most: Milligrams) -> Milligrams {
    if most.get() <= LITTLE {
        return Milligrams::new(FINE);
    }
    let fits = |step: &&i64| most.get() <= **step * MOST_STEPS;
    let coarsest = STEPS[STEPS.len() - 1];
    Milligrams::new(*STEPS.iter().find(fits).unwrap_or(&coarsest))
}

fn because(request: &Request<'_>, stage: &Stage) -> Because {
    let bakes = &request.situation.bakes;
    if bakes.is_empty() {
        return Because::NoBakes;
    }
    let after = |bake: &usize| bakes[*bake].grain_at >= request.at;
    if !(0..bakes.len()).any(|bake| after(&bake)) {
        return Because::BakesBefore;
    }
    if stage.most() > 0.0 {
        return Because::Covered;
    }
    let fits = stage.windows().lots.last().map(|lot| &lot.bakes);
    let whys = fits.into_iter().flat_map(|fits| {
        (0..bakes.len())
            .filter(after)
            .filter_map(|bake| match fits[bake] {
                Fit::Unfit(why) => Some(why),
                Fit::Fits { .. } => None,
            })
    });
    let mut counted: Vec<(usize, Unfit)> = Vec::new();
    for why in whys {
        match counted.iter_mut().find(|(_, known)| *known == why) {
            Some((count, _)) => *count += 1,
            None => counted.push((1, why)),
        }
    }
    // Bakes that want no grain at all are covered.
    counted
        .into_iter()
        .max_by_key(|(count, why)| (*count, std::cmp::Reverse(*why)))
        .map_or(Because::Covered, |(_, why)| Because::NoneFits(why))
}

#[cfg(test)]
mod tests;
