//! The air of a place during a time, held against the limit for its kind.
//!
//! Nothing is judged anew here: the stretches are those that the clock of every lot counts, and what they keep is
//! told by the same limits.

use super::{Kept, Shown, is_cut, is_gap, points, spans};
use crate::keeping::{PlaceKind, RuleSet};
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Temperature};
use chrono::Duration;

/// The limit of a rule set for the air of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirLimit {
    /// At or below it costs no more than the place is for.
    AtMost(Limit),
    /// At or above it.
    AtLeast(Limit),
}

impl RuleSet {
    /// The limit for the air of a kind of place; a room and a dry store have none.
    pub fn air_limit(&self, kind: PlaceKind) -> Option<AirLimit> {
        match kind {
            PlaceKind::HotHold => Some(AirLimit::AtLeast(self.hot.limit)),
            PlaceKind::Freezer => Some(AirLimit::AtMost(self.frozen.limit)),
            // Where the day count holds only below the cold limit, dates are lost from there on.
            PlaceKind::Fridge => {
                let celsius = |limit: Limit| limit.in_celsius().milli_celsius();
                let lower = if celsius(self.days.only_at) < celsius(self.cold.limit) {
                    self.days.only_at
                } else {
                    self.cold.limit
                };
                Some(AirLimit::AtMost(lower))
            }
            PlaceKind::Ambient | PlaceKind::DryStore => None,
        }
    }

    /// Whether air is above the limit of a kind of place; in a room and a hot-hold above the cold limit.
    pub fn is_too_warm(&self, kind: PlaceKind, air: Temperature) -> bool {
        let limit = match self.air_limit(kind) {
            Some(AirLimit::AtMost(limit)) => limit,
            Some(AirLimit::AtLeast(_)) | None => self.cold.limit,
        };
        !limit.at_or_below(air)
    }
}

impl Kept {
    /// Whether the limit for the air of a kind of place is kept; nothing where there is none.
    const fn is_kept(self, kind: PlaceKind) -> Option<bool> {
        match kind {
            PlaceKind::HotHold => Some(self.hot),
            PlaceKind::Freezer => Some(self.frozen),
            PlaceKind::Fridge => Some(self.cold && self.days),
            PlaceKind::Ambient | PlaceKind::DryStore => None,
        }
    }
}

/// A stretch of time in which the air did not keep the limit, as far as is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Excursion {
    /// Its first moment.
    pub from: Instant,
    /// The first moment after it; nothing where no reading has ended it yet.
    pub to: Option<Instant>,
    /// What the place was.
    pub kind: PlaceKind,
    /// The lowest reading of it, those at its ends included.
    pub lowest: Temperature,
    /// The highest.
    pub highest: Temperature,
}

impl Excursion {
    /// How long it lasted, up to now where no reading has ended it.
    pub fn lasts(&self, now: Instant) -> Duration {
        self.to.unwrap_or(now) - self.from
    }
}

/// What is known of the air of a place during a time.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// The first moment.
    pub from: Instant,
    /// The first moment after it.
    pub to: Instant,
    /// How many moments have a reading.
    pub readings: usize,
    /// The lowest reading.
    pub lowest: Temperature,
    /// The highest.
    pub highest: Temperature,
    /// The mean over the time with readings, in °C, straight from one reading to the next.
    pub mean: f64,
    /// Time between readings that kept the limit.
    pub within: Duration,
    /// Time between readings that did not: less than its excursions, where the last reading was out of limit.
    pub outside: Duration,
    /// Time between readings for which there is no limit.
    pub without_limit: Duration,
    /// Time that lies between no readings, or between readings too far apart.
    pub unknown: Duration,
    /// Times at which the limit was not kept.
    pub excursions: Vec<Excursion>,
    /// Times between two readings further apart than allowed.
    pub gaps: Vec<(Instant, Instant)>,
}

/// Looks at readings in time order from one moment up to another, or from the first to the last.
///
/// `settings` say what the place was and from when on, the first one from the beginning; readings just outside of
/// the time may be handed over too. `counts` is what the files say together, and `left_out` are moments of rows of a file that
/// were not read in. Nothing is known without a reading in that time.
pub fn watch(
    (readings, left_out): (&[(Instant, Temperature)], &[Instant]),
    counts: &[(Instant, Temperature)],
    settings: &[(Instant, PlaceKind)],
    (from, to): (Option<Instant>, Option<Instant>),
    rules: &RuleSet,
) -> Option<Watch> {
    let lies_in = |at: Instant| from.is_none_or(|from| at >= from) && to.is_none_or(|to| at < to);
    let inside: Vec<(Instant, Temperature)> = readings
        .iter()
        .copied()
        .filter(|(at, _)| lies_in(*at))
        .collect();
    let (first, last) = (inside.first()?, inside.last()?);
    let mut watch = Watch {
        from: from.unwrap_or(first.0),
        to: to.unwrap_or(last.0),
        readings: 1 + inside.windows(2).filter(|two| two[0].0 != two[1].0).count(),
        lowest: inside.iter().map(|(_, t)| *t).reduce(Temperature::colder)?,
        highest: inside.iter().map(|(_, t)| *t).reduce(Temperature::warmer)?,
        mean: first.1.degrees_celsius(),
        within: Duration::zero(),
        outside: Duration::zero(),
        without_limit: Duration::zero(),
        unknown: Duration::zero(),
        excursions: Vec::new(),
        gaps: Vec::new(),
    };
    for span in &spans(points(counts, left_out), rules) {
        let begins = span.from.max(watch.from);
        // What was out of limit at the last reading stays so here until a reading ends it.
        let until = match span.shown {
            Shown::Last { at, .. } => settings
                .iter()
                .map(|(from, _)| *from)
                .find(|from| *from > at),
            _ => Some(span.until),
        };
        let ends = match (until, to) {
            (Some(until), Some(to)) => Some(until.min(to)),
            (until, to) => until.or(to),
        };
        if ends.is_none_or(|ends| begins < ends) {
            watch.add(span.shown, (begins, ends), settings, rules);
        }
    }
    watch.unknown = (watch.to - watch.from) - watch.measured();
    if let Some(mean) = mean((readings, left_out), (watch.from, watch.to), rules) {
        watch.mean = mean;
    }
    Some(watch)
}

impl Watch {
    /// Time between readings that stand close enough together.
    pub fn measured(&self) -> Duration {
        self.within + self.outside + self.without_limit
    }

    /// How long the limit was not kept in all, as its excursions say: one that no reading has ended goes on up to now.
    pub fn out_of_limit(&self, now: Instant) -> Duration {
        self.excursions.iter().map(|found| found.lasts(now)).sum()
    }

    /// Adds a stretch, cut where the place was stated anew.
    fn add(
        &mut self,
        shown: Shown,
        (mut from, to): (Instant, Option<Instant>),
        settings: &[(Instant, PlaceKind)],
        rules: &RuleSet,
    ) {
        let (lowest, highest) = match shown {
            Shown::Measured {
                coldest,
                warmest,
                cut: false,
                ..
            } => (coldest, warmest),
            Shown::Last { shown, .. } => (shown, shown),
            Shown::Measured { cut: true, .. } | Shown::Gap(_) => {
                self.gaps.extend(to.map(|to| (from, to)));
                return;
            }
        };
        let kept = Kept::of(lowest, highest, rules);
        loop {
            let later = settings.partition_point(|(at, _)| *at <= from);
            let kind = match settings.get(later.saturating_sub(1)) {
                Some((_, kind)) => *kind,
                None => return,
            };
            let anew = settings.get(later).map(|(at, _)| *at);
            let ends = match (anew.filter(|at| to.is_none_or(|to| *at < to)), to) {
                (Some(anew), _) => Some(anew),
                (None, to) => to,
            };
            if let (Shown::Measured { .. }, Some(ends)) = (shown, ends) {
                *match kept.is_kept(kind) {
                    Some(true) => &mut self.within,
                    Some(false) => &mut self.outside,
                    None => &mut self.without_limit,
                } += ends - from;
            }
            if kept.is_kept(kind) == Some(false) {
                self.add_excursion(Excursion {
                    from,
                    to: ends,
                    kind,
                    lowest,
                    highest,
                });
            }
            match ends {
                Some(ends) if to != Some(ends) => from = ends,
                _ => return,
            }
        }
    }

    /// Adds a part of an excursion to the one that it goes on from.
    fn add_excursion(&mut self, next: Excursion) {
        match self.excursions.last_mut() {
            Some(last) if last.to == Some(next.from) && last.kind == next.kind => {
                last.to = next.to;
                last.lowest = last.lowest.colder(next.lowest);
                last.highest = last.highest.warmer(next.highest);
            }
            _ => self.excursions.push(next),
        }
    }
}

/// The mean over the time between readings, in °C; of two readings of one moment the warmer counts.
fn mean(
    (readings, left_out): (&[(Instant, Temperature)], &[Instant]),
    (from, to): (Instant, Instant),
    rules: &RuleSet,
) -> Option<f64> {
    let (mut sum, mut seconds) = (0.0, 0.0);
    let mut before: Option<(Instant, Temperature)> = None;
    let moments = readings.chunk_by(|one, other| one.0 == other.0);
    for moment in moments {
        let (at, _) = moment[0];
        let warmest = moment.iter().map(|(_, t)| *t).reduce(Temperature::warmer)?;
        if let Some((began, left)) = before
            && !is_gap(began, at, rules)
            && !is_cut(left_out, began, at)
            && began < to
            && from < at
        {
            let along = |moment: Instant| {
                let part =
                    (moment - began).num_seconds() as f64 / (at - began).num_seconds() as f64;
                left.degrees_celsius() + part * (warmest.degrees_celsius() - left.degrees_celsius())
            };
            let (begins, ends) = (began.max(from), at.min(to));
            let lasts = (ends - begins).num_seconds() as f64;
            sum += lasts * f64::midpoint(along(begins), along(ends));
            seconds += lasts;
        }
        before = Some((at, warmest));
    }
    (seconds > 0.0).then(|| sum / seconds)
}

#[cfg(test)]
mod tests;
