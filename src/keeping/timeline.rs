//! A lot's life cut into intervals, each with the coldest and warmest it can have been.
//!
//! What a reading shows holds until something newer is known. Between two readings the grain is taken
//! to have been as bad as the worse of the two, and where they lie far apart as bad as the place too: as what a
//! logger measured there, else as what it states. What a logger's last reading says of the time after it is
//! provisional. At a source nothing is known but readings.

use super::history::Stay;
use super::{History, PlaceKind, RuleSet, What, air};
use crate::quantity::{Instant, Temperature};
use chrono::Duration;

/// What an interval costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Class {
    /// At or above the hot limit all the time: no cost.
    Hot,
    /// May have been between the cold and the hot limit: warm time.
    Warm,
    /// At or below the cold limit all the time: days count.
    Cold,
    /// Frozen all the time: nothing counts.
    Frozen,
    /// With the source and not measured.
    Unmeasured,
}

impl Class {
    /// Whether the grain is in the cold, as far as is known.
    pub fn is_cold(self) -> bool {
        matches!(self, Self::Cold | Self::Frozen | Self::Unmeasured)
    }
}

/// A stretch of a lot's life between two moments at which something became known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Interval {
    /// First moment.
    pub from: Instant,
    /// First moment after; the last interval goes on.
    pub to: Option<Instant>,
    /// Warmest it can have been.
    pub warmest: Option<Temperature>,
    /// What it costs.
    pub class: Class,
    /// Whether the lot is in a hot-hold place, whatever a thermometer says.
    pub in_hot_hold: bool,
    /// Whether it begins with going into a place that is stated to be cold, however warm the grain is.
    pub enters_cold: bool,
    /// Whether it lies in a gap of a logger's readings: then nobody knows how warm it was.
    pub gap: bool,
    /// Whether it rests on a logger's last reading alone: then it makes no lot past.
    pub provisional: bool,
}

/// Grain put into a freezer takes its time to freeze: a cold reading taken within this long of going in
/// is no sign of a failing freezer. The day it goes in counts as a day in any case.
/// From memory: a tub of some kilograms freezes through in about a day.
const FREEZING_TIME: Duration = Duration::hours(24);

/// A moment at which something became known.
struct Mark {
    at: Instant,
    readings: Vec<Temperature>,
}

/// Cuts the time from `start` on into intervals.
///
/// `start` itself may be a moment at which nothing was measured, such as that of a word.
pub(super) fn intervals(history: &History, rules: &RuleSet, start: Instant) -> Vec<Interval> {
    let stays = history.stays();
    let handled: Vec<(Instant, Instant, Temperature)> = history
        .events
        .iter()
        .filter_map(|event| match event.what {
            What::Handled { until, stated } => Some((event.at, until, stated)),
            _ => None,
        })
        .collect();
    let air = history.air();
    let unsettled = history.unsettled(rules);
    let marks = marks(history, start);
    let mut read_last = None;
    let mut found = Vec::with_capacity(marks.len());
    for (index, mark) in marks.iter().enumerate() {
        let next = marks.get(index + 1);
        let stay = stays
            .iter()
            .rev()
            .find(|stay| stay.from <= mark.at)
            .copied();
        let both_ends = std::iter::once(mark).chain(next);
        let mut known: Vec<Temperature> = both_ends
            .flat_map(|end| end.readings.iter().map(|reading| (end.at, *reading)))
            .filter(|(at, reading)| {
                // It speaks for the time before it, and not for the freezer after it.
                let is_left = *at == mark.at;
                !(is_left && stay.is_some_and(|stay| is_still_freezing(stay, *at, *reading, rules)))
            })
            .map(|(_, reading)| reading)
            .collect();
        let worked_on = handled
            .iter()
            .filter(|(from, until, _)| *from <= mark.at && mark.at < *until);
        let stated: Vec<Temperature> = worked_on.map(|(_, _, stated)| *stated).collect();
        known.extend(&stated);
        let read = known.len();
        let to = next.map(|next| next.at);
        if !mark.readings.is_empty() {
            read_last = Some(mark.at);
        }
        let pieces = match stay {
            Some(stay) if !readings_speak_for_it(mark, next, rules) => {
                air::pieces(&air, (mark.at, to), stay.stated, read_last)
            }
            _ => vec![air::Piece::read(mark.at, to)],
        };
        for piece in pieces {
            known.truncate(read);
            let plain = {
                known.extend(stay.map(|stay| stay.stated));
                let class = class(&known, rules);
                known.truncate(read);
                class
            };
            known.extend(piece.known);
            let is_worse = class(&known, rules) != plain;
            let told = |last: Instant| {
                next.is_some_and(|next| {
                    !next.readings.is_empty() && next.at - last <= rules.longest_gap
                })
            };
            let after_last = piece.after_last.is_some_and(|last| is_worse && !told(last));
            let is_unsettled = unsettled.iter().any(|unsettled| {
                piece.from >= unsettled.from
                    && read_last.is_none_or(|read| read < unsettled.from)
                    && stay.is_some_and(|stay| stay.entered <= unsettled.at)
            });
            found.push(Interval {
                from: piece.from,
                to: piece.to,
                warmest: known.iter().copied().reduce(Temperature::warmer),
                class: match class(&known, rules) {
                    Class::Hot if !is_read_hot(mark, next) || !stated.is_empty() => Class::Warm,
                    class => class,
                },
                in_hot_hold: stay.is_some_and(|stay| stay.kind == PlaceKind::HotHold),
                enters_cold: stay.is_some_and(|stay| {
                    stay.from == piece.from && rules.cold.limit.at_or_below(stay.stated)
                }),
                gap: piece.gap,
                provisional: after_last || is_unsettled,
            });
        }
    }
    found
}

/// Whether two readings stand close enough together to speak for the time between by themselves.
fn readings_speak_for_it(left: &Mark, right: Option<&Mark>, rules: &RuleSet) -> bool {
    right.is_some_and(|right| {
        !left.readings.is_empty()
            && !right.readings.is_empty()
            && right.at - left.at <= rules.longest_gap
    })
}

/// Whether a reading shows how cold the grain went into the freezer rather than what the freezer holds.
fn is_still_freezing(stay: Stay, at: Instant, reading: Temperature, rules: &RuleSet) -> bool {
    stay.kind == PlaceKind::Freezer
        && at - stay.entered <= FREEZING_TIME
        && rules.cold.limit.at_or_below(reading)
}

/// Whether a thermometer stood in the grain at both ends: no place makes grain hot by being called so.
fn is_read_hot(left: &Mark, right: Option<&Mark>) -> bool {
    !left.readings.is_empty() && right.is_some_and(|right| !right.readings.is_empty())
}

fn class(known: &[Temperature], rules: &RuleSet) -> Class {
    if known.is_empty() {
        Class::Unmeasured
    } else if known.iter().all(|t| rules.frozen.limit.at_or_below(*t)) {
        Class::Frozen
    } else if known.iter().all(|t| rules.cold.limit.at_or_below(*t)) {
        Class::Cold
    } else if known.iter().all(|t| rules.hot.limit.at_or_above(*t)) {
        Class::Hot
    } else {
        Class::Warm
    }
}

fn marks(history: &History, start: Instant) -> Vec<Mark> {
    let mut moments: Vec<(Instant, Option<Temperature>)> = vec![(start, None)];
    for event in &history.events {
        match event.what {
            What::Read(temperature) => moments.push((event.at, Some(temperature))),
            What::Placed { .. } | What::Restated { .. } => moments.push((event.at, None)),
            What::Handled { until, .. } => {
                moments.extend([(event.at.max(start), None), (until, None)]);
            }
            _ => {}
        }
    }
    moments.retain(|(at, _)| *at >= start);
    moments.sort_by_key(|(at, _)| *at);
    let mut marks: Vec<Mark> = Vec::with_capacity(moments.len());
    for (at, reading) in moments {
        match marks.last_mut() {
            Some(last) if last.at == at => last.readings.extend(reading),
            _ => marks.push(Mark {
                at,
                readings: reading.into_iter().collect(),
            }),
        }
    }
    marks
}
