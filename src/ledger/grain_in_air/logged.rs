//! What a logger whose probe stands in the grain read there, where that speaks against its cooling.

use super::super::PlaceRecord;
use super::super::readings::Range;
use crate::keeping::{Event, Probe, RuleSet, What};
use crate::quantity::{Instant, Temperature};

/// What a logger in the grain read above the cold limit during a stay, each time with the reading after that. Where its
/// probe stood when it read decides: the place may have been stated anew meanwhile.
pub(super) fn warm(
    air: &Range,
    place: &PlaceRecord,
    (from, leaves): (Instant, Option<Instant>),
    rules: &RuleSet,
) -> Vec<Event> {
    let came = air.readings.partition_point(|(at, _)| *at < from);
    let left = air
        .readings
        .partition_point(|(at, _)| leaves.is_none_or(|leaves| *at < leaves));
    let mut was_warm = false;
    let mut events = Vec::new();
    let during = &air.readings[came..left.max(came)];
    for moment in during.chunk_by(|one, other| one.0 == other.0) {
        let at = moment[0].0;
        if place.setting_at(at).probe != Some(Probe::Grain) {
            continue;
        }
        let temperatures = moment.iter().map(|(_, temperature)| *temperature);
        let Some(warmest) = temperatures.reduce(Temperature::warmer) else {
            continue;
        };
        let is_warm = !rules.cold.limit.at_or_below(warmest);
        if is_warm || was_warm {
            events.push(Event {
                at,
                what: What::Logged(warmest),
            });
        }
        was_warm = is_warm;
    }
    events
}
