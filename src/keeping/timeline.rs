//! A lot's life cut into intervals, each with the coldest and warmest it can have been.
//!
//! What a reading shows holds until something newer is known. Between two readings the grain is taken
//! to have been as bad as the worse of the two, and where they lie far apart as bad as the place too: as what a
//! logger measured there, else as what it states. That holds on where the grain goes on in its place under another code, or
//! the place is stated anew as warm as it was: neither says how warm the grain is. What a logger in the grain measured are
//! readings of it. What a logger's last reading says of the time after it is provisional. At a source nothing is known but
//! readings.

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

/// A moment at which something became known of how warm the grain was.
struct Mark {
    at: Instant,
    readings: Vec<Temperature>,
}

/// A lot's life from a moment on, as it is cut.
struct Cuts {
    stays: Vec<Stay>,
    /// From when to when it was worked on, and how warm it was there.
    handled: Vec<(Instant, Instant, Temperature)>,
    /// Moments at which the reach of a reading ends: readings, other places, other warmth.
    marks: Vec<Mark>,
    /// Moments at which it goes on as before: put back, its place stated anew as warm as it was.
    seams: Vec<Instant>,
}

impl Cuts {
    fn of(history: &History, rules: &RuleSet, start: Instant) -> Self {
        let stays = history.stays();
        let alike =
            |one: Temperature, other: Temperature| class(&[one], rules) == class(&[other], rules);
        let mut moments: Vec<(Instant, Option<Temperature>)> = vec![(start, None)];
        let mut seams = Vec::new();
        let mut cut = |at: Instant, is_seam: bool| {
            if is_seam {
                seams.push(at);
            } else {
                moments.push((at, None));
            }
        };
        let mut before: Option<&Stay> = None;
        for stay in &stays {
            let goes_on = stay.goes_on
                && before.is_some_and(|before| {
                    before.kind == stay.kind && alike(before.stated, stay.stated)
                });
            cut(stay.from, goes_on);
            before = Some(stay);
        }
        let mut handled = Vec::new();
        for event in &history.events {
            if let What::Handled { until, stated } = event.what {
                let is_seam =
                    stay_at(&stays, event.at).is_some_and(|stay| alike(stay.stated, stated));
                cut(event.at.max(start), is_seam);
                cut(until, is_seam);
                handled.push((event.at, until, stated));
            }
        }
        for event in &history.events {
            if let What::Read(temperature) = event.what {
                moments.push((event.at, Some(temperature)));
            }
        }
        let marks = marks(moments, start);
        seams.sort_unstable();
        seams.dedup();
        Self {
            stays,
            handled,
            marks,
            seams,
        }
    }

    /// The time from a mark to the next one, in parts that begin at the mark and at each seam.
    fn parts(&self, from: Instant, to: Option<Instant>) -> Vec<(Instant, Option<Instant>)> {
        let within = |at: &Instant| *at > from && to.is_none_or(|to| *at < to);
        let seams = self.seams.iter().copied().filter(within);
        let begins: Vec<Instant> = std::iter::once(from).chain(seams).collect();
        let ends = begins.iter().skip(1).map(|at| Some(*at)).chain([to]);
        begins.iter().copied().zip(ends).collect()
    }
}

/// The stay that a moment lies in.
fn stay_at(stays: &[Stay], at: Instant) -> Option<Stay> {
    stays.iter().rfind(|stay| stay.from <= at).copied()
}

/// Cuts the time from `start` on into intervals. With it the same where two readings speak for the time between also if it was
/// put back or its place stated anew meanwhile; nothing where that makes no difference.
///
/// `start` itself may be a moment at which nothing was measured, such as that of a word. Grain that readings across seams show
/// in the cold has gone back into the cold, whatever its place says of that time.
pub(super) fn intervals(
    history: &History,
    rules: &RuleSet,
    start: Instant,
) -> (Vec<Interval>, Option<Vec<Interval>>) {
    let cuts = Cuts::of(history, rules, start);
    let is_between = cuts.marks.windows(2).any(|two| {
        two.iter().all(|mark| !mark.readings.is_empty())
            && cuts.parts(two[0].at, Some(two[1].at)).len() > 1
    });
    let across_seams = is_between.then(|| cut_up(history, rules, &cuts, true));
    (cut_up(history, rules, &cuts, false), across_seams)
}

/// Cuts a life up into intervals; `across` seams two readings speak for the time between, else its place counts there too.
fn cut_up(history: &History, rules: &RuleSet, cuts: &Cuts, across: bool) -> Vec<Interval> {
    let air = history.air();
    let unsettled = history.unsettled(rules);
    let mut read_last = None;
    let mut found = Vec::with_capacity(cuts.marks.len());
    for (index, mark) in cuts.marks.iter().enumerate() {
        let next = cuts.marks.get(index + 1);
        let there = stay_at(&cuts.stays, mark.at);
        let left: Vec<Temperature> = mark
            .readings
            .iter()
            .copied()
            // It speaks for the time before it, and not for the freezer after it.
            .filter(|reading| {
                there.is_none_or(|stay| !is_still_freezing(stay, mark.at, *reading, rules))
            })
            .collect();
        let right = next.map_or_else(Vec::new, |next| next.readings.clone());
        if !mark.readings.is_empty() {
            read_last = Some(mark.at);
        }
        let parts = cuts.parts(mark.at, next.map(|next| next.at));
        let is_one = across || parts.len() == 1;
        let by_place: Vec<air::Piece> = parts
            .iter()
            .flat_map(|(from, to)| match stay_at(&cuts.stays, *from) {
                Some(stay) => air::pieces(&air, (*from, *to), stay.stated, read_last),
                None => vec![air::Piece::read(*from, *to)],
            })
            .collect();
        let by_logger = by_place.iter().any(|piece| piece.in_grain)
            && by_place.iter().all(|piece| piece.unmeasured.is_none());
        let pieces = if by_logger || !is_one || !readings_speak_for_it(mark, next, rules) {
            by_place
        } else {
            let parts = parts.into_iter();
            parts.map(|(from, to)| air::Piece::read(from, to)).collect()
        };
        let (left_to, right_from) = reach(&pieces, &cuts.seams);
        for (place, piece) in pieces.into_iter().enumerate() {
            let stay = stay_at(&cuts.stays, piece.from);
            let worked_on = cuts
                .handled
                .iter()
                .filter(|(from, until, _)| *from <= piece.from && piece.from < *until);
            let mut known: Vec<Temperature> = worked_on.map(|(_, _, stated)| *stated).collect();
            let is_worked_on = !known.is_empty();
            if place <= left_to {
                known.extend(&left);
            }
            if place >= right_from {
                known.extend(&right);
            }
            let is_hot = is_one && !is_worked_on && is_read_hot(mark, next, rules);
            let class_of = |known: &[Temperature]| match class(known, rules) {
                Class::Hot if !is_hot => Class::Warm,
                class => class,
            };
            let plain = {
                let mut as_stated = known.clone();
                as_stated.extend(stay.map(|stay| stay.stated));
                class_of(&as_stated)
            };
            known.extend(piece.known);
            let is_worse = class_of(&known) != plain;
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
            // What is warm without a logger is warm for good, at whatever its place is stated to hold.
            let provisional =
                plain != Class::Warm && (after_last || is_warm || thawed_at.is_some());
            let class = class_of(&known);
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

/// Up to which piece the reading before them speaks, and from which one on the reading after them.
///
/// Between two readings the worse counts, and those of a logger in the grain are readings of it too. A thermometer among
/// its readings speaks for the time since the one before it. What a seam cuts in two is one piece here.
fn reach(pieces: &[air::Piece], seams: &[Instant]) -> (usize, usize) {
    let last = pieces.len() - 1;
    let goes_on = |at: usize| {
        pieces[at].in_grain
            && pieces[at - 1].in_grain
            && pieces[at].known == pieces[at - 1].known
            && seams.contains(&pieces[at].from)
    };
    let (Some(first_read), Some(last_read)) = (
        pieces.iter().position(|piece| piece.in_grain),
        pieces.iter().rposition(|piece| piece.in_grain),
    ) else {
        return (last, 0);
    };
    let mut left_to = first_read;
    while left_to < last && goes_on(left_to + 1) {
        left_to += 1;
    }
    let mut right_from = (last_read + 1).min(last);
    while right_from > 0 && goes_on(right_from) {
        right_from -= 1;
    }
    (left_to, right_from)
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
        && at - stay.lies_since <= FREEZING_TIME
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

/// The moments from `start` on, those that are alike put together.
fn marks(mut moments: Vec<(Instant, Option<Temperature>)>, start: Instant) -> Vec<Mark> {
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
