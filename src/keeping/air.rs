//! A place as a logger measured it, cut into stretches that the clock tells apart.
//!
//! The readings, or what they make of a layer of grain where the logger measures air, stand in for what the place
//! is stated to hold. They never show that hot grain has cooled, and they stand back where two readings of the
//! grain itself speak.

mod left_out;
pub mod loggers;
mod pieces;
mod unsettled;
pub mod watch;

pub use left_out::{cut, is_cut, points};
pub(super) use pieces::{Piece, Unmeasured, pieces};

use super::{Event, History, RuleSet, What};
use crate::quantity::{Instant, Length, Temperature};
use chrono::Duration;

/// What is known of the air during a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shown {
    /// Between two readings, no further apart than allowed: anything between the two.
    Measured {
        /// The colder of the two, which decides whether it was hot.
        coldest: Temperature,
        /// The warmer of the two, which decides everything else.
        warmest: Temperature,
        /// The warmest reading, where what counts is a layer of grain in that air.
        measured: Temperature,
        /// The last reading of a place that the grain left after it, where only its warmth from there counts as warm.
        rests_on: Option<Instant>,
        /// Whether rows of a file were left out in between: then nobody knows, and what the two show is the least.
        cut: bool,
    },
    /// After the last reading, of all or before a gap, as long as two may lie apart: no colder than then and than stated.
    Last {
        /// When that reading was taken.
        at: Instant,
        /// What it showed of the grain, or a file that ended shortly before.
        shown: Temperature,
        /// When that is over for grain that stays.
        until: Instant,
    },
    /// Between two readings further apart than allowed, once that is over: not known. Holds the colder of the two.
    Gap(Temperature),
}

/// The layer of grain that is taken to lie in measured air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// How thick it is, as it warms.
    pub depth: Length,
    /// How thick it is as it cools, where that is more: another depth was stated of the place, or of the lot.
    pub cools_like: Length,
    /// Whether somebody stated a depth of the lot or the place.
    pub stated: bool,
}

/// A stretch of time in the air of a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirSpan {
    /// Its first moment.
    pub from: Instant,
    /// The first moment after it.
    pub until: Instant,
    /// What is known of it.
    pub shown: Shown,
    /// Whether the logger's probe stood in the grain.
    pub in_grain: bool,
}

/// What is known at a moment of a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// When.
    pub at: Instant,
    /// The coldest that counts, for what has to be hot.
    pub coldest: Temperature,
    /// The warmest that counts, for everything else.
    pub warmest: Temperature,
    /// The reading.
    pub measured: Temperature,
    /// See [`Shown::Measured`].
    pub rests_on: Option<Instant>,
    /// Whether rows of a file were left out since the reading before.
    pub cut: bool,
}

impl From<(Instant, Temperature)> for Point {
    /// A reading that counts as it was measured.
    fn from((at, measured): (Instant, Temperature)) -> Self {
        Self {
            at,
            coldest: measured,
            warmest: measured,
            measured,
            rests_on: None,
            cut: false,
        }
    }
}

/// Within one class readings are put together for no longer than this, so that the warmest of them does not
/// speak for days. Our choice.
const TOGETHER: Duration = Duration::hours(1);

/// Which limits a temperature keeps: what the clock cannot tell apart has the same.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Kept {
    frozen: bool,
    cold: bool,
    days: bool,
    hot: bool,
}

impl Kept {
    fn of(coldest: Temperature, warmest: Temperature, rules: &RuleSet) -> Self {
        Self {
            frozen: rules.frozen.limit.at_or_below(warmest),
            cold: rules.cold.limit.at_or_below(warmest),
            days: rules.days.only_at.at_or_below(warmest),
            hot: rules.hot.limit.at_or_above(coldest),
        }
    }
}

/// Puts readings in time order together to stretches.
pub fn spans(
    readings: impl IntoIterator<Item = impl Into<Point>>,
    rules: &RuleSet,
) -> Vec<AirSpan> {
    let mut spans: Vec<AirSpan> = Vec::new();
    // The moment before the last one, and the last one, of which more readings may come.
    let (mut before, mut last): (Option<Point>, Option<Point>) = (None, None);
    for point in readings {
        let point: Point = point.into();
        match &mut last {
            Some(last) if last.at == point.at => {
                last.coldest = last.coldest.colder(point.coldest);
                last.warmest = last.warmest.warmer(point.warmest);
                last.measured = last.measured.warmer(point.measured);
                last.rests_on = last.rests_on.and(point.rests_on);
            }
            _ => {
                if let (Some(left), Some(right)) = (before, last) {
                    add(&mut spans, left, right, rules);
                }
                before = last;
                last = Some(point);
            }
        }
    }
    if let (Some(left), Some(right)) = (before, last) {
        add(&mut spans, left, right, rules);
    }
    spans.extend(last.map(|last| AirSpan {
        from: last.at,
        until: last.at + rules.longest_gap,
        shown: Shown::Last {
            at: last.at,
            shown: last.warmest,
            until: last.at + rules.longest_gap,
        },
        in_grain: false,
    }));
    spans
}

/// Adds the stretch between two moments, to the one before it where the clock cannot tell them apart.
fn add(spans: &mut Vec<AirSpan>, left: Point, right: Point, rules: &RuleSet) {
    let shown = if is_gap(left.at, right.at, rules) {
        Shown::Gap(left.coldest.colder(right.coldest))
    } else {
        let is_firm =
            |end: Point| end.rests_on.is_none() && !rules.cold.limit.at_or_below(end.warmest);
        Shown::Measured {
            coldest: left.coldest.colder(right.coldest),
            warmest: left.warmest.warmer(right.warmest),
            measured: left.measured.warmer(right.measured),
            rests_on: left
                .rests_on
                .or(right.rests_on)
                .filter(|_| !is_firm(left) && !is_firm(right)),
            cut: right.cut,
        }
    };
    if let Some(last) = spans.last_mut()
        && let Some(joined) = joined(last, left.at, shown, rules)
    {
        last.until = right.at;
        last.shown = joined;
        return;
    }
    spans.push(AirSpan {
        from: left.at,
        until: right.at,
        shown,
        in_grain: false,
    });
}

/// Whether two readings that follow each other say nothing of the time between.
fn is_gap(left: Instant, right: Instant, rules: &RuleSet) -> bool {
    right - left > rules.longest_gap
}

/// What two stretches show together, where the clock cannot tell them apart.
fn joined(last: &AirSpan, from: Instant, next: Shown, rules: &RuleSet) -> Option<Shown> {
    let (
        Shown::Measured {
            coldest: one,
            warmest: known,
            measured: before,
            rests_on: rested_on,
            cut: false,
        },
        Shown::Measured {
            coldest,
            warmest,
            measured,
            rests_on,
            cut: false,
        },
    ) = (last.shown, next)
    else {
        return None;
    };
    let part = |at: Instant| at.timestamp().div_euclid(TOGETHER.num_seconds());
    // Nothing ages while it is frozen, so such a stretch may be as long as it is.
    let near = rules.frozen.limit.at_or_below(warmest) || part(last.from) == part(from);
    let alike =
        rested_on == rests_on && Kept::of(one, known, rules) == Kept::of(coldest, warmest, rules);
    (near && alike).then(|| Shown::Measured {
        coldest: one.colder(coldest),
        warmest: known.warmer(warmest),
        measured: before.warmer(measured),
        rests_on,
        cut: false,
    })
}

/// The stretches of a place as events of a lot that was there from one moment to another.
pub fn during(
    spans: &[AirSpan],
    (from, to): (Instant, Option<Instant>),
    layer: Option<Layer>,
) -> impl Iterator<Item = Event> + '_ {
    let first = spans.partition_point(|span| span.until <= from);
    spans[first..]
        .iter()
        .take_while(move |span| to.is_none_or(|to| span.from < to))
        .map(move |span| Event {
            at: span.from.max(from),
            what: What::Air {
                until: to.map_or(span.until, |to| span.until.min(to)),
                shown: span.shown,
                layer,
                in_grain: span.in_grain,
                leaves: to,
            },
        })
}

/// Whether this is warmth of grain in a place that nobody measures: no layer is shown for it, and it is above what the
/// place is stated to hold.
fn is_brought(what: &What) -> bool {
    matches!(what, What::Air { shown: Shown::Measured { warmest, measured, .. }, layer: None, .. }
        if measured.milli_celsius() < warmest.milli_celsius())
}

impl History {
    /// The air around the lot, in time order.
    pub(super) fn air(&self) -> Vec<AirSpan> {
        let mut spans: Vec<AirSpan> = self
            .events
            .iter()
            .filter_map(|event| match event.what {
                What::Air {
                    until,
                    shown,
                    in_grain,
                    ..
                } => Some(AirSpan {
                    from: event.at,
                    until,
                    shown,
                    in_grain,
                }),
                _ => None,
            })
            .collect();
        spans.sort_by_key(|span| span.from);
        spans
    }

    /// Whether warmth that the grain brought along counts at a moment, in a cold place that nobody measures.
    pub(super) fn brings_warmth(&self, at: Instant, rules: &RuleSet) -> bool {
        self.events.iter().any(|event| {
            event.at <= at
                && matches!(event.what, What::Air { until, shown: Shown::Measured { measured, .. }, .. }
                    if at < until && rules.cold.limit.at_or_below(measured))
                && is_brought(&event.what)
        })
    }

    /// The same history with a thermometer that shows the grain cold at a moment. With that ends what it brought along
    /// of warmth to a place that nobody measures.
    #[must_use]
    pub fn shown_cold(&self, at: Instant, reading: Temperature) -> Self {
        let mut history = self.then(at, What::Read(reading));
        history.events.retain_mut(|event| {
            if !is_brought(&event.what) {
                return true;
            }
            if let What::Air { until, .. } = &mut event.what {
                *until = (*until).min(at);
            }
            event.at < at
        });
        history
    }

    /// The same history had nobody measured the air between two moments. Grain that was warmer than its air when
    /// that was over had its warmth from then.
    #[must_use]
    pub fn without_air(&self, from: Instant, mut to: Instant) -> Self {
        for span in self.air() {
            if let Shown::Measured {
                warmest, measured, ..
            } = span.shown
                && span.from <= to
                && span.until > to
                && measured.milli_celsius() < warmest.milli_celsius()
            {
                to = span.until;
            }
        }
        let mut history = self.clone();
        history.events.retain(|event| match event.what {
            What::Air { until, .. } => event.at >= to || until <= from,
            What::Logged(_) => event.at >= to || event.at < from,
            _ => true,
        });
        history
    }
}

#[cfg(test)]
mod tests;
