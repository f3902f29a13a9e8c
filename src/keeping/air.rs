//! The air of a place as a logger measured it, cut into stretches that the clock tells apart.
//!
//! Air is not grain. Its readings stand in for what the place is stated to hold, and may make a verdict worse
//! than that; they never show that hot grain has cooled, and they stand back where two readings of the grain
//! itself speak.

pub mod watch;

use super::{Event, History, RuleSet, What};
use crate::quantity::{Instant, Temperature};
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
    },
    /// After the last reading: no colder than that, and no colder than the place is stated to be.
    NoColder(Temperature),
    /// Between two readings further apart than allowed: not known.
    Gap,
}

/// A stretch of time in the air of a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirSpan {
    /// Its first moment.
    pub from: Instant,
    /// The first moment after it; the last stretch has no end.
    pub until: Option<Instant>,
    /// What is known of it.
    pub shown: Shown,
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

/// What is known of the air at a moment: several readings may be of one.
#[derive(Clone, Copy)]
struct Known {
    at: Instant,
    coldest: Temperature,
    warmest: Temperature,
}

/// Puts readings in time order together to stretches.
pub fn spans(
    readings: impl IntoIterator<Item = (Instant, Temperature)>,
    rules: &RuleSet,
) -> Vec<AirSpan> {
    let mut spans: Vec<AirSpan> = Vec::new();
    // The moment before the last one, and the last one, of which more readings may come.
    let (mut before, mut last): (Option<Known>, Option<Known>) = (None, None);
    for (at, reading) in readings {
        match &mut last {
            Some(last) if last.at == at => {
                last.coldest = last.coldest.colder(reading);
                last.warmest = last.warmest.warmer(reading);
            }
            _ => {
                if let (Some(left), Some(right)) = (before, last) {
                    add(&mut spans, left, right, rules);
                }
                before = last;
                last = Some(Known {
                    at,
                    coldest: reading,
                    warmest: reading,
                });
            }
        }
    }
    if let (Some(left), Some(right)) = (before, last) {
        add(&mut spans, left, right, rules);
    }
    spans.extend(last.map(|last| AirSpan {
        from: last.at,
        until: None,
        shown: Shown::NoColder(last.warmest),
    }));
    spans
}

/// Adds the stretch between two moments, to the one before it where the clock cannot tell them apart.
fn add(spans: &mut Vec<AirSpan>, left: Known, right: Known, rules: &RuleSet) {
    let shown = if is_gap(left.at, right.at, rules) {
        Shown::Gap
    } else {
        Shown::Measured {
            coldest: left.coldest.colder(right.coldest),
            warmest: left.warmest.warmer(right.warmest),
        }
    };
    if let Some(last) = spans.last_mut()
        && let Some(joined) = joined(last, left.at, shown, rules)
    {
        last.until = Some(right.at);
        last.shown = joined;
        return;
    }
    spans.push(AirSpan {
        from: left.at,
        until: Some(right.at),
        shown,
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
        },
        Shown::Measured { coldest, warmest },
    ) = (last.shown, next)
    else {
        return None;
    };
    let part = |at: Instant| at.timestamp().div_euclid(TOGETHER.num_seconds());
    // Nothing ages while it is frozen, so such a stretch may be as long as it is.
    let near = rules.frozen.limit.at_or_below(warmest) || part(last.from) == part(from);
    let alike = Kept::of(one, known, rules) == Kept::of(coldest, warmest, rules);
    (near && alike).then(|| Shown::Measured {
        coldest: one.colder(coldest),
        warmest: known.warmer(warmest),
    })
}

/// Ends the last stretch where the place was stated anew, which is newer than its last reading.
pub fn restate(spans: &mut [AirSpan], anew: impl Iterator<Item = Instant>) {
    if let Some(last) = spans.last_mut()
        && matches!(last.shown, Shown::NoColder(_))
    {
        last.until = anew.filter(|at| *at > last.from).min();
    }
}

/// The stretches of a place as events of a lot that was there from one moment to another.
pub fn during(
    spans: &[AirSpan],
    from: Instant,
    to: Option<Instant>,
) -> impl Iterator<Item = Event> + '_ {
    let first = spans.partition_point(|span| span.until.is_some_and(|until| until <= from));
    spans[first..]
        .iter()
        .take_while(move |span| to.is_none_or(|to| span.from < to))
        .map(move |span| Event {
            at: span.from.max(from),
            what: What::Air {
                until: match (span.until, to) {
                    (Some(until), Some(to)) => Some(until.min(to)),
                    (until, to) => until.or(to),
                },
                shown: span.shown,
            },
        })
}

impl History {
    /// The air around the lot, in time order.
    pub(super) fn air(&self) -> Vec<AirSpan> {
        let mut spans: Vec<AirSpan> = self
            .events
            .iter()
            .filter_map(|event| match event.what {
                What::Air { until, shown } => Some(AirSpan {
                    from: event.at,
                    until,
                    shown,
                }),
                _ => None,
            })
            .collect();
        spans.sort_by_key(|span| span.from);
        spans
    }

    /// The same history had nobody measured the air between two moments.
    #[must_use]
    pub fn without_air(&self, from: Instant, to: Instant) -> Self {
        let mut history = self.clone();
        history.events.retain(|event| match event.what {
            What::Air { until, .. } => event.at >= to || until.is_some_and(|until| until <= from),
            _ => true,
        });
        history
    }
}

/// A part of an interval with what the place says of it.
#[derive(Debug, PartialEq)]
pub(super) struct Piece {
    pub from: Instant,
    pub to: Option<Instant>,
    /// What the place says: measured, stated, or both.
    pub known: Vec<Temperature>,
    /// Whether it lies in a gap between readings.
    pub gap: bool,
}

impl Piece {
    /// One about which readings of the grain speak, or nothing at all.
    pub const fn read(from: Instant, to: Option<Instant>) -> Self {
        Self {
            from,
            to,
            known: Vec::new(),
            gap: false,
        }
    }
}

/// Cuts an interval in one stay where the air becomes something else. What was not measured is as stated.
pub(super) fn pieces(
    air: &[AirSpan],
    from: Instant,
    to: Option<Instant>,
    stated: Temperature,
) -> Vec<Piece> {
    let mut found = Vec::new();
    let mut at = from;
    let plain = |from, to| Piece {
        from,
        to,
        known: vec![stated],
        gap: false,
    };
    let first = air.partition_point(|span| span.until.is_some_and(|until| until <= from));
    for span in &air[first..] {
        if to.is_some_and(|to| span.from >= to) {
            break;
        }
        let begins = span.from.max(at);
        if begins > at {
            found.push(plain(at, Some(begins)));
        }
        let ends = match (span.until, to) {
            (Some(until), Some(to)) => Some(until.min(to)),
            (until, to) => until.or(to),
        };
        found.push(Piece {
            from: begins,
            to: ends,
            known: match span.shown {
                Shown::Measured { coldest, warmest } => vec![coldest, warmest],
                Shown::NoColder(last) => vec![last, stated],
                Shown::Gap => vec![stated],
            },
            gap: span.shown == Shown::Gap,
        });
        match ends {
            Some(end) => at = end,
            None => return found,
        }
    }
    if to.is_none_or(|to| at < to) {
        found.push(plain(at, to));
    }
    found
}

#[cfg(test)]
mod tests;
