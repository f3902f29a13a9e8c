//! A time that is asked about.

use super::{Instant, Problem, Zone, when};
use chrono::{Datelike, Months, NaiveDate};

/// From a moment on, and before another; an end that is not given does not limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Period {
    /// Its first moment.
    pub from: Option<Instant>,
    /// The first moment after it.
    pub before: Option<Instant>,
}

/// A period as a person names it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Named<'a> {
    /// What stands before the names of its parts where they are typed, such as `--`.
    pub mark: &'a str,
    /// A calendar month.
    pub month: Option<&'a str>,
    /// A month of a season, or `now`.
    pub season: Option<&'a str>,
    /// From this moment or day on.
    pub from: Option<&'a str>,
    /// Up to this moment or day, and with it.
    pub to: Option<&'a str>,
}

impl Period {
    /// The period that a person names: a month, else a season, else from and to.
    pub fn named(named: Named<'_>, now: Instant, zone: &Zone) -> Result<Self, Problem> {
        let within = |name: &'static str| {
            move |problem: Problem| problem.within(format!("{}{name}", named.mark))
        };
        if let Some(month) = named.month {
            return Self::month(month, zone).map_err(within("month"));
        }
        if let Some(season) = named.season {
            let day = match season {
                "now" => zone.date(now),
                month => first_of_month(month).map_err(within("season"))?,
            };
            return Ok(Self::season(day, zone));
        }
        let from = named.from.map(|from| when::moment(from, now, zone));
        let to = named.to.map(|to| when::end_of(to, now, zone));
        let period = Self {
            from: from.transpose().map_err(within("from"))?,
            before: to.transpose().map_err(within("to"))?,
        };
        match (period.from, period.before) {
            (Some(from), Some(before)) if from >= before => {
                let mark = named.mark;
                Err(Problem::new(format!("{mark}from lies after {mark}to"))
                    .hint(format!("the earlier one comes after {mark}from")))
            }
            _ => Ok(period),
        }
    }

    /// The same period, if it has begun: of a later one nothing can be told.
    pub fn begun(self, now: Instant, zone: &Zone) -> Result<Self, Problem> {
        let Some(from) = self.from.filter(|from| *from > now) else {
            return Ok(self);
        };
        let moment = |at| zone.local(at).format("%a %-d %b %Y %H:%M");
        Err(Problem::new(format!(
            "the period has not begun: it begins at {}, and now is {}",
            moment(from),
            moment(now)
        ))
        .hint("name one that has begun"))
    }

    /// Whether a moment lies in it.
    pub fn holds(&self, at: Instant) -> bool {
        self.from.is_none_or(|from| from <= at) && self.before.is_none_or(|before| at < before)
    }

    /// The same period as far as it has gone by.
    #[must_use]
    pub fn until(self, now: Instant) -> Self {
        let before = self.before.filter(|before| *before <= now);
        Self { before, ..self }
    }

    /// A calendar month written like `2026-11`.
    pub fn month(text: &str, zone: &Zone) -> Result<Self, Problem> {
        let first = first_of_month(text)?;
        Ok(Self::months(first, 1, zone))
    }

    /// The season that a day lies in: March to May, June to August, September to November or December to
    /// February, as meteorologists count them.
    pub fn season(day: NaiveDate, zone: &Zone) -> Self {
        let months_before = day.month() % 3;
        let first = day.with_day(1).unwrap_or(day) - Months::new(months_before);
        Self::months(first, 3, zone)
    }

    fn months(first: NaiveDate, count: u32, zone: &Zone) -> Self {
        Self {
            from: Some(zone.start_of_day(first)),
            before: Some(zone.start_of_day(first + Months::new(count))),
        }
    }
}

/// The first day of a month written like `2026-11`.
pub fn first_of_month(text: &str) -> Result<NaiveDate, Problem> {
    let is_written_so = text.len() == 7 && text.as_bytes()[4] == b'-';
    let first = is_written_so
        .then(|| format!("{text}-01").parse().ok())
        .flatten();
    // Half a year more must be a date too.
    first
        .filter(|first: &NaiveDate| (1000..=9000).contains(&first.year()))
        .ok_or_else(|| Problem::new(format!("`{text}` is no month")).hint("write it like 2026-11"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dublin() -> Zone {
        Zone::named("Europe/Dublin").unwrap()
    }

    #[test]
    fn a_month_begins_and_ends_at_midnight_of_the_book() {
        let period = Period::month("2026-10", &dublin()).unwrap();
        // Summer time at its beginning, winter time at its end.
        assert_eq!(period.from, Some("2026-09-30T23:00:00Z".parse().unwrap()));
        assert_eq!(period.before, Some("2026-11-01T00:00:00Z".parse().unwrap()));
        let inside = |text: &str| period.holds(text.parse().unwrap());
        assert!(inside("2026-10-31T23:59:59Z"));
        assert!(!inside("2026-11-01T00:00:00Z"));
        for wrong in [
            "2026-13", "2026", "november", "26-11", "2026-1", "0000-01", "2026/11",
        ] {
            assert!(Period::month(wrong, &dublin()).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_period_has_begun_from_its_first_moment_on() {
        let period = Period::month("2026-12", &dublin()).unwrap();
        let begun = |now: &str| period.begun(now.parse().unwrap(), &dublin());
        assert_eq!(begun("2026-12-01T00:00:00Z").unwrap(), period);
        let problem = begun("2026-11-30T23:59:59Z").unwrap_err();
        assert_eq!(
            problem.to_string(),
            "the period has not begun: it begins at Tue 1 Dec 2026 00:00, and now is Mon 30 Nov 2026 23:59"
        );
        let always = Period::default();
        assert_eq!(
            always
                .begun("2026-11-30T00:00:00Z".parse().unwrap(), &dublin())
                .unwrap(),
            always
        );
    }

    #[test]
    fn winter_begins_in_december() {
        for (day, from, before) in [
            ("2026-02-28", "2025-12-01", "2026-03-01"),
            ("2026-12-01", "2026-12-01", "2027-03-01"),
            ("2026-11-30", "2026-09-01", "2026-12-01"),
            ("2026-03-31", "2026-03-01", "2026-06-01"),
        ] {
            let zone = dublin();
            let start = |text: &str| Some(zone.start_of_day(text.parse().unwrap()));
            let season = Period::season(day.parse().unwrap(), &zone);
            assert_eq!(
                (season.from, season.before),
                (start(from), start(before)),
                "{day}"
            );
        }
    }
}
