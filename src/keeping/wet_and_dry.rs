//! When a lot was wet and when dry: drying pauses nothing and rescues nothing, wetting starts a new life.

use super::timeline::{self, Interval};
use super::{History, RuleSet, What};
use crate::quantity::Instant;

/// A time in which the grain was wet, and the day count ran.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wet {
    /// Mash-out, or the moment at which dried grain was wetted.
    pub from: Instant,
    /// Whether it began with wetting, from the temperature of the room and not from the mash.
    pub wetted: bool,
    /// First moment at which it was shown dry. What lasted until then is judged; later limits fall away.
    pub to: Option<Instant>,
    /// When it was dried: from then on nobody knew whether it was dry, until it was shown.
    pub dried: Option<Instant>,
}

impl Wet {
    /// What of a history's [`timeline::intervals`] lies in this time.
    pub fn intervals(
        &self,
        history: &History,
        rules: &RuleSet,
        start: Instant,
    ) -> (Vec<Interval>, Option<Vec<Interval>>) {
        let (intervals, across_seams) = timeline::intervals(history, rules, start);
        let across_seams = across_seams.map(|intervals| self.clipped(intervals));
        (self.clipped(intervals), across_seams)
    }

    fn clipped(&self, mut intervals: Vec<Interval>) -> Vec<Interval> {
        if let Some(to) = self.to {
            intervals.retain(|interval| interval.from < to);
            if let Some(last) = intervals.last_mut() {
                last.to = Some(to);
            }
        }
        intervals
    }
}

/// A moment, and the place among the events: those of one moment stand in the order in which they were written.
type Moment = (Instant, usize);

/// What is known of the dryness of dried grain.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Dryness {
    /// Shown dry by its water activity.
    ByActivity { first: Instant, activity: f64 },
    /// Shown dry by its moisture: an indicator.
    ByMoisture { first: Instant, moisture: f64 },
    /// Measured, and too moist to be judged as dry: its wet life goes on, and it is no more usable than if nobody had measured.
    TooMoist { activity: f64 },
    /// Nobody measured.
    NotShown,
}

impl Dryness {
    /// From when on it was shown dry, if it was.
    pub const fn first(&self) -> Option<Instant> {
        match self {
            Self::ByActivity { first, .. } | Self::ByMoisture { first, .. } => Some(*first),
            Self::TooMoist { .. } | Self::NotShown => None,
        }
    }
}

/// The wet times of a lot, the dry ones that ended in wetting, and whether it is dry at the end.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Course {
    /// In order.
    pub wet: Vec<Wet>,
    /// Dry times, in order.
    pub dry: Vec<Dryness>,
    /// Whether the last of them goes on.
    pub ends_dry: bool,
    /// Whether it was dried last, shown dry or not, and not wetted.
    pub lies_dried: bool,
}

impl Course {
    /// Follows a lot from its mash on.
    pub fn of(history: &History, rules: &RuleSet, mash_out: Instant) -> Self {
        let mut changes: Vec<(Moment, bool)> = history
            .events
            .iter()
            .enumerate()
            .filter_map(|(index, event)| match event.what {
                What::Dried => Some(((event.at, index), true)),
                What::Wetted => Some(((event.at, index), false)),
                _ => None,
            })
            .collect();
        changes.sort_by_key(|(moment, _)| *moment);
        let mut course = Self::default();
        let mut since = if history.arrived_dried {
            Some((Instant::MIN_UTC, 0))
        } else {
            course.begin(mash_out, false);
            None
        };
        for (moment, dried) in changes {
            match (since, dried) {
                (None, true) => since = Some(moment),
                (Some(dry), false) => {
                    course.end_dry(history, rules, (dry, Some(moment)), mash_out);
                    // Grain that was never dry goes on with the life it had.
                    if !matches!(course.wet.last(), Some(Wet { to: None, .. })) {
                        course.begin(moment.0, true);
                    }
                    since = None;
                }
                _ => {}
            }
        }
        course.lies_dried = since.is_some();
        if let Some(dry) = since {
            course.end_dry(history, rules, (dry, None), mash_out);
            course.ends_dry = !matches!(course.wet.last(), Some(Wet { to: None, .. }));
        }
        course
    }

    fn begin(&mut self, from: Instant, wetted: bool) {
        self.wet.push(Wet {
            from,
            wetted,
            to: None,
            dried: None,
        });
    }

    /// Judges a dry time and ends the wet one before it, unless the grain was not shown dry.
    fn end_dry(
        &mut self,
        history: &History,
        rules: &RuleSet,
        (since, until): (Moment, Option<Moment>),
        mash_out: Instant,
    ) {
        let found = dryness(history, rules, since, until);
        if matches!(found, Dryness::TooMoist { .. }) && self.wet.is_empty() {
            self.begin(mash_out, false);
        }
        // Until somebody shows it dry it goes on with the life it had.
        if let (Some(wet), Some(first)) = (self.wet.last_mut(), found.first()) {
            wet.to = Some(first);
            wet.dried = Some(since.0);
        }
        self.dry.push(found);
    }
}

/// What the measurements of a dry time come to. The latest counts; what was found too moist after a
/// measurement takes its word away.
fn dryness(history: &History, rules: &RuleSet, since: Moment, until: Option<Moment>) -> Dryness {
    let within = |moment: Moment| moment >= since && until.is_none_or(|until| moment < until);
    let measured = |pick: fn(&What) -> Option<f64>| {
        let mut found: Vec<(Instant, f64)> = history
            .events
            .iter()
            .enumerate()
            .filter(|(index, event)| within((event.at, *index)))
            .filter_map(|(_, event)| pick(&event.what).map(|value| (event.at, value)))
            .collect();
        found.sort_by_key(|(at, _)| *at);
        found
    };
    let activities = measured(|what| match what {
        What::Activity(activity) => Some(activity.get()),
        _ => None,
    });
    let moistures = measured(|what| match what {
        What::Moisture(moisture) => Some(moisture.get()),
        _ => None,
    });
    let dry_activity = |value: f64| value < rules.dried.activity_below.get();
    let dry_moisture = |value: f64| value <= rules.dried.moisture_at_most.get();
    let too_moist = activities
        .iter()
        .filter(|(_, value)| !dry_activity(*value))
        .chain(moistures.iter().filter(|(_, value)| !dry_moisture(*value)))
        .map(|(at, _)| *at)
        .max();
    let first = |shown: &[(Instant, f64)], is_dry: &dyn Fn(f64) -> bool| {
        shown
            .iter()
            .filter(|(_, value)| is_dry(*value))
            .map(|(at, _)| *at)
            .find(|at| too_moist.is_none_or(|moist| *at >= moist))
    };
    let first = [
        first(&activities, &dry_activity),
        first(&moistures, &dry_moisture),
    ]
    .into_iter()
    .flatten()
    .min();
    let moisture = moistures.last();
    // Found wet later, an old water activity says nothing any more.
    let still_dry =
        |at: Instant| moisture.is_none_or(|(tested, value)| *tested < at || dry_moisture(*value));
    match (activities.last().filter(|(at, _)| still_dry(*at)), moisture) {
        (Some((at, activity)), _) if dry_activity(*activity) => Dryness::ByActivity {
            first: first.unwrap_or(*at),
            activity: *activity,
        },
        (Some((_, activity)), _) => Dryness::TooMoist {
            activity: *activity,
        },
        (None, Some((at, moisture))) if dry_moisture(*moisture) => Dryness::ByMoisture {
            first: first.unwrap_or(*at),
            moisture: *moisture,
        },
        (None, _) => Dryness::NotShown,
    }
}
