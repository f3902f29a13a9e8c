//! When somebody is there to do something with grain.

use super::problem::{Capacity, Situation};
use crate::quantity::{Instant, Zone};
use chrono::{Duration, NaiveDate, Timelike};

/// The hour before which nobody takes grain out of a freezer: our choice.
const MORNING: u32 = 5;

/// When grain comes out of the freezer: the lead time before it is weighed out, or the last evening before that, where
/// nobody is there: at night and on days off.
pub fn taken_out_at(
    zone: &Zone,
    capacity: &Capacity,
    lead: Duration,
    grain_at: Instant,
) -> Option<Instant> {
    let at = grain_at - lead;
    let (mut date, time) = (zone.date(at), zone.local(at).time());
    let is_night = time.hour() < MORNING;
    let is_awake = !is_night && time <= capacity.evening;
    if is_awake && !capacity.hands_off.contains(&date) {
        return Some(at);
    }
    if is_night {
        date = date.pred_opt()?;
    }
    while capacity.hands_off.contains(&date) {
        date = date.pred_opt()?;
    }
    Some(evening(zone, capacity, date))
}

/// The same where it is still to come out: in the night after the evening of a working day now counts as that evening, as long as
/// the grain is thawed when it is weighed out and that night does not belong to a day off.
pub(super) fn still_taken_out_at(
    (zone, capacity): (&Zone, &Capacity),
    lead: Duration,
    grain_at: Instant,
    now: Instant,
) -> Option<Instant> {
    let at = taken_out_at(zone, capacity, lead, grain_at)?;
    let is_night_after = zone.date(now - Duration::hours(MORNING.into())) == zone.date(at);
    let is_there = !capacity.hands_off.contains(&zone.date(now));
    let at = if is_night_after && is_there {
        at.max(now)
    } else {
        at
    };
    (now <= at && at + lead <= grain_at).then_some(at)
}

/// The first moment from `at` on at which somebody is there to take grain out of a freezer.
pub fn first_taken_out(zone: &Zone, capacity: &Capacity, at: Instant) -> Option<Instant> {
    let (mut date, time) = (zone.date(at), zone.local(at).time());
    let is_awake = time.hour() >= MORNING && time <= capacity.evening;
    if is_awake && !capacity.hands_off.contains(&date) {
        return Some(at);
    }
    if time > capacity.evening {
        date = date.succ_opt()?;
    }
    while capacity.hands_off.contains(&date) {
        date = date.succ_opt()?;
    }
    zone.resolve(date.and_hms_opt(MORNING, 0, 0)?).ok()
}

/// Moments at which somebody could still do something about a lot: each evening on which somebody works,
/// up to its last good moment and the plan's end, and that last moment itself.
pub(super) fn evenings(situation: &Situation, until: Option<Instant>) -> Vec<Instant> {
    let last = until.map_or(situation.end, |until| until.min(situation.end));
    let mut found = Vec::new();
    let mut date = situation.zone.date(situation.now);
    while date <= situation.zone.date(last) {
        if !situation.capacity.hands_off.contains(&date) {
            let at = evening(&situation.zone, &situation.capacity, date).min(last);
            found.push(at.max(situation.now));
        }
        match date.succ_opt() {
            Some(next) => date = next,
            None => break,
        }
    }
    found.retain(|at| *at <= last);
    found
}

/// The end of the working day of a date.
pub(super) fn evening(zone: &Zone, capacity: &Capacity, date: NaiveDate) -> Instant {
    // Where a clock change takes that very hour away, the end of the day is as good.
    zone.resolve(date.and_time(capacity.evening))
        .unwrap_or_else(|_| zone.end_of_day(date) - Duration::seconds(1))
}
