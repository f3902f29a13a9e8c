//! Local times of a file around a clock change: the hour that comes twice is told apart by the order of the rows.

use super::Instant;

/// A moment of a row, or the two that its local time may mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowTime {
    /// One moment.
    Once(Instant),
    /// A local time that a clock change doubles.
    Twice {
        /// Before the change.
        first: Instant,
        /// After it.
        second: Instant,
    },
}

impl RowTime {
    const fn first(self) -> Instant {
        match self {
            Self::Once(at) | Self::Twice { first: at, .. } => at,
        }
    }

    const fn is_doubled(self) -> bool {
        matches!(self, Self::Twice { .. })
    }
}

/// What tells the rows of doubled hours apart: those rows, the ones beside them, and the first and the last of the file. A file
/// may have millions of others.
#[derive(Debug, Default)]
pub struct RowTimes {
    kept: Vec<RowTime>,
    /// The last row so far, unless it is kept.
    last: Option<RowTime>,
}

impl RowTimes {
    /// Adds the next row of the file.
    pub fn add(&mut self, row: RowTime) {
        let is_beside =
            self.last.is_none() && self.kept.last().copied().is_none_or(RowTime::is_doubled);
        if row.is_doubled() || is_beside {
            self.kept.extend(self.last.take());
            self.kept.push(row);
        } else {
            self.last = Some(row);
        }
    }

    /// The moments of the rows of doubled hours, in the order of the file; nothing for a row where it stays open.
    pub fn settled(mut self) -> Vec<Option<Instant>> {
        self.kept.extend(self.last);
        let settled = settle(&self.kept).into_iter().zip(&self.kept);
        settled
            .filter(|(_, row)| row.is_doubled())
            .map(|(at, _)| at)
            .collect()
    }
}

/// The moment of each row of a file in order of time, newest first or last; nothing where it stays open.
///
/// Rows of the doubled hour are told apart where their local time steps back exactly once and the step then is no
/// longer than another one beside it. Without the step a logger may have kept either half of the hour.
fn settle(rows: &[RowTime]) -> Vec<Option<Instant>> {
    let once = |row: &RowTime| match row {
        RowTime::Once(at) => Some(*at),
        RowTime::Twice { .. } => None,
    };
    let mut settled: Vec<Option<Instant>> = rows.iter().map(once).collect();
    let newest_first = match (rows.first(), rows.last()) {
        (Some(first), Some(last)) => first.first() > last.first(),
        _ => false,
    };
    let mut begin = 0;
    while begin < rows.len() {
        let length = rows[begin..]
            .iter()
            .take_while(|row| once(row).is_none())
            .count();
        let end = begin + length;
        if length > 0 {
            // With the row before and the row after, which show how often the logger reads.
            let (from, to) = (begin.saturating_sub(1), rows.len().min(end + 1));
            let mut run: Vec<RowTime> = rows[from..to].to_vec();
            if newest_first {
                run.reverse();
            }
            if let Some(mut moments) = settle_run(&run) {
                if newest_first {
                    moments.reverse();
                }
                for (place, at) in settled[from..to].iter_mut().zip(moments) {
                    *place = Some(at);
                }
            }
        }
        begin = end + 1;
    }
    settled
}

/// Rows of one doubled hour and those beside it, oldest first.
fn settle_run(run: &[RowTime]) -> Option<Vec<Instant>> {
    let is_back = |at: &usize| {
        matches!(
            (run[*at], run[*at + 1]),
            (RowTime::Twice { first, .. }, RowTime::Twice { first: next, .. }) if next <= first
        )
    };
    let steps_back: Vec<usize> = (0..run.len() - 1).filter(is_back).collect();
    let [back] = steps_back.as_slice() else {
        return None;
    };
    let moments: Vec<Instant> = run
        .iter()
        .enumerate()
        .map(|(at, row)| match row {
            RowTime::Twice { second, .. } if at > *back => *second,
            row => row.first(),
        })
        .collect();
    let steps: Vec<_> = moments.windows(2).map(|two| two[1] - two[0]).collect();
    let longest = (0..steps.len())
        .filter(|at| at != back)
        .map(|at| steps[at])
        .max()?;
    let is_sound = steps.iter().all(|step| *step >= chrono::Duration::zero())
        && steps[*back] > chrono::Duration::zero()
        && steps[*back] <= longest;
    is_sound.then_some(moments)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utc(clock: &str) -> Instant {
        format!("2026-10-25T{clock}:00Z").parse().unwrap()
    }

    /// Europe/Dublin, 25 October 2026: local times from 01:00 to 01:59 come at +01:00 and again at +00:00. Rule of
    /// the European Union, directive 2000/84/EC: the last Sunday of October at 01:00 UTC.
    fn row(local: &str) -> RowTime {
        let first = utc(local) - chrono::Duration::hours(1);
        match local.as_bytes()[1] {
            b'0' => RowTime::Once(first),
            b'1' => RowTime::Twice {
                first,
                second: utc(local),
            },
            _ => RowTime::Once(utc(local)),
        }
    }

    fn settled(locals: &[&str]) -> Vec<Option<Instant>> {
        settle(&locals.iter().map(|local| row(local)).collect::<Vec<_>>())
    }

    #[test]
    fn a_step_back_tells_the_two_halves_apart() {
        let locals = ["00:30", "01:00", "01:30", "01:00", "01:30", "02:00"];
        let wanted = ["23:30", "00:00", "00:30", "01:00", "01:30", "02:00"];
        let wanted: Vec<Option<Instant>> = wanted
            .iter()
            .enumerate()
            .map(|(at, clock)| {
                let day = chrono::Duration::days(i64::from(at == 0));
                Some(utc(clock) - day)
            })
            .collect();
        assert_eq!(settled(&locals), wanted);
        let backwards: Vec<&str> = locals.iter().rev().copied().collect();
        let reversed: Vec<_> = wanted.iter().rev().copied().collect();
        assert_eq!(settled(&backwards), reversed);
        // Once an hour: the same figure of the clock twice.
        assert_eq!(
            settled(&["00:30", "01:30", "01:30", "02:30"])[1..3],
            [Some(utc("00:30")), Some(utc("01:30"))]
        );
    }

    #[test]
    fn rows_far_from_a_doubled_hour_change_nothing() {
        let files: [&[&str]; 6] = [
            &[
                "00:10", "00:20", "00:30", "01:00", "01:30", "01:00", "01:30", "02:00", "02:30",
                "03:00",
            ],
            &[
                "00:10", "01:00", "01:30", "01:00", "02:00", "02:30", "03:00", "00:10", "00:20",
                "01:00", "01:30", "02:00",
            ],
            &["01:30", "01:00", "01:30", "02:00", "02:10", "02:20"],
            &["00:10", "00:20", "01:00", "01:30", "01:30", "01:00"],
            &["00:10", "00:20", "00:30"],
            &["01:30"],
        ];
        for locals in files {
            let mut rows: Vec<RowTime> = locals.iter().map(|local| row(local)).collect();
            for _ in 0..2 {
                let all = settle(&rows).into_iter().zip(&rows);
                let wanted: Vec<Option<Instant>> = all
                    .filter(|(_, row)| row.is_doubled())
                    .map(|(at, _)| at)
                    .collect();
                let mut times = RowTimes::default();
                rows.iter().for_each(|row| times.add(*row));
                assert_eq!(times.settled(), wanted, "{locals:?}");
                rows.reverse();
            }
        }
    }

    #[test]
    fn what_may_be_either_half_stays_open() {
        for locals in [
            // The logger was off for an hour, before or after.
            ["00:30", "01:00", "01:30", "02:00"].as_slice(),
            // A line that stands twice is no clock change.
            &["00:30", "01:00", "01:00", "01:30", "02:00"],
            // Two steps back.
            &["01:00", "01:30", "01:00", "01:30", "01:00"],
            &["01:30"],
            &["01:30", "01:00"],
        ] {
            let open = settled(locals).iter().filter(|at| at.is_none()).count();
            let doubled = locals
                .iter()
                .filter(|local| local.starts_with("01"))
                .count();
            assert_eq!(open, doubled, "{locals:?}");
        }
    }
}
