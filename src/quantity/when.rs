//! Times as people say them: `2026-11-20`, `today 07:30`, `fri 06:00`, `now`.

use super::clock_change::RowTime;
use super::{Instant, Problem, Zone, decimal};
use chrono::{
    DateTime, Datelike, Days, Duration, NaiveDate, NaiveDateTime, NaiveTime, Timelike, Utc, Weekday,
};

const EXAMPLE: &str = "2026-11-20 07:30, today 07:30, yesterday 16:00, fri 06:00 or now";
/// Years a book speaks of; anything else is a typing error.
const YEARS: std::ops::RangeInclusive<i32> = 1990..=2199;

/// Reads a moment in local words.
///
/// A bare date is its first moment. RFC 3339 with an offset is taken as it is; all else is local time
/// of `zone`. Times that a clock change skips or doubles are refused.
pub fn moment(text: &str, now: Instant, zone: &Zone) -> Result<Instant, Problem> {
    match exact_or_local(text, now, zone)? {
        Ok(exact) => Ok(exact),
        Err(local) => zone.resolve(local),
    }
}

/// The same for a row of a file in time order, where a doubled local time is no refusal yet.
pub fn row_time(text: &str, now: Instant, zone: &Zone) -> Result<RowTime, Problem> {
    match exact_or_local(text, now, zone)? {
        Ok(exact) => Ok(RowTime::Once(exact)),
        Err(local) => match zone.doubled(local) {
            Some((first, second)) => Ok(RowTime::Twice { first, second }),
            None => zone.resolve(local).map(RowTime::Once),
        },
    }
}

/// A moment, or a local date and time of the zone.
fn exact_or_local(
    text: &str,
    now: Instant,
    zone: &Zone,
) -> Result<Result<Instant, NaiveDateTime>, Problem> {
    let text = decimal::trim(text);
    if text.eq_ignore_ascii_case("now") {
        return Ok(Ok(now));
    }
    if let Some(exact) = exact(text) {
        return exact.map(Ok);
    }
    let (day_words, clock) = split(text);
    let date = date(day_words, now, zone)?;
    Ok(match clock {
        None => Ok(zone.start_of_day(date)),
        Some(clock) => Err(date.and_time(clock_time(text, clock)?)),
    })
}

/// Reads a moment to come in local words: a weekday or a bare clock time is the next one from `now` on.
///
/// A day without a clock time is refused, since nothing is done at midnight by default. A time that lies
/// before `now` is taken where its date was written out.
pub fn coming(text: &str, now: Instant, zone: &Zone) -> Result<Instant, Problem> {
    let text = decimal::trim(text);
    if let Some(exact) = exact(text) {
        return exact;
    }
    let (day_words, Some(clock)) = split(text) else {
        return Err(Problem::new(format!("time `{text}` has no clock time"))
            .hint("write it like sat 06:30, tomorrow 06:30 or 2026-11-28 06:30"));
    };
    let time = clock_time(text, clock)?;
    let today = zone.date(now);
    let step = if !text.contains(|c: char| c.is_whitespace() || c == 'T') {
        Some((today, 1))
    } else if let Ok(weekday) = day_words.parse::<Weekday>() {
        let ahead = (i64::from(weekday.num_days_from_monday())
            - i64::from(today.weekday().num_days_from_monday()))
        .rem_euclid(7);
        Some((today + Days::new(ahead as u64), 7))
    } else {
        None
    };
    match step {
        None => zone.resolve(date(day_words, now, zone)?.and_time(time)),
        Some((first, days)) if first.and_time(time) < zone.local(now) => {
            zone.resolve((first + Days::new(days)).and_time(time))
        }
        Some((first, _)) => zone.resolve(first.and_time(time)),
    }
}

/// RFC 3339 with an offset is taken as it is; nothing where the text is no such thing.
fn exact(text: &str) -> Option<Result<Instant, Problem>> {
    // To try texts without an offset all the same would cost more than all that follows.
    let end = text.len().checked_sub("+01:00".len())?;
    let has_offset = text.ends_with(['Z', 'z'])
        || text
            .get(end..)
            .is_some_and(|end| end.starts_with(['+', '-']));
    if !has_offset || text.len() < "2026-11-20T07:30Z".len() {
        return None;
    }
    // The standard wants seconds, which loggers leave out.
    let (minute, rest) = text.split_at_checked("2026-11-20T07:30".len())?;
    let exact = if rest.starts_with(':') {
        DateTime::parse_from_rfc3339(text)
    } else {
        DateTime::parse_from_rfc3339(&format!("{minute}:00{rest}"))
    };
    let exact = exact.ok()?.with_timezone(&Utc);
    Some(in_range(exact.year(), text).map(|()| exact.with_nanosecond(0).unwrap_or(exact)))
}

/// The words for the day and those for the clock; a clock time alone is of today.
fn split(text: &str) -> (&str, Option<&str>) {
    match text.rsplit_once([' ', 'T']) {
        Some((day, clock)) if clock.contains(':') => (day.trim_end(), Some(clock)),
        _ if text.contains(':') => ("today", Some(text)),
        _ => (text, None),
    }
}

fn clock_time(text: &str, clock: &str) -> Result<NaiveTime, Problem> {
    NaiveTime::parse_from_str(clock, "%H:%M")
        .or_else(|_| NaiveTime::parse_from_str(clock, "%H:%M:%S"))
        .map_err(|_| refuse(text, "has no clock time from 00:00 to 23:59"))
}

/// The first moment after what is named as an end: a bare day is meant to its end.
pub fn end_of(text: &str, now: Instant, zone: &Zone) -> Result<Instant, Problem> {
    match date(text, now, zone) {
        Ok(date) => Ok(zone.end_of_day(date)),
        Err(_) => moment(text, now, zone).map(|at| at + Duration::seconds(1)),
    }
}

/// Reads a date in local words: `2026-11-20`, `today`, `yesterday`, `tomorrow` or a weekday, which is the
/// latest such day up to and including today.
pub fn date(text: &str, now: Instant, zone: &Zone) -> Result<NaiveDate, Problem> {
    let text = decimal::trim(text);
    if let Some(date) = plain_date(text) {
        return in_range(date.year(), text).map(|()| date);
    }
    let today = zone.date(now);
    match text.to_ascii_lowercase().as_str() {
        "today" => return Ok(today),
        "yesterday" => return Ok(today - Days::new(1)),
        "tomorrow" => return Ok(today + Days::new(1)),
        _ => {}
    }
    if let Ok(weekday) = text.parse::<Weekday>() {
        let named = i64::from(weekday.num_days_from_monday());
        let current = i64::from(today.weekday().num_days_from_monday());
        return Ok(today - Days::new((current - named).rem_euclid(7) as u64));
    }
    let date = NaiveDate::parse_from_str(text, "%Y-%m-%d")
        .map_err(|_| refuse(text, "is not understood"))?;
    in_range(date.year(), text)?;
    Ok(date)
}

/// Reads `2026-11-20` and no other way of writing it. A file of pickups holds several on each line, and
/// the general reading of a date takes ten times as long.
fn plain_date(text: &str) -> Option<NaiveDate> {
    let number = |text: &str| {
        text.bytes().try_fold(0, |sum, digit| {
            digit
                .is_ascii_digit()
                .then(|| sum * 10 + u32::from(digit - b'0'))
        })
    };
    if text.len() != 10
        || !text.is_ascii()
        || text.as_bytes()[4] != b'-'
        || text.as_bytes()[7] != b'-'
    {
        return None;
    }
    NaiveDate::from_ymd_opt(
        number(&text[..4])? as i32,
        number(&text[5..7])?,
        number(&text[8..])?,
    )
}

fn in_range(year: i32, text: &str) -> Result<(), Problem> {
    if YEARS.contains(&year) {
        Ok(())
    } else {
        Err(refuse(text, "lies outside the years 1990 to 2199"))
    }
}

fn refuse(text: &str, why: &str) -> Problem {
    Problem::new(format!("time `{text}` {why}")).hint(format!("write it like {EXAMPLE}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn zone() -> Zone {
        Zone::named("Europe/Dublin").unwrap()
    }

    /// Friday 20 November 2026, 09:15 local.
    fn now() -> Instant {
        "2026-11-20T09:15:00Z".parse().unwrap()
    }

    fn read(text: &str) -> Result<String, String> {
        moment(text, now(), &zone())
            .map(|at| zone().rfc3339(at))
            .map_err(|problem| problem.to_string())
    }

    #[test]
    fn local_words_become_moments() {
        for (text, expected) in [
            ("now", "2026-11-20T09:15:00+00:00"),
            ("2026-11-20", "2026-11-20T00:00:00+00:00"),
            ("2026-11-20 07:30", "2026-11-20T07:30:00+00:00"),
            ("2026-11-20T07:30", "2026-11-20T07:30:00+00:00"),
            ("2026-11-20T07:30:00+02:00", "2026-11-20T05:30:00+00:00"),
            ("2026-11-20T07:30Z", "2026-11-20T07:30:00+00:00"),
            ("2026-11-20T07:30+02:00", "2026-11-20T05:30:00+00:00"),
            ("today 07:30", "2026-11-20T07:30:00+00:00"),
            ("07:30", "2026-11-20T07:30:00+00:00"),
            ("yesterday 16:00", "2026-11-19T16:00:00+00:00"),
            ("fri 06:00", "2026-11-20T06:00:00+00:00"),
            ("Saturday 06:00", "2026-11-14T06:00:00+00:00"),
            ("2026-07-01 12:00", "2026-07-01T12:00:00+01:00"),
        ] {
            assert_eq!(read(text), Ok(expected.to_owned()), "{text}");
        }
    }

    #[test]
    fn times_to_come_are_the_next_such_ones() {
        let read = |text: &str| {
            coming(text, now(), &zone())
                .map(|at| zone().rfc3339(at))
                .map_err(|problem| problem.to_string())
        };
        for (text, expected) in [
            ("fri 06:00", "2026-11-27T06:00:00+00:00"),
            ("fri 09:15", "2026-11-20T09:15:00+00:00"),
            ("Saturday 06:00", "2026-11-21T06:00:00+00:00"),
            ("thu 06:00", "2026-11-26T06:00:00+00:00"),
            ("07:30", "2026-11-21T07:30:00+00:00"),
            ("17:30", "2026-11-20T17:30:00+00:00"),
            ("today 07:30", "2026-11-20T07:30:00+00:00"),
            ("tomorrow 07:30", "2026-11-21T07:30:00+00:00"),
            ("2026-11-19 07:30", "2026-11-19T07:30:00+00:00"),
            ("2026-11-28T07:30:00+02:00", "2026-11-28T05:30:00+00:00"),
        ] {
            assert_eq!(read(text), Ok(expected.to_owned()), "{text}");
        }
        for text in ["", "sat", "2026-11-28", "soon 06:00", "sat 25:00", "now"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn doubtful_times_are_refused() {
        for text in [
            "",
            "soon",
            "20.11.2026",
            "11/20/2026",
            "2026-13-01",
            "25:00",
            "2026-02-30",
            "1066-10-14",
            "fri 6",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_the_parser_panic(text in ".{0,40}") {
            let _ = read(&text);
            let _ = coming(&text, now(), &zone());
        }
    }
}
