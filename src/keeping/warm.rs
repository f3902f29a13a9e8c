//! Time above the cold limit, after cooling: one running total for the lot's life.

use super::rules::{WarmCount, WarmRule};
use super::timeline::{Class, Interval};
use super::verdict::WarmTimes;
use crate::quantity::Instant;
use chrono::Duration;

/// Why warm time ended a lot's use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WarmEnd {
    /// The allowed time was used up.
    TimeUp,
    /// It went back into the cold after too long.
    BackIntoTheCold,
    /// It was warm once more than allowed.
    TooOften,
    /// It was heated again after cooling and went back into the cold, a cooling that nobody judged.
    ReheatedAndChilled,
}

/// What the warm time of a lot comes to.
#[derive(Debug, Default)]
pub(super) struct Warm {
    /// Last moment at which the lot may be used as far as warm time goes.
    pub last_good: Option<(Instant, WarmEnd)>,
    /// From here on the lot goes first.
    pub use_first_from: Option<Instant>,
    /// Where the lot is warm at the end: until when it may still go back into the cold.
    pub back_by: Option<Instant>,
}

const SECOND: Duration = Duration::seconds(1);

/// The same grain as it was known `before` each reading above the cold limit was taken, and before its place was stated anew
/// to be warmer than that.
///
/// Grain that was warm for long is past as soon as it goes back into the cold, while grain that stays warm may still be
/// baked with. So a warm reading or statement would move its end to a later moment. It must not: that it went back was shown
/// without it, so it ends by what is known with it and by what was known before.
pub(super) struct Known<'a> {
    /// By all that is known.
    pub by_all: &'a [Interval],
    /// Without the last warm reading, without the last two, and so on, the same without warm statements, and by readings alone where grain was put back, or its
    /// place stated anew, between two of them.
    pub before: &'a [Vec<Interval>],
}

/// Adds up warm time over intervals that begin when the grain was shown cold, `firmly` without what rests on a last reading
/// alone.
pub(super) fn add_up(known: &Known<'_>, rule: &WarmRule, firmly: bool) -> Warm {
    let returns: Vec<Instant> = known
        .before
        .iter()
        .flat_map(|intervals| returns(intervals, firmly))
        .collect();
    let mut warm = run_through(known.by_all, &returns, rule, firmly);
    let ends = known.before.iter();
    // A warm statement leaves a later reading less to speak for: what was warm without it went back when all that is known says so.
    let ends = ends.filter_map(|before| run_through(before, &returns, rule, firmly).last_good);
    warm.last_good = warm
        .last_good
        .into_iter()
        .chain(ends)
        .min_by_key(|(at, _)| *at);
    warm
}

/// Moments at which it went from warm to cold.
fn returns(intervals: &[Interval], firmly: bool) -> impl Iterator<Item = Instant> + '_ {
    let mut was_warm = false;
    intervals
        .iter()
        .filter(move |interval| !(firmly && interval.provisional))
        .filter_map(move |interval| {
            let goes_back = was_warm && interval.class.is_cold();
            was_warm = interval.class == Class::Warm || (was_warm && interval.class == Class::Hot);
            goes_back.then_some(interval.from)
        })
}

/// Adds up warm time of intervals, of which it is also known from elsewhere when the grain went back into the cold.
fn run_through(intervals: &[Interval], returns: &[Instant], rule: &WarmRule, firmly: bool) -> Warm {
    let mut warm = Warm::default();
    let mut total = Duration::zero();
    let mut times = 0;
    let mut was_warm = false;
    let mut reheated = false;
    // The last good moment is the exact end where the text still allows it, else the second before.
    let last = |end: Instant| {
        if rule.past_from_allowed {
            end
        } else {
            end - SECOND
        }
    };
    let mut end_at = |at: Instant, why: WarmEnd| {
        if warm.last_good.is_none_or(|(known, _)| at < known) {
            warm.last_good = Some((at, why));
        }
    };
    for interval in intervals {
        let is_left_out = firmly && interval.provisional;
        // Put back is put back, also where a reading shows that the grain is not cold there yet.
        let goes_back = interval.enters_cold || (interval.class.is_cold() && !is_left_out);
        if goes_back && rule.count == WarmCount::Sum && was_warm && total >= rule.rechill_below {
            end_at(interval.from - SECOND, WarmEnd::BackIntoTheCold);
        }
        if is_left_out {
            continue;
        }
        for at in returns {
            let is_in_it = interval.from <= *at && interval.to.is_none_or(|to| *at < to);
            let since = match interval.class {
                Class::Warm => *at - interval.from,
                _ => Duration::zero(),
            };
            let is_too_late = rule.count == WarmCount::Sum && total + since >= rule.rechill_below;
            if is_in_it && is_too_late {
                end_at(*at - SECOND, WarmEnd::BackIntoTheCold);
            }
        }
        reheated |= interval.in_hot_hold;
        match interval.class {
            Class::Warm => {
                if !was_warm {
                    times += 1;
                    if rule.most_times.is_some_and(|most| times > most) {
                        end_at(interval.from - SECOND, WarmEnd::TooOften);
                    }
                }
                match rule.count {
                    WarmCount::Sum => {
                        let reaches = |limit: Duration| {
                            let left = limit - total;
                            let from = interval.from + left.max(Duration::zero());
                            interval.to.is_none_or(|to| from <= to).then_some(from)
                        };
                        if let Some(at) = reaches(rule.past_from) {
                            end_at(last(at), WarmEnd::TimeUp);
                        }
                        if let Some(at) = reaches(rule.rechill_below) {
                            warm.use_first_from.get_or_insert(at);
                        }
                        if interval.to.is_none() && total < rule.rechill_below {
                            warm.back_by =
                                Some(interval.from + (rule.rechill_below - total) - SECOND);
                        }
                    }
                    WarmCount::FromFirst if times == 1 && !was_warm => {
                        end_at(last(interval.from + rule.past_from), WarmEnd::TimeUp);
                        warm.use_first_from.get_or_insert(interval.from);
                    }
                    WarmCount::FromFirst => {}
                }
                total += interval
                    .to
                    .map_or(Duration::zero(), |to| to - interval.from);
                was_warm = true;
            }
            Class::Cold | Class::Frozen | Class::Unmeasured => {
                if reheated && !interval.in_hot_hold {
                    end_at(interval.from - SECOND, WarmEnd::ReheatedAndChilled);
                }
                was_warm = false;
            }
            Class::Hot => reheated = true,
        }
    }
    warm
}

/// How often it was warm up to a moment, and since when for the first and the last time.
pub(super) fn times_until(intervals: &[Interval], at: Instant) -> Option<WarmTimes> {
    let mut times: Option<WarmTimes> = None;
    let mut was_warm = false;
    for interval in intervals.iter().filter(|interval| interval.from < at) {
        let is_warm = interval.class == Class::Warm;
        if is_warm && !was_warm {
            times = Some(WarmTimes {
                count: times.map_or(0, |times| times.count) + 1,
                first: times.map_or(interval.from, |times| times.first),
                last: interval.from,
            });
        }
        was_warm = is_warm;
    }
    times
}

/// Warm minutes up to a moment, begun minutes counted whole.
pub(super) fn minutes_until(intervals: &[Interval], at: Instant) -> i64 {
    let seconds: i64 = intervals
        .iter()
        .filter(|interval| interval.class == Class::Warm && interval.from < at)
        .map(|interval| (interval.to.map_or(at, |to| to.min(at)) - interval.from).num_seconds())
        .sum();
    (seconds + 59).div_euclid(60)
}
