//! Moments in local words.

use crate::quantity::{Instant, Zone};
use chrono::{Datelike, Duration, NaiveDate};

/// After a date that holds to its end.
pub const END_OF_DAY: &str = ", end of day";
/// After an hour that no later day will do for.
pub const AT_THE_LATEST: &str = " at the latest";

/// `Sun 29 Nov, end of day`, `Fri 20 Nov 14:30`; with the year where it is not that of `now`.
pub fn moment(at: Instant, now: Instant, zone: &Zone) -> String {
    let local = zone.local(at);
    let date = date(local.date(), zone.date(now));
    if at == zone.end_of_day(local.date()) - Duration::seconds(1) {
        format!("{date}{END_OF_DAY}")
    } else {
        // Seconds are left out downwards, so that no shown time is later than the true one.
        format!("{date} {}", local.format("%H:%M"))
    }
}

/// `Sun 29 Nov`, with the year where it is not that of `today`.
pub fn date(date: NaiveDate, today: NaiveDate) -> String {
    if date.year() == today.year() {
        date.format("%a %-d %b").to_string()
    } else {
        date.format("%a %-d %b %Y").to_string()
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
