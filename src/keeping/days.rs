//! Calendar days: the mash-out day is day 1, and days spent wholly frozen do not count.

use super::timeline::Interval;
use crate::quantity::{Instant, Zone};
use chrono::NaiveDate;

/// The days of a lot's life.
#[derive(Debug)]
pub(super) struct Days<'a> {
    first: NaiveDate,
    frozen: Vec<Frozen>,
    zone: &'a Zone,
}

/// One frozen time. Its first and its last date both count; it has no end while it goes on.
#[derive(Debug)]
struct Frozen {
    from: Instant,
    to: Option<Instant>,
    froze: NaiveDate,
    thawed: Option<NaiveDate>,
}

impl<'a> Days<'a> {
    /// Counts from the local date of `mash_out` all but what `is_frozen`.
    pub fn new(
        mash_out: Instant,
        intervals: &[Interval],
        is_frozen: fn(&Interval) -> bool,
        zone: &'a Zone,
    ) -> Self {
        let mut frozen: Vec<(Instant, Option<Instant>)> = Vec::new();
        for interval in intervals.iter().filter(|interval| is_frozen(interval)) {
            match frozen.last_mut() {
                Some((_, to)) if *to == Some(interval.from) => *to = interval.to,
                _ => frozen.push((interval.from, interval.to)),
            }
        }
        Self {
            first: zone.date(mash_out),
            frozen: frozen
                .into_iter()
                .map(|(from, to)| Frozen {
                    from,
                    to,
                    froze: zone.date(from),
                    thawed: to.map(|to| zone.date(to)),
                })
                .collect(),
            zone,
        }
    }

    /// Which counted day a moment lies in, from 1.
    pub fn number(&self, at: Instant) -> u32 {
        let date = self.zone.date(at);
        let all = (date - self.first).num_days() + 1;
        let skipped: i64 = self
            .frozen
            .iter()
            .map(|frozen| {
                let last = frozen
                    .thawed
                    .map_or(date, |thawed| (thawed - chrono::Days::new(1)).min(date));
                (last - frozen.froze).num_days().max(0)
            })
            .sum();
        u32::try_from((all - skipped).max(1)).unwrap_or(u32::MAX)
    }

    /// First moment of counted day `number`, or nothing where the lot is frozen before it comes.
    pub fn start_of(&self, number: u32) -> Option<Instant> {
        self.date_of(number)
            .map(|date| self.zone.start_of_day(date))
    }

    /// First moment at which more than `number` days have been counted, or nothing where the lot stays
    /// frozen until then. Frozen over the end of that day, it is the moment of thawing.
    pub fn over_after(&self, number: u32) -> Option<Instant> {
        let end = self.zone.end_of_day(self.date_of(number)?);
        let over_the_end = self
            .frozen
            .iter()
            .find(|frozen| frozen.from < end && frozen.to.is_none_or(|to| to >= end));
        over_the_end.map_or(Some(end), |frozen| frozen.to)
    }

    fn date_of(&self, number: u32) -> Option<NaiveDate> {
        let mut date = self.first;
        for _ in 1..number {
            date = date.succ_opt()?;
            for frozen in &self.frozen {
                if frozen.froze < date {
                    date = frozen.thawed?.max(date);
                }
            }
        }
        Some(date)
    }
}
