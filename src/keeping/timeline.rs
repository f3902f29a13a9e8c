//! A lot's life cut into intervals, each with the coldest and warmest it can have been.
//!
//! What a reading shows holds until something newer is known. Between two readings the grain is taken
//! to have been as bad as the worse of the two, and where they lie far apart as bad as the place too: as what a
//! logger measured there, else as what it states. What a logger in the grain measured are readings of it. What a logger's last reading says of the time after it is
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
    /// Whether it is frozen by what was measured or stated, whatever a last reading alone says.
    pub firmly_frozen: bool,
    /// Whether the lot is in a hot-hold place, whatever a thermometer says.
    pub in_hot_hold: bool,
    /// Whether it begins with going into a place that is stated to be cold, however warm the grain is.
    pub enters_cold: bool,
    /// Why the logger of its place says nothing of it: then nobody knows how warm it was.
    pub unmeasured: Option<air::Unmeasured>,
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
        let left: Vec<Temperature> = mark
            .readings
            .iter()
            .copied()
            // It speaks for the time before it, and not for the freezer after it.
            .filter(|reading| {
                stay.is_none_or(|stay| !is_still_freezing(stay, mark.at, *reading, rules))
            })
            .collect();
        let right = next.map_or_else(Vec::new, |next| next.readings.clone());
        let worked_on = handled
            .iter()
            .filter(|(from, until, _)| *from <= mark.at && mark.at < *until);
        let stated: Vec<Temperature> = worked_on.map(|(_, _, stated)| *stated).collect();
        let to = next.map(|next| next.at);
        if !mark.readings.is_empty() {
            read_last = Some(mark.at);
        }
        let pieces = match stay {
            Some(stay) => {
                let pieces = air::pieces(&air, (mark.at, to), stay.stated, read_last);
                let by_logger = pieces.iter().any(|piece| piece.in_grain)
                    && pieces.iter().all(|piece| piece.unmeasured.is_none());
                if by_logger || !readings_speak_for_it(mark, next, rules) {
                    pieces
                } else {
                    vec![air::Piece::read(mark.at, to)]
                }
            }
            None => vec![air::Piece::read(mark.at, to)],
        };
        // Between two readings the worse counts, and those of a logger in the grain are readings of it too.
        let first_read = pieces.iter().position(|piece| piece.in_grain);
        let last_read = pieces.iter().rposition(|piece| piece.in_grain);
        // A thermometer among its readings speaks for the time since the one before it.
        let last_piece = pieces.len() - 1;
        let right_from = last_read.map(|at| (at + 1).min(last_piece));
        for (place, piece) in pieces.into_iter().enumerate() {
            let mut known = stated.clone();
            if first_read.is_none_or(|first| place <= first) {
                known.extend(&left);
            }
            if right_from.is_none_or(|from| place >= from) {
                known.extend(&right);
            }
            let plain = {
                let mut as_stated = known.clone();
                as_stated.extend(stay.map(|stay| stay.stated));
                class(&as_stated, rules)
            };
            known.extend(piece.known);
            let is_worse = class(&known, rules) != plain;
            let told = |last: Instant| {
                next.is_some_and(|next| {
                    !next.readings.is_empty() && next.at - last <= rules.longest_gap
                })
            };
            let after_last = piece.after_last.is_some_and(|last| is_worse && !told(last));
            let mut after = unsettled.iter().filter(|unsettled| {
                piece.from >= unsettled.from
                    && unsettled.to.is_none_or(|to| piece.from < to)
                    && read_last.is_none_or(|read| read < unsettled.from)
            });
            let is_warm = after.clone().any(|unsettled| {
                unsettled.is_warm && stay.is_some_and(|stay| stay.entered <= unsettled.at)
            });
            let thawed_at = after.find_map(|unsettled| {
                let is_there = unsettled.leaves.is_none_or(|leaves| piece.from < leaves);
                unsettled.thawed_at.filter(|_| is_there)
            });
            known.extend(thawed_at);
            let provisional = after_last || is_warm || thawed_at.is_some();
            let class = match class(&known, rules) {
                Class::Hot if !is_read_hot(mark, next, rules) || !stated.is_empty() => Class::Warm,
                class => class,
            };
            found.push(Interval {
                from: piece.from,
                to: piece.to,
                warmest: known.iter().copied().reduce(Temperature::warmer),
                class,
                firmly_frozen: class == Class::Frozen || (provisional && plain == Class::Frozen),
                in_hot_hold: stay.is_some_and(|stay| stay.kind == PlaceKind::HotHold),
                enters_cold: stay.is_some_and(|stay| {
                    stay.from == piece.from && rules.cold.limit.at_or_below(stay.stated)
                }),
                unmeasured: piece.unmeasured,
                provisional,
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

/// Whether a thermometer showed the grain hot at both ends: no place makes grain hot by being called so.
fn is_read_hot(left: &Mark, right: Option<&Mark>, rules: &RuleSet) -> bool {
    let is_hot = |end: &Mark| {
        let mut readings = end.readings.iter();
        !end.readings.is_empty() && readings.all(|reading| rules.hot.limit.at_or_above(*reading))
    };
    is_hot(left) && right.is_some_and(is_hot)
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
