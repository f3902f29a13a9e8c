//! The answer to `readings`: what a logger's file brought, and what it did to the lots on hand.

use super::Caution;
use crate::grain::LotCode;
use crate::keeping::{Assessment, RuleSet};
use crate::ledger::ReadIn;
use crate::quantity::{Instant, Scale, Temperature};
use chrono::Duration;

/// A logger that reads no less often tells a door or a defrost from a fault: see docs/models/grain_in_air.md. Judgement.
pub const FINE_STEP: Duration = Duration::minutes(5);

/// A stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// From the reading before it.
    pub from: Instant,
    /// To the reading after it.
    pub to: Instant,
}

/// A lot that is judged otherwise than before.
#[derive(Debug, Clone)]
pub struct Changed {
    /// Its code.
    pub lot: LotCode,
    /// Before.
    pub before: Assessment,
    /// Since.
    pub after: Assessment,
}

/// What a logger's file holds and what became of it.
#[derive(Debug, Clone)]
pub struct ReadingsAnswer {
    /// The place.
    pub place: String,
    /// What the book took.
    pub read_in: ReadIn,
    /// First and last moment of the file.
    pub period: Option<Stretch>,
    /// Coldest and warmest reading of the file.
    pub coldest: Option<Temperature>,
    /// Warmest reading of the file.
    pub warmest: Option<Temperature>,
    /// Times without a reading, longer than allowed.
    pub gaps: Vec<Stretch>,
    /// Times above the cold limit.
    pub warm: Vec<Stretch>,
    /// Readings above it with no other near enough to say for how long.
    pub warm_alone: usize,
    /// How often the logger reads, where that is less often than [`FINE_STEP`] and no two warm readings follow each other:
    /// then the step alone decides how long it was warm.
    pub slow_step: Option<Duration>,
    /// Rows without a temperature.
    pub empty: usize,
    /// Rows outside of the time asked for.
    pub outside: usize,
    /// Lots on hand that are judged otherwise.
    pub changed: Vec<Changed>,
}

impl ReadingsAnswer {
    /// What the readings of a file say by themselves.
    pub fn new(
        place: &str,
        read_in: ReadIn,
        readings: &[(Instant, i32)],
        scale: Scale,
        rules: &RuleSet,
    ) -> Self {
        let temperature = |milli: i32| Temperature::new(milli, scale);
        let is_warm = |milli: i32| !rules.cold.limit.at_or_below(temperature(milli));
        let (mut gaps, mut warm) = (Vec::new(), Vec::<Stretch>::new());
        let mut stays_warm = false;
        for two in readings.windows(2) {
            let [(from, left), (to, right)] = [two[0], two[1]];
            if to - from > rules.longest_gap {
                gaps.push(Stretch { from, to });
            } else if is_warm(left) || is_warm(right) {
                stays_warm |= is_warm(left) && is_warm(right);
                match warm.last_mut() {
                    Some(last) if last.to == from => last.to = to,
                    _ => warm.push(Stretch { from, to }),
                }
            }
        }
        let is_near = |one: usize| {
            readings
                .get(one..one + 2)
                .is_some_and(|two| two[1].0 - two[0].0 <= rules.longest_gap)
        };
        let warm_alone = (0..readings.len())
            .filter(|&at| is_warm(readings[at].1) && !is_near(at) && (at == 0 || !is_near(at - 1)))
            .count();
        let mut steps: Vec<Duration> = readings.windows(2).map(|two| two[1].0 - two[0].0).collect();
        steps.sort_unstable();
        let median = steps.get(steps.len() / 2).copied();
        let rests_on_step = !warm.is_empty() && !stays_warm;
        let milli = || readings.iter().map(|(_, milli)| *milli);
        Self {
            place: place.to_owned(),
            read_in,
            period: readings
                .first()
                .zip(readings.last())
                .map(|(first, last)| Stretch {
                    from: first.0,
                    to: last.0,
                }),
            coldest: milli().min().map(temperature),
            warmest: milli().max().map(temperature),
            gaps,
            warm,
            warm_alone,
            slow_step: median.filter(|step| rests_on_step && *step > FINE_STEP),
            empty: 0,
            outside: 0,
            changed: Vec::new(),
        }
    }

    /// Minutes above the cold limit, begun minutes counted whole.
    pub fn warm_minutes(&self) -> i64 {
        let seconds: i64 = self
            .warm
            .iter()
            .map(|warm| (warm.to - warm.from).num_seconds())
            .sum();
        (seconds + 59).div_euclid(60)
    }

    /// The cautions that belong beside it.
    pub fn cautions(&self) -> Vec<Caution> {
        let refused = self
            .changed
            .iter()
            .any(|lot| !lot.after.verdict.may_be_used());
        let mut cautions = vec![Caution::DateIsARule];
        if refused {
            cautions.push(Caution::BakingRescuesNothing);
        }
        cautions
    }
}
