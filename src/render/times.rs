//! Moments in local words.

use crate::quantity::{Instant, Zone};
use chrono::{Datelike, Duration, NaiveDate, Timelike};

/// After a date that holds to its end.
pub const END_OF_DAY: &str = ", end of day";
/// After an hour that no later day will do for.
pub const AT_THE_LATEST: &str = " at the latest";

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// `Sun 29 Nov, end of day`, `Fri 20 Nov 14:30`; with the year where it is not that of `now`.
pub fn moment(at: Instant, now: Instant, zone: &Zone) -> String {
    let local = zone.local(at);
    let date = date(local.date(), zone.date(now));
    // Clocks change by whole minutes, so no other second ends a day; where it does is asked for few moments only.
    if local.second() == 59 && at == zone.end_of_day(local.date()) - Duration::seconds(1) {
        format!("{date}{END_OF_DAY}")
    } else {
        // Seconds are left out downwards, so that no shown time is later than the true one.
        format!("{date} {:02}:{:02}", local.hour(), local.minute())
    }
}

/// `Sun 29 Nov`, with the year where it is not that of `today`.
pub fn date(date: NaiveDate, today: NaiveDate) -> String {
    // `%a %-d %b %Y` without a format to be read each time.
    let month = MONTHS[date.month0() as usize];
    let words = format!("{} {} {month}", date.weekday(), date.day());
    match date.year() {
        year if year == today.year() => words,
        year => format!("{words} {year:04}"),
    }
}

/// `Fri 20 Nov 2026 07:30`, for headings.
pub fn heading(at: Instant, zone: &Zone) -> String {
    format!(
        "{} ({})",
        zone.local(at).format("%a %-d %b %Y %H:%M"),
        zone.name()
    )
}

/// `1 h 30 min`, `45 min`.
pub fn minutes(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// Minutes of a time, begun ones counted whole: so time that is bad is never shown shorter than it was.
pub fn begun_minutes(time: Duration) -> i64 {
    (time.num_seconds() + 59).div_euclid(60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_day_reads_as_a_calendar_names_it() {
        let today = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
        for day in NaiveDate::from_ymd_opt(2025, 12, 1)
            .unwrap()
            .iter_days()
            .take(400)
        {
            let year = if day.year() == 2026 { "" } else { " %Y" };
            let named = day.format(&format!("%a %-d %b{year}")).to_string();
            assert_eq!(date(day, today), named);
        }
    }

    #[test]
    fn the_last_second_of_a_day_is_its_end() {
        let zone = Zone::named("Europe/Dublin").unwrap();
        let now: Instant = "2026-11-20T09:00:00Z".parse().unwrap();
        let at = |text: &str| moment(text.parse().unwrap(), now, &zone);
        assert_eq!(at("2026-11-29T23:59:59Z"), "Sun 29 Nov, end of day");
        assert_eq!(at("2026-10-25T23:59:59Z"), "Sun 25 Oct, end of day");
        assert_eq!(at("2026-11-20T14:29:59Z"), "Fri 20 Nov 14:29");
        assert_eq!(at("2027-01-04T23:59:59Z"), "Mon 4 Jan 2027, end of day");
    }
}
