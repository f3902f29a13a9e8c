//! Grain that was out of limit at the last reading of its place, and what thermometers say of the time since.

use super::Shown;
use crate::keeping::{History, RuleSet, What};
use crate::quantity::{Instant, Temperature};
use chrono::Duration;

impl History {
    /// Times since when it is not known how warm the grain was: it was out of limit at the last reading of its
    /// place, and was still there when two readings may lie no further apart. Gives that reading and its moment,
    /// and from when on nothing is known.
    ///
    /// A thermometer in the grain within that time tells. One later does not, nor does what the place is stated to be.
    /// In a freezer that was not frozen it is so for all that lies there when that time is over, whenever it came. Where its
    /// place was measured again later, the gap is unknown by itself, and the readings after it count as they are.
    pub(in crate::keeping) fn unsettled(&self, rules: &RuleSet) -> Vec<Unsettled> {
        let stays = self.stays();
        let stated_at = |at: Instant| {
            let stay = stays.iter().rev().find(|stay| stay.from <= at);
            stay.map(|stay| stay.stated)
        };
        let (cold, frozen) = (rules.cold.limit, rules.frozen.limit);
        let gaps = self.events.iter().filter_map(|event| match event.what {
            What::Air {
                shown: Shown::Gap(_),
                ..
            } => Some(event.at),
            _ => None,
        });
        let last_readings = self.events.iter().filter_map(|event| match event.what {
            What::Air {
                until,
                shown:
                    Shown::Last {
                        at,
                        shown,
                        until: from,
                    },
                leaves,
                ..
            } => Some((event.at, until, leaves, (at, from, shown))),
            _ => None,
        });
        last_readings
            .clone()
            .filter_map(|(_, until, leaves, (at, from, shown))| {
                if until != from || self.is_read_in(at, from) {
                    return None;
                }
                // A stay may come in parts, each with the depth of the grain then, and so may what files showed last.
                let lasted: Duration = last_readings
                    .clone()
                    .filter(|(_, ends, _, (other, ..))| *other == at && *ends <= from)
                    .map(|(begins, ends, ..)| ends - begins)
                    .sum();
                let is_stated_cold = stated_at(at).is_some_and(|stated| cold.at_or_below(stated));
                let is_warm = lasted == from - at && !cold.at_or_below(shown) && is_stated_cold;
                let is_freezer = stated_at(from - Duration::seconds(1))
                    .is_some_and(|stated| frozen.at_or_below(stated));
                let is_thawed = is_freezer && !frozen.at_or_below(shown);
                (is_warm || is_thawed).then(|| Unsettled {
                    at,
                    shown,
                    from,
                    to: gaps.clone().filter(|gap| *gap >= from).min(),
                    leaves,
                    is_warm,
                    // No colder than it was, and no warmer than cold: what is warm is unknown in any case.
                    thawed_at: is_thawed.then(|| shown.colder(cold.in_celsius())),
                })
            })
            .collect()
    }

    /// Whether a logger measured its place at any time between two moments.
    pub fn is_logged(&self, from: Instant, to: Instant) -> bool {
        self.events.iter().any(|event| {
            matches!(event.what, What::Air { until, shown: Shown::Measured { .. }, .. }
                if event.at < to && until > from)
        })
    }

    /// Whether a thermometer stood in the grain after a moment and up to another.
    fn is_read_in(&self, after: Instant, to: Instant) -> bool {
        self.events
            .iter()
            .any(|event| matches!(event.what, What::Read(_)) && event.at > after && event.at <= to)
    }
}

/// Grain that was out of limit when its place was measured last, and of which nothing is known since.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::keeping) struct Unsettled {
    /// The last reading.
    pub at: Instant,
    /// What it showed of the grain.
    pub shown: Temperature,
    /// From when on nothing is known.
    pub from: Instant,
    /// When a gap in the readings begins after that.
    pub to: Option<Instant>,
    /// When the grain left the place, if it did.
    pub leaves: Option<Instant>,
    /// Whether it was above the cold limit in a place that is stated to be cold.
    pub is_warm: bool,
    /// In a freezer that was not frozen: how cold grain counts there, so that its days run.
    pub thawed_at: Option<Temperature>,
}
