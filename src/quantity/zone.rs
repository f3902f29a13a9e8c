//! Time zones: the one file that knows where midnight is.
//!
//! Named zones come from the bundled IANA data of the `jiff` crate, so a book read on another machine
//! has the same days. Times that a clock change skips or doubles are refused, never guessed.

use super::{Instant, Problem};
use chrono::{DateTime, Datelike, NaiveDate, NaiveDateTime, NaiveTime, Timelike};
use jiff::civil;
use jiff::tz::{AmbiguousOffset, TimeZone, TimeZoneDatabase};

/// A time zone with its IANA name.
#[derive(Debug, Clone)]
pub struct Zone {
    name: String,
    rules: TimeZone,
}

/// What the clocks of a zone show from one moment on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClockSetting {
    /// Since when; nothing where the zone never had another.
    pub since: Option<Instant>,
    /// Seconds ahead of UTC before.
    pub seconds_before: i32,
    /// Seconds ahead of UTC from then on.
    pub seconds: i32,
    /// The short name, such as `IST`.
    pub abbreviation: String,
    /// Whether it is daylight saving time.
    pub is_daylight_saving: bool,
}

impl Zone {
    /// Coordinated universal time.
    pub fn utc() -> Self {
        Self {
            name: "UTC".to_owned(),
            rules: TimeZone::UTC,
        }
    }

    /// Looks a zone up by its IANA name, such as `Europe/Dublin`.
    pub fn named(name: &str) -> Result<Self, Problem> {
        if name.eq_ignore_ascii_case("utc") {
            return Ok(Self::utc());
        }
        TimeZoneDatabase::bundled()
            .get(name)
            .map(|rules| Self {
                name: rules.iana_name().unwrap_or(name).to_owned(),
                rules,
            })
            .map_err(|_| {
                Problem::new(format!("time zone `{name}` is not known"))
                    .hint("allowed are IANA names such as Europe/Dublin, America/Denver or UTC")
            })
    }

    /// The IANA name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Local date and time of a moment.
    pub fn local(&self, at: Instant) -> NaiveDateTime {
        let offset = self.rules.to_offset(timestamp(at));
        at.naive_utc() + chrono::Duration::seconds(i64::from(offset.seconds()))
    }

    /// Local date of a moment.
    pub fn date(&self, at: Instant) -> NaiveDate {
        self.local(at).date()
    }

    /// The first moment of a local day: midnight, or the first moment after a gap that swallows it.
    pub fn start_of_day(&self, date: NaiveDate) -> Instant {
        let midnight = civil_from(date.and_time(NaiveTime::MIN));
        let moment = match self.rules.to_ambiguous_timestamp(midnight).offset() {
            AmbiguousOffset::Unambiguous { offset } => offset.to_timestamp(midnight),
            // Midnight does not exist: the day begins where the clock lands after the jump.
            AmbiguousOffset::Gap { before, .. } => offset_jump(&self.rules, midnight, before),
            // Midnight comes twice: the day begins at the first of them.
            AmbiguousOffset::Fold { before, .. } => before.to_timestamp(midnight),
        };
        moment.map_or_else(|_| DateTime::UNIX_EPOCH, from_timestamp)
    }

    /// The first moment after a local day.
    pub fn end_of_day(&self, date: NaiveDate) -> Instant {
        self.start_of_day(date.succ_opt().unwrap_or(date))
    }

    /// The moment of a local date and time. Refuses times that a clock change skips or doubles.
    pub fn resolve(&self, local: NaiveDateTime) -> Result<Instant, Problem> {
        let shown = local.format("%Y-%m-%d %H:%M");
        let wanted = civil_from(local);
        let write_offset = |first: jiff::tz::Offset, second: jiff::tz::Offset| {
            format!(
                "write the offset too: {local}{first} or {local}{second}",
                local = local.format("%Y-%m-%dT%H:%M:%S"),
                first = offset_text(first.seconds()),
                second = offset_text(second.seconds())
            )
        };
        match self.rules.to_ambiguous_timestamp(wanted).offset() {
            AmbiguousOffset::Unambiguous { offset } => offset
                .to_timestamp(wanted)
                .map(from_timestamp)
                .map_err(|_| Problem::new(format!("time `{shown}` is out of range"))),
            AmbiguousOffset::Gap { before, after } => Err(Problem::new(format!(
                "time `{shown}` does not exist in {}: the clock change skips it",
                self.name
            ))
            .hint(write_offset(before, after))),
            AmbiguousOffset::Fold { before, after } => Err(Problem::new(format!(
                "time `{shown}` comes twice in {}: the clock change doubles it",
                self.name
            ))
            .hint(write_offset(before, after))),
        }
    }

    /// The two moments of a local date and time that a clock change doubles; nothing for any other.
    pub fn doubled(&self, local: NaiveDateTime) -> Option<(Instant, Instant)> {
        let wanted = civil_from(local);
        match self.rules.to_ambiguous_timestamp(wanted).offset() {
            AmbiguousOffset::Fold { before, after } => Some((
                from_timestamp(before.to_timestamp(wanted).ok()?),
                from_timestamp(after.to_timestamp(wanted).ok()?),
            )),
            AmbiguousOffset::Unambiguous { .. } | AmbiguousOffset::Gap { .. } => None,
        }
    }

    /// What the clocks show in a period: the setting in force when it begins, then each change up to its end.
    pub fn clock_settings(&self, from: Instant, until: Instant) -> Vec<ClockSetting> {
        // A change at the very second at which the period begins is in force then.
        let just_after = timestamp(from + chrono::Duration::seconds(1));
        let in_force = self.rules.to_offset_info(just_after);
        let mut settings = vec![ClockSetting {
            since: None,
            seconds_before: in_force.offset().seconds(),
            seconds: in_force.offset().seconds(),
            abbreviation: in_force.abbreviation().to_owned(),
            is_daylight_saving: in_force.dst().is_dst(),
        }];
        if let Some(change) = self.rules.preceding(just_after).next() {
            settings[0].since = Some(from_timestamp(change.timestamp()));
            settings[0].seconds_before = self.seconds_before(change.timestamp());
        }
        let end = timestamp(until);
        settings.extend(
            self.rules
                .following(timestamp(from))
                .take_while(|change| change.timestamp() <= end)
                .map(|change| ClockSetting {
                    since: Some(from_timestamp(change.timestamp())),
                    seconds_before: self.seconds_before(change.timestamp()),
                    seconds: change.offset().seconds(),
                    abbreviation: change.abbreviation().to_owned(),
                    is_daylight_saving: change.dst().is_dst(),
                }),
        );
        settings
    }

    fn seconds_before(&self, change: jiff::Timestamp) -> i32 {
        let before = from_timestamp(change) - chrono::Duration::seconds(1);
        self.rules.to_offset(timestamp(before)).seconds()
    }

    /// `Fri 20 Nov 2026 07:30`, for a person; with seconds where there are any, and with the offset where a clock
    /// change doubles that time.
    pub fn in_words(&self, at: Instant) -> String {
        let local = self.local(at);
        let mut words = local.format("%a %-d %b %Y %H:%M").to_string();
        if local.second() != 0 {
            words.push_str(&local.format(":%S").to_string());
        }
        words.push_str(&self.which_of_two(at));
        words
    }

    /// ` +01:00` where a clock change doubles the local time of a moment, since that alone tells which it is.
    pub fn which_of_two(&self, at: Instant) -> String {
        match self.doubled(self.local(at)) {
            Some(_) => format!(" {}", self.offset(at)),
            None => String::new(),
        }
    }

    /// RFC 3339 with the local offset.
    pub fn rfc3339(&self, at: Instant) -> String {
        // `Debug` of a time is `%Y-%m-%dT%H:%M:%S` without a format to be read each time.
        format!("{:?}{}", self.local(at), self.offset(at))
    }

    /// How far its clocks are ahead at a moment: `+01:00`.
    fn offset(&self, at: Instant) -> String {
        offset_text(self.rules.to_offset(timestamp(at)).seconds())
    }
}

fn offset_text(seconds: i32) -> String {
    let sign = if seconds < 0 { '-' } else { '+' };
    let minutes = seconds.abs() / 60;
    format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

fn timestamp(at: Instant) -> jiff::Timestamp {
    // Entries and typed times are bounded to years 1990 to 2199, far inside what jiff holds.
    jiff::Timestamp::from_second(at.timestamp()).unwrap_or(jiff::Timestamp::UNIX_EPOCH)
}

fn from_timestamp(moment: jiff::Timestamp) -> Instant {
    DateTime::from_timestamp(moment.as_second(), 0).unwrap_or(DateTime::UNIX_EPOCH)
}

fn civil_from(local: NaiveDateTime) -> civil::DateTime {
    civil::DateTime::new(
        local.year() as i16,
        local.month() as i8,
        local.day() as i8,
        local.hour() as i8,
        local.minute() as i8,
        local.second() as i8,
        0,
    )
    .unwrap_or(civil::DateTime::ZERO)
}

/// The moment at which the clock jumps over `missing`.
fn offset_jump(
    rules: &TimeZone,
    missing: civil::DateTime,
    before: jiff::tz::Offset,
) -> Result<jiff::Timestamp, jiff::Error> {
    let inside = before.to_timestamp(missing)?;
    // `inside` read with the offset from before lies at or after the jump; the jump is the last change up to it.
    let jump = rules
        .preceding(inside + jiff::Span::new().nanoseconds(1))
        .next();
    Ok(jump.map_or(inside, |change| change.timestamp()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn local(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
    }

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// European Union summer time, Directive 2000/84/EC: changes at 01:00 UTC on the last Sundays of
    /// March and October.
    #[test]
    fn skipped_and_doubled_times_are_refused() {
        let zone = Zone::named("Europe/Dublin").unwrap();
        let skipped = zone.resolve(local("2026-03-29 01:30")).unwrap_err();
        assert!(skipped.to_string().contains("skips"), "{skipped}");
        let doubled = zone.resolve(local("2026-10-25 01:30")).unwrap_err();
        assert!(doubled.to_string().contains("doubles"), "{doubled}");
        assert_eq!(
            doubled.hints(),
            ["write the offset too: 2026-10-25T01:30:00+01:00 or 2026-10-25T01:30:00+00:00"]
        );
    }

    #[test]
    fn days_of_a_clock_change_are_23_and_25_hours_long() {
        let zone = Zone::named("Europe/Dublin").unwrap();
        let length = |text| (zone.end_of_day(day(text)) - zone.start_of_day(day(text))).num_hours();
        assert_eq!(length("2026-03-29"), 23);
        assert_eq!(length("2026-10-25"), 25);
        assert_eq!(length("2026-10-26"), 24);
    }

    /// Chile moves its clocks at midnight, so the day of the change has no 00:00 (IANA time zone database).
    #[test]
    fn a_day_without_midnight_begins_after_the_jump() {
        let zone = Zone::named("America/Santiago").unwrap();
        let start = zone.start_of_day(day("2026-09-06"));
        assert_eq!(zone.local(start), local("2026-09-06 01:00"));
        assert_eq!(
            zone.date(start - chrono::Duration::seconds(1)),
            day("2026-09-05")
        );
    }

    /// Dates of the changes: IANA time zone database.
    #[test]
    fn clocks_of_a_period_are_listed_with_the_setting_it_begins_with() {
        let settings = |name: &str, from: &str, until: &str| -> Vec<String> {
            Zone::named(name)
                .unwrap()
                .clock_settings(from.parse().unwrap(), until.parse().unwrap())
                .iter()
                .map(|one| {
                    format!(
                        "{} {} to {} {} {}",
                        one.since
                            .map_or("always".to_owned(), |since| since.to_string()),
                        one.seconds_before,
                        one.seconds,
                        one.abbreviation,
                        one.is_daylight_saving
                    )
                })
                .collect()
        };
        assert_eq!(
            settings(
                "Europe/Dublin",
                "2026-10-24T12:00:00Z",
                "2027-03-28T01:00:00Z"
            ),
            [
                "2026-03-29 01:00:00 UTC 0 to 3600 IST true",
                "2026-10-25 01:00:00 UTC 3600 to 0 GMT false",
                "2027-03-28 01:00:00 UTC 0 to 3600 IST true",
            ]
        );
        // At the second of a change the new setting is in force, and it is listed once.
        assert_eq!(
            settings(
                "America/Denver",
                "2026-11-01T08:00:00Z",
                "2026-11-02T00:00:00Z"
            ),
            ["2026-11-01 08:00:00 UTC -21600 to -25200 MST false"]
        );
        assert_eq!(
            settings(
                "Asia/Kolkata",
                "2026-10-24T12:00:00Z",
                "2026-10-26T00:00:00Z"
            ),
            ["1945-10-14 17:30:00 UTC 23400 to 19800 IST false"]
        );
        assert_eq!(
            settings("UTC", "2026-10-24T12:00:00Z", "2026-10-26T00:00:00Z"),
            ["always 0 to 0 UTC false"]
        );
    }

    #[test]
    fn moments_are_written_with_their_offset() {
        let zone = Zone::named("America/Denver").unwrap();
        let at = zone.resolve(local("2026-11-20 07:30")).unwrap();
        assert_eq!(zone.rfc3339(at), "2026-11-20T07:30:00-07:00");
        assert!(Zone::named("Middle/Earth").is_err());
    }

    #[test]
    fn a_person_reads_seconds_and_offsets_only_where_they_tell_something() {
        let zone = Zone::named("Europe/Dublin").unwrap();
        let words = |at: &str| zone.in_words(at.parse().unwrap());
        assert_eq!(words("2026-11-20T07:30:00Z"), "Fri 20 Nov 2026 07:30");
        assert_eq!(words("2026-11-20T07:30:05Z"), "Fri 20 Nov 2026 07:30:05");
        assert_eq!(
            words("2026-10-25T00:30:00Z"),
            "Sun 25 Oct 2026 01:30 +01:00"
        );
        assert_eq!(
            words("2026-10-25T01:30:00Z"),
            "Sun 25 Oct 2026 01:30 +00:00"
        );
    }
}
