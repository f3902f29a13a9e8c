//! Whether hot grain cooled fast enough, judged by what was shown: readings and words.
//!
//! The clock starts when the grain was last shown hot. A reading above a stage's temperature at the end of the
//! stage's time or after it proves that the stage failed; one of exactly the limit does not, since the limit itself is within. Where nothing proves either, cooling is not
//! shown, which is no better than not knowing. A logger in the grain speaks against cooling as a thermometer does, and never for it.

mod hot_until;

use super::{History, PlaceKind, RuleSet, What};
use crate::quantity::temperature::Limit;
use crate::quantity::text::trimmed;
use crate::quantity::{Instant, Temperature, Zone};
use chrono::Duration;
use hot_until::left_hot;

/// What is known of the cooling.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cooling {
    /// Shown at or below the cold limit in time, at this moment.
    Shown(Instant),
    /// A stage is proven to have failed: the last moment at which that was not known, and the reading that proves it.
    Failed {
        at: Instant,
        stage: Stage,
        /// From when on its time counted.
        since: Since,
        shown: Temperature,
        /// Whether a logger in the grain read it, and no thermometer.
        is_logged: bool,
        /// Last moment at which not knowing was still good, where the first stage is not shown and a later one failed.
        unknown_after: Option<Instant>,
    },
    /// Not shown: good only until the next deadline, unknown from then on.
    Open {
        /// Last moment at which not knowing is still good.
        until: Instant,
        /// What a reading would have to show by then.
        at_most: Limit,
        /// The stage that is not shown.
        stage: Stage,
        /// From when on its time counts.
        since: Since,
        /// For when somebody said that it was cold, and why that does not count, where there is such a word.
        word_set_aside: Option<(Instant, SetAside)>,
        /// Whether that word stands before any other: no later one counts beside it.
        is_refuted: bool,
        /// From when on it was said or read to be cold, later than that may be, and whether somebody said it.
        cold_too_late: Option<(Instant, bool)>,
        /// By when all of it had to be cold, for a word that shows it afterwards.
        cold_by: Instant,
    },
}

/// Why a word that the grain was cold does not count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SetAside {
    /// Sooner than a tub can cool.
    TooSoon,
    /// A reading then or later shows it warmer.
    Warmer,
    /// A reading shows it warmer so shortly before that no tub cools in that time.
    SoonAfterWarm,
    /// A logger in the grain shows it warmer then, later or shortly before: when, and how warm.
    LoggedWarmer(Instant, Temperature),
}

impl SetAside {
    /// In words, of a word for this moment. There may be others, so the note names it.
    pub(super) fn note(self, said: Instant, zone: &Zone) -> String {
        let why = match self {
            Self::TooSoon => "no tub cools that fast".to_owned(),
            Self::Warmer => {
                "a thermometer showed more (if that was a slip, strike the reading)".to_owned()
            }
            Self::SoonAfterWarm => format!(
                "a thermometer showed more less than {} min before, and no tub cools that fast (if one of the two was a slip, strike it)",
                QUICKEST.num_minutes()
            ),
            Self::LoggedWarmer(read, shown) => format!(
                "the logger in the grain showed {} °C at {}{}",
                trimmed(shown.degrees_celsius(), 2),
                zone.in_words(read),
                if read < said {
                    ", and no tub cools that fast"
                } else {
                    ""
                }
            ),
        };
        format!(
            "somebody said that it was cold at {}; that does not count: {why}",
            zone.in_words(said)
        )
    }
}

/// From when on the time for cooling counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Since {
    /// Mash-out: no reading showed it hot after that.
    MashOut,
    /// When dried grain was wetted.
    Wetting,
    /// When it was last shown hot.
    LeftHot,
}

/// The stage a deadline belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stage {
    First,
    Second,
}

/// Nothing that a bakery has cools a tub from hot to cold sooner than this: judgement. An earlier time is
/// a typing error.
pub const QUICKEST: Duration = Duration::minutes(30);

impl History {
    /// Whether the grain is shown to have cooled in time since mash-out.
    pub fn cooling_is_shown(&self, rules: &RuleSet, mash_out: Instant) -> bool {
        let cooling = judge(self, rules, (mash_out, false), By::LoggersToo);
        matches!(cooling, Cooling::Shown(_))
    }
}

/// Judges the cooling that began at mash-out, or with `wetted` when dried grain was wetted.
///
/// Wetted grain begins at the temperature of the room: it has the time of the second stage, and no more
/// (Food Code 3-501.14(B): 4 h to 5 °C). Where a reading shows that the water was hot the first stage counts
/// as well.
pub(super) fn judge(history: &History, rules: &RuleSet, start: (Instant, bool), by: By) -> Cooling {
    judge_held(history, rules, start, (Held::Measured, by))
}

/// The same, but a gap in the readings of a hot-hold proves no failure: between two thermometer readings that show the grain
/// hot it may have been hot all the time. Where that changes the answer, the last moment before the change comes with it.
pub(super) fn judge_across_gaps(
    history: &History,
    rules: &RuleSet,
    start: (Instant, bool),
    by: By,
) -> (Cooling, Option<Instant>) {
    let measured = judge(history, rules, start, by);
    let Cooling::Failed {
        at, unknown_after, ..
    } = measured
    else {
        return (measured, None);
    };
    let held = judge_held(history, rules, start, (Held::AcrossGaps, by));
    let is_unknown = held != measured;
    let last_good = unknown_after.map_or(at, |after| after.min(at));
    (held, is_unknown.then_some(last_good))
}

/// When the grain is shown cold in time by thermometers and words, whatever loggers in it say against it. Nothing where none
/// says anything: most grain has no logger in it, and need not be judged twice.
pub(super) fn shown_but_for_loggers(
    history: &History,
    rules: &RuleSet,
    start: (Instant, bool),
) -> Option<Instant> {
    if logged(history, start.0).is_empty() {
        return None;
    }
    match judge_across_gaps(history, rules, start, By::Thermometers).0 {
        Cooling::Shown(cold) => Some(cold),
        Cooling::Failed { .. } | Cooling::Open { .. } => None,
    }
}

/// Whose readings speak against cooling. What loggers say never shows it: whatever counts as shown with them counts so
/// without them, no later.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// Thermometers alone.
    Thermometers,
    /// Loggers in the grain as well.
    LoggersToo,
}

/// When a hot-hold place speaks for the time between two hot readings of the grain.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Held {
    /// Where its logger, if it has one, measured all of that time.
    Measured,
    /// Also across a gap between two readings of its logger, both hot.
    AcrossGaps,
}

fn judge_held(
    history: &History,
    rules: &RuleSet,
    (began, wetted): (Instant, bool),
    (held, by): (Held, By),
) -> Cooling {
    let mut readings = readings(history, began);
    let logged = match by {
        By::Thermometers => Vec::new(),
        By::LoggersToo => logged(history, began),
    };
    let start = left_hot(history, rules, (began, held), &readings);
    let since = match (start > began, wetted) {
        (true, _) => Since::LeftHot,
        (false, true) => Since::Wetting,
        (false, false) => Since::MashOut,
    };
    // Of two at one moment the warmer is believed, whichever was written first.
    readings.reverse();
    readings.dedup_by_key(|(at, _)| *at);
    readings.reverse();
    // A logger that reads hot in a hot-hold proves no failure: there the grain is to be hot.
    let stays = match logged.as_slice() {
        [] => Vec::new(),
        _ => history.stays(),
    };
    let is_held_hot = |at: Instant, reading: Temperature| {
        let stay = stays.iter().rfind(|stay| stay.from <= at);
        rules.hot.limit.at_or_above(reading)
            && stay.is_some_and(|stay| stay.kind == PlaceKind::HotHold)
    };
    let proves = logged.iter().copied();
    let proves = proves.filter(|(at, reading)| !is_held_hot(*at, *reading));
    let mut against: Vec<_> = readings.iter().copied().chain(proves).collect();
    against.sort_by_key(|(at, reading)| (*at, reading.milli_celsius()));
    let rule = &rules.cooling;
    let second_stage = rule
        .further_within
        .unwrap_or(rule.total_within - rule.first_within);
    let total = if wetted {
        start + second_stage.min(rule.total_within)
    } else {
        start + rule.total_within
    };
    // A warmer reading inside the cooling time shows that the grain was not cold through before it.
    let warmer_after = |at: Instant| {
        readings.iter().any(|(read, reading)| {
            *read > at && *read <= total && !rules.cold.limit.at_or_below(*reading)
        })
    };
    let logged_warmer = |from: Instant| {
        let mut warmer = logged.iter().copied();
        warmer.find(|(read, reading)| {
            *read >= from && *read <= total && !rules.cold.limit.at_or_below(*reading)
        })
    };
    let words = history.events.iter();
    let words = words.filter(|event| event.what == What::Cooled && event.at >= began);
    // A word for a moment at which it was still shown hot comes last.
    let said = words
        .map(|event| event.at)
        .min_by_key(|said| (*said < start, *said));
    // Measured beats said, also at the same moment.
    let set_aside = |said: Instant| {
        let warm_then = readings
            .iter()
            .any(|(read, reading)| *read == said && !rules.cold.limit.at_or_below(*reading));
        let warm_just_before = || {
            readings.iter().any(|(read, reading)| {
                *read < said && said < *read + QUICKEST && !rules.cold.limit.at_or_below(*reading)
            })
        };
        // A logger that shows it cold by then agrees, however shortly before it showed more.
        let logged_just_before = || {
            let last = logged.iter().copied().rfind(|(read, _)| *read <= said);
            last.filter(|(read, reading)| {
                said < *read + QUICKEST && !rules.cold.limit.at_or_below(*reading)
            })
        };
        if said < start || warm_then || warmer_after(said) {
            Some(SetAside::Warmer)
        } else if said < start + QUICKEST {
            Some(SetAside::TooSoon)
        } else if warm_just_before() {
            Some(SetAside::SoonAfterWarm)
        } else {
            let shown = logged_warmer(said).or_else(logged_just_before);
            shown.map(|(read, shown)| SetAside::LoggedWarmer(read, shown))
        }
    };
    let word_set_aside = said.and_then(|said| Some((said, set_aside(said)?)));
    let is_refuted = word_set_aside.is_some_and(|(said, _)| said >= start);
    let word = said.filter(|_| word_set_aside.is_none());
    // Setting a word aside takes no warm time off grain that a reading shows cold later.
    let soon_after_warm = word_set_aside.filter(|(_, why)| *why == SetAside::SoonAfterWarm);
    let warm_time_from = soon_after_warm.map(|(said, _)| said);
    let shown_by = |limit: Limit| {
        readings
            .iter()
            .filter(move |(at, reading)| *at >= start && limit.at_or_below(*reading))
            .map(|(at, _)| *at)
    };
    let cold = shown_by(rules.cold.limit)
        .filter(|at| !warmer_after(*at) && logged_warmer(*at).is_none())
        .chain(word)
        .min();
    let before_cold = |at: Instant| cold.is_none_or(|cold| at <= cold);
    // When a stage failed that a reading proves to have failed: one at the very deadline proves it there.
    let failed_at = |limit: Limit, deadline: Instant| {
        let mut late = against.iter().filter(|(at, reading)| {
            *at >= deadline && before_cold(*at) && !limit.at_or_below(*reading)
        });
        let (proven, shown) = late.next()?;
        let at = if *proven == deadline {
            deadline - Duration::seconds(1)
        } else {
            deadline
        };
        let is_logged = !readings.contains(&(*proven, *shown));
        Some((at, *shown, is_logged))
    };
    let from_room = |known: &[(Instant, Temperature)]| {
        let mut known = known.iter();
        wetted && known.all(|(_, reading)| rule.first_to.at_or_below(*reading))
    };
    // Grain that was warmer again afterwards had not passed the first stage yet.
    let passed_by = |known: &[(Instant, Temperature)]| {
        if from_room(known) {
            return Some(start);
        }
        shown_by(rule.first_to).find(|passed| {
            !known.iter().any(|(at, reading)| {
                *at > *passed && before_cold(*at) && !rule.first_to.at_or_below(*reading)
            })
        })
    };

    let first_deadline = start + rule.first_within.min(total - start);
    if let Some((at, shown, is_logged)) = failed_at(rule.first_to, first_deadline) {
        return Cooling::Failed {
            at,
            stage: Stage::First,
            since,
            shown,
            is_logged,
            unknown_after: None,
        };
    }
    let in_time = |passed: &Instant| *passed <= first_deadline;
    let passed_first = passed_by(&against).filter(in_time);
    // A logger that shows it warmer again gives it no more time.
    let second_deadline = match (passed_by(&readings).filter(in_time), rule.further_within) {
        (Some(passed), Some(further)) => total.min(passed + further),
        _ => total,
    };
    // A word speaks for the whole cooling; a thermometer only for the moment it was read. What was so warm so late that
    // nothing cools it in time speaks against the word.
    let was_in_time = against.iter().all(|(at, reading)| {
        let above = reading.degrees_celsius() - rule.first_to.in_celsius().degrees_celsius();
        let all = rules.hot.limit.in_celsius().degrees_celsius()
            - rules.cold.limit.in_celsius().degrees_celsius();
        let takes = QUICKEST.as_seconds_f64() * above / all;
        *at < start || *at > first_deadline || (first_deadline - *at).as_seconds_f64() >= takes
    });
    let first_is_shown =
        passed_first.is_some() || (was_in_time && word.is_some_and(|said| said <= total));
    if let Some((at, shown, is_logged)) = failed_at(rules.cold.limit, second_deadline) {
        return Cooling::Failed {
            at,
            stage: Stage::Second,
            since,
            shown,
            is_logged,
            unknown_after: (!first_is_shown).then_some(first_deadline),
        };
    }
    let cold_too_late = cold
        .filter(|cold| *cold > second_deadline)
        .map(|cold| (cold, word.is_some() || is_refuted));
    match cold {
        Some(cold) if first_is_shown && cold <= second_deadline => {
            Cooling::Shown(warm_time_from.map_or(cold, |said| said.min(cold)))
        }
        _ if first_is_shown => Cooling::Open {
            until: second_deadline,
            at_most: rules.cold.limit,
            stage: Stage::Second,
            since,
            word_set_aside,
            is_refuted,
            cold_too_late,
            cold_by: second_deadline,
        },
        _ => Cooling::Open {
            until: first_deadline,
            at_most: rule.first_to,
            stage: Stage::First,
            since,
            word_set_aside,
            is_refuted,
            cold_too_late,
            cold_by: second_deadline,
        },
    }
}

/// Readings of a thermometer from `mash_out` on, in time order, the colder first of those at one moment.
fn readings(history: &History, mash_out: Instant) -> Vec<(Instant, Temperature)> {
    in_order(history, mash_out, |what| match what {
        What::Read(temperature) => Some(*temperature),
        _ => None,
    })
}

/// The same of a logger in the grain.
fn logged(history: &History, mash_out: Instant) -> Vec<(Instant, Temperature)> {
    in_order(history, mash_out, |what| match what {
        What::Logged(temperature) => Some(*temperature),
        _ => None,
    })
}

fn in_order(
    history: &History,
    mash_out: Instant,
    temperature: fn(&What) -> Option<Temperature>,
) -> Vec<(Instant, Temperature)> {
    let events = history.events.iter();
    let mut readings: Vec<_> = events
        .filter(|event| event.at >= mash_out)
        .filter_map(|event| Some((event.at, temperature(&event.what)?)))
        .collect();
    readings.sort_by_key(|(at, reading)| (*at, reading.milli_celsius()));
    readings
}
