//! Where a moment and a temperature stand in the picture, and which of them are named along its sides.

use crate::quantity::{Instant, Zone};
use crate::render::times;
use chrono::{Datelike, Days, Duration, NaiveDate};

/// A straight scale from a range of values to a range of places.
#[derive(Clone, Copy)]
pub struct Scale {
    pub from: f64,
    pub to: f64,
    pub begins: f64,
    pub ends: f64,
}

impl Scale {
    /// The place of a value, which may lie outside.
    pub fn place(self, value: f64) -> f64 {
        self.begins + (value - self.from) / (self.to - self.from) * (self.ends - self.begins)
    }

    /// The place of a value, or the nearest end.
    pub fn inside(self, value: f64) -> f64 {
        let (least, most) = (self.begins.min(self.ends), self.begins.max(self.ends));
        self.place(value).clamp(least, most)
    }
}

/// Round values in a range, about as many as asked for.
pub fn round_values(from: f64, to: f64, about: f64) -> Vec<f64> {
    let rough = (to - from) / about;
    let power = libm::pow(10.0, libm::log10(rough).floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|part| part * power)
        .find(|step| *step >= rough)
        .unwrap_or(10.0 * power);
    let first = (from / step).ceil() as i64;
    let last = (to / step).floor() as i64;
    (first..=last).map(|number| number as f64 * step).collect()
}

/// Moments to name along a time: midnights, or full hours of a short time; with their words.
pub fn moments(from: Instant, to: Instant, zone: &Zone) -> Vec<(Instant, String)> {
    const MOST: i64 = 9;
    let hours = (to - from).num_hours();
    let (first, last) = (zone.date(from), zone.date(to));
    let dates = |step: u64| {
        std::iter::successors(Some(first), move |date| {
            date.checked_add_days(Days::new(step))
        })
        .take_while(move |date| *date <= last)
    };
    let lies_in = |at: &Instant| from <= *at && *at <= to;
    if hours <= 24 * MOST / 3 {
        let step = [1, 2, 3, 6, 12]
            .into_iter()
            .find(|step| hours / step <= MOST);
        let step = step.unwrap_or(12);
        return dates(1)
            .flat_map(|date| {
                // A day in which the clock changes has 23 or 25 hours.
                let (midnight, end) = (zone.start_of_day(date), zone.end_of_day(date));
                (0..25)
                    .map(move |part| midnight + Duration::hours(part * step))
                    .take_while(move |at| *at < end)
            })
            .filter(lies_in)
            .map(|at| (at, zone.local(at).format("%a %H:%M").to_string()))
            .collect();
    }
    let days = hours / 24;
    let named = |date: NaiveDate| (zone.start_of_day(date), times::date(date, last));
    if days <= 70 {
        let step = [1, 2, 7, 14].into_iter().find(|step| days / step <= MOST);
        return dates(step.unwrap_or(14).unsigned_abs())
            .map(named)
            .filter(|(at, _)| lies_in(at))
            .collect();
    }
    let months = days / 30;
    let step = [1, 2, 3, 6, 12]
        .into_iter()
        .find(|step| months / step <= MOST);
    let step = step.unwrap_or(12).unsigned_abs() as u32;
    dates(1)
        .filter(|date| date.day() == 1 && date.month0() % step == 0)
        .map(|date| (zone.start_of_day(date), date.format("%b %Y").to_string()))
        .filter(|(at, _)| lies_in(at))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sides_are_named_with_round_values() {
        assert_eq!(round_values(2.3, 9.8, 5.0), [4.0, 6.0, 8.0]);
        assert_eq!(
            round_values(-21.0, 4.0, 5.0),
            [-20.0, -15.0, -10.0, -5.0, 0.0]
        );
        let zone = Zone::named("Europe/Dublin").unwrap();
        let at = |text: &str| text.parse::<Instant>().unwrap();
        let words = |from, to| -> Vec<String> {
            let named = moments(at(from), at(to), &zone);
            assert!(named.len() <= 10, "{named:?}");
            named.into_iter().map(|(_, words)| words).collect()
        };
        assert_eq!(
            words("2026-10-24T22:00:00Z", "2026-10-25T04:00:00Z"),
            [
                "Sat 23:00",
                "Sun 00:00",
                "Sun 01:00",
                "Sun 01:00",
                "Sun 02:00",
                "Sun 03:00",
                "Sun 04:00"
            ],
            "the hour that comes twice stands twice"
        );
        assert_eq!(
            words("2026-11-01T12:00:00Z", "2026-11-16T12:00:00Z")
                .first()
                .unwrap(),
            "Tue 3 Nov"
        );
        assert_eq!(
            words("2025-01-20T12:00:00Z", "2026-12-01T12:00:00Z")
                .first()
                .unwrap(),
            "Apr 2025"
        );
    }
}
