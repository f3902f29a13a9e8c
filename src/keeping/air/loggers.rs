//! Several logger files of one place: at every moment the warmest counts that any of them says.
//!
//! Each file is a series of its own. What comes out depends on which pairs of readings follow each other in a file, and on
//! nothing else: not on the order of reading the files in, nor on which of two files holds a pair that both have.

use super::{AirSpan, Point, Shown, is_cut};
use crate::quantity::{Instant, Temperature};
use chrono::Duration;
use std::collections::HashMap;

/// A reading, and the entry of the file that it is of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FileReading {
    /// When.
    pub at: Instant,
    /// The entry.
    pub file: i64,
    /// The figure.
    pub temperature: Temperature,
}

/// What the files of a place say together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Together {
    /// In time order; of a moment of which several files speak the coldest and the warmest that count.
    pub readings: Vec<(Instant, Temperature)>,
    /// Times that no file measured where further files than the two beside it go on or went before, each with the moment
    /// among the readings that holds their figures.
    pub between: Vec<Between>,
    /// When files ended after which no other began, so shortly before the last reading of all, or the last one before a gap,
    /// that they still speak for the time after it; each with the moment of that.
    pub ended: Vec<(Instant, Instant)>,
    /// Times between two readings of one file in which others have readings, in the order of their ends.
    pub within: Vec<(Instant, Instant)>,
}

/// A time that no file measured, and a moment in it that holds what files around it say of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    from: Instant,
    at: Instant,
    to: Instant,
    coldest: Temperature,
    warmest: Temperature,
}

impl Together {
    /// Moments of rows that were left out, in time order. Where one lies in a time that no file measured, all of that is cut.
    pub fn cut_at(&self, mut left_out: Vec<Instant>) -> Vec<Instant> {
        let is_cut = |one: &&Between| is_cut(&left_out, one.from, one.to);
        let cut: Vec<Instant> = self
            .between
            .iter()
            .filter(is_cut)
            .map(|one| one.at)
            .collect();
        left_out.extend(cut);
        left_out.sort_unstable();
        left_out
    }
}

/// The time between two readings that follow each other in a file, near enough to speak for it.
struct Interval {
    from: usize,
    to: usize,
    coldest: Temperature,
    warmest: Temperature,
}

impl Interval {
    fn also(&mut self, temperature: Temperature) {
        self.coldest = self.coldest.colder(temperature);
        self.warmest = self.warmest.warmer(temperature);
    }
}

/// A reading before which no file speaks of the time, or after which none does.
struct End {
    at: Instant,
    temperature: Temperature,
    begins: bool,
    ends: bool,
}

/// Puts readings of files, in time order, together to one series. Readings of one file stay as they are.
pub fn together(rows: &[FileReading], longest_gap: Duration) -> Together {
    if rows.iter().all(|row| row.file == rows[0].file) {
        return Together {
            readings: rows.iter().map(|row| (row.at, row.temperature)).collect(),
            ..Together::default()
        };
    }
    let mut intervals = intervals(rows, longest_gap);
    let ends = ends(rows, &intervals);
    // Where a file begins or ends within an interval of another, its figure counts for all of that: it must not depend on
    // further files for how long it does.
    for end in &ends {
        let first = intervals.partition_point(|one| rows[one.to].at < end.at);
        for one in &mut intervals[first..] {
            let (from, to) = (rows[one.from].at, rows[one.to].at);
            if to - end.at > longest_gap {
                break;
            }
            let goes_on = end.ends && from <= end.at && end.at < to;
            let went_before = end.begins && from < end.at && end.at <= to;
            if goes_on || went_before {
                one.also(end.temperature);
            }
        }
    }
    let mut counts: Vec<(Temperature, Temperature)> = rows
        .iter()
        .map(|row| (row.temperature, row.temperature))
        .collect();
    let mut within = Vec::new();
    for one in &intervals {
        let (from, to) = (rows[one.from].at, rows[one.to].at);
        let inside = |index: &usize| from < rows[*index].at && rows[*index].at < to;
        for index in (one.from..one.to).filter(inside) {
            let (coldest, warmest) = &mut counts[index];
            *coldest = coldest.colder(one.coldest);
            *warmest = warmest.warmer(one.warmest);
            if within.last() != Some(&(from, to)) {
                within.push((from, to));
            }
        }
    }
    let between = between(rows, &intervals, &ends, longest_gap);
    let mut inferred = between.iter().peekable();
    let mut readings = Vec::with_capacity(rows.len());
    let mut add = |at: Instant, (coldest, warmest): (Temperature, Temperature)| {
        readings.push((at, coldest));
        if coldest.milli_celsius() < warmest.milli_celsius() {
            readings.push((at, warmest));
        }
    };
    for (row, counts) in rows.iter().zip(counts) {
        if let Some(one) = inferred.next_if(|one| one.at < row.at) {
            add(one.at, (one.coldest, one.warmest));
        }
        add(row.at, counts);
    }
    let before_gaps = rows
        .windows(2)
        .filter(|two| two[1].at - two[0].at > longest_gap)
        .map(|two| two[0].at);
    let ended = before_gaps
        .chain([rows[rows.len() - 1].at])
        .flat_map(|last| ended(&ends, last, longest_gap))
        .collect();
    Together {
        between,
        ended,
        readings,
        within,
    }
}

/// In the order of their ends.
fn intervals(rows: &[FileReading], longest_gap: Duration) -> Vec<Interval> {
    let mut last: HashMap<i64, usize> = HashMap::new();
    let mut found = Vec::with_capacity(rows.len());
    for (to, row) in rows.iter().enumerate() {
        if let Some(from) = last.insert(row.file, to)
            && row.at - rows[from].at <= longest_gap
        {
            found.push(Interval {
                from,
                to,
                coldest: rows[from].temperature.colder(row.temperature),
                warmest: rows[from].temperature.warmer(row.temperature),
            });
        }
    }
    found
}

/// Where a file begins or ends and no other file goes on with the same figure at that moment.
fn ends(rows: &[FileReading], intervals: &[Interval]) -> Vec<End> {
    let (mut is_after, mut is_before) = (vec![false; rows.len()], vec![false; rows.len()]);
    for one in intervals {
        is_before[one.from] = true;
        is_after[one.to] = true;
    }
    let mut found = Vec::new();
    let mut first = 0;
    for moment in rows.chunk_by(|one, other| one.at == other.at) {
        for row in moment {
            let figure = row.temperature.milli_celsius();
            let same_is = |flags: &[bool]| {
                let mut others = moment.iter().zip(&flags[first..]);
                others.any(|(other, flag)| *flag && other.temperature.milli_celsius() == figure)
            };
            let (begins, ends) = (!same_is(&is_after), !same_is(&is_before));
            if begins || ends {
                found.push(End {
                    at: row.at,
                    temperature: row.temperature,
                    begins,
                    ends,
                });
            }
        }
        first += moment.len();
    }
    found
}

/// Times that no file measured and that are no gap, where files that ended before, or begin after, say more than those at
/// its ends. Each counts that lies no further from the other end than two readings may: by itself it would go on from there.
fn between(
    rows: &[FileReading],
    intervals: &[Interval],
    ends: &[End],
    longest_gap: Duration,
) -> Vec<Between> {
    let mut steps = vec![0_i64; rows.len()];
    for one in intervals {
        steps[one.from] += 1;
        steps[one.to] -= 1;
    }
    let mut measured_by = 0;
    let mut found = Vec::new();
    for (two, step) in rows.windows(2).zip(steps) {
        measured_by += step;
        let (from, to) = (two[0].at, two[1].at);
        let at = from + Duration::seconds((to - from).num_seconds() / 2);
        if measured_by > 0 || to - from > longest_gap || at == from {
            continue;
        }
        let first = ends.partition_point(|end| to - end.at > longest_gap);
        let next = ends.partition_point(|end| end.at <= from);
        let past = ends.partition_point(|end| end.at - from <= longest_gap);
        let (before, after) = (&ends[first..next], &ends[next..past]);
        // What another file went on from before that, or after it, goes no further.
        let began = before.iter().rfind(|end| end.begins).map(|end| end.at);
        let ended = after.iter().find(|end| end.ends).map(|end| end.at);
        let went_before = before
            .iter()
            .filter(|end| end.ends && began.is_none_or(|began| began <= end.at));
        let go_on = after
            .iter()
            .filter(|end| end.begins && ended.is_none_or(|ended| end.at <= ended));
        let near = went_before.chain(go_on);
        let beside = near.clone().filter(|end| end.at == from || end.at == to);
        if let (Some((coldest, warmest)), Some(known)) = (extremes(near), extremes(beside))
            && (coldest, warmest) != known
        {
            found.push(Between {
                from,
                at,
                to,
                coldest,
                warmest,
            });
        }
    }
    found
}

fn extremes<'a>(ends: impl Iterator<Item = &'a End> + Clone) -> Option<(Temperature, Temperature)> {
    let figures = ends.map(|end| end.temperature);
    let coldest = figures.clone().reduce(Temperature::colder)?;
    Some((coldest, figures.reduce(Temperature::warmer)?))
}

/// See [`Together::ended`].
fn ended(ends: &[End], last: Instant, longest_gap: Duration) -> Vec<(Instant, Instant)> {
    let first = ends.partition_point(|end| last - end.at >= longest_gap);
    let recent = &ends[first..ends.partition_point(|end| end.at <= last)];
    let began = recent.iter().rfind(|end| end.begins).map(|end| end.at);
    recent
        .iter()
        .filter(|end| end.ends && end.at < last && began.is_none_or(|began| began <= end.at))
        .map(|end| (end.at, last))
        .collect()
}

/// Makes the time after the last reading as warm as files show it that `ended` shortly before, each for as long as it would
/// be by itself. In a gap the time after its first reading counts in the same way: what is read in later says nothing of
/// that. Not so where rows were left out in the gap, nor in a hot-hold: what is to be hot may have cooled since.
pub fn last_of(
    spans: &mut Vec<AirSpan>,
    points: &[Point],
    ended: &[(Instant, Instant)],
    is_hot_hold: impl Fn(Instant) -> bool,
    longest_gap: Duration,
) {
    for span in std::mem::take(spans) {
        if matches!(span.shown, Shown::Measured { .. }) {
            spans.push(span);
            continue;
        }
        let at = span.from;
        let (before, since) = points.split_at(points.partition_point(|point| point.at < at));
        let (same, after) = since.split_at(since.partition_point(|point| point.at == at));
        let is_gap = matches!(span.shown, Shown::Gap(_));
        let stays_whole = is_gap && (is_hot_hold(at) || after.first().is_some_and(|next| next.cut));
        let shown = same.iter().map(|point| point.warmest);
        let Some(shown) = shown.reduce(Temperature::warmer).filter(|_| !stays_whole) else {
            spans.push(span);
            continue;
        };
        // From the last one back, as far as they are warmer: what ended before a warmer one counts for no time of its own.
        let mut ends = vec![(at, shown)];
        let is_of_it = |point: &&Point| ended.contains(&(point.at, at)) && !is_hot_hold(at);
        for point in before.iter().rev().filter(is_of_it) {
            let warmest = ends[ends.len() - 1].1.milli_celsius();
            if point.warmest.milli_celsius() > warmest {
                ends.push((point.at, point.warmest));
            }
        }
        let mut from = at;
        for (ended, shown) in ends.into_iter().rev() {
            let until = ended + longest_gap;
            spans.push(AirSpan {
                from,
                until,
                shown: Shown::Last { at, shown, until },
                in_grain: false,
            });
            from = until;
        }
        if is_gap {
            spans.push(AirSpan { from, ..span });
        }
    }
}

/// Until when a file speaks of a time that ends, by an interval in which others have readings.
pub fn reaches(within: &[(Instant, Instant)], ends: Instant, longest_gap: Duration) -> Instant {
    let first = within.partition_point(|(_, to)| *to <= ends);
    within[first..]
        .iter()
        .take_while(|(_, to)| *to - ends <= longest_gap)
        .filter(|(from, _)| *from < ends)
        .map(|(_, to)| *to)
        .max()
        .unwrap_or(ends)
}

/// Makes what counts at readings within an interval of another file as warm as at the ends of that: so it is where nobody
/// read that often.
pub fn hold(points: &mut [Point], within: &[(Instant, Instant)], longest_gap: Duration) {
    let (begins, ends) = match (points.first(), points.last()) {
        (Some(first), Some(last)) if !within.is_empty() => (first.at, last.at),
        _ => return,
    };
    let counts: Vec<(Instant, Temperature)> = points
        .iter()
        .map(|point| (point.at, point.warmest))
        .collect();
    let at = |moment: Instant| {
        let index = counts.binary_search_by_key(&moment, |(at, _)| *at).ok()?;
        Some(counts[index].1)
    };
    let earliest = within.partition_point(|(_, to)| *to <= begins);
    for (from, to) in within[earliest..]
        .iter()
        .take_while(|(_, to)| *to - ends <= longest_gap)
    {
        let Some(warmest) = [at(*from), at(*to)]
            .into_iter()
            .flatten()
            .reduce(Temperature::warmer)
        else {
            continue;
        };
        let next = points.partition_point(|point| point.at <= *from);
        for point in points[next..].iter_mut().take_while(|point| point.at < *to) {
            point.warmest = point.warmest.warmer(warmest);
        }
    }
}

/// The readings of files in time order, each moment and figure once.
pub fn listed(rows: &[FileReading]) -> Vec<(Instant, Temperature)> {
    let mut found: Vec<(Instant, Temperature)> = Vec::with_capacity(rows.len());
    for row in rows {
        let is_there = found
            .iter()
            .rev()
            .take_while(|(at, _)| *at == row.at)
            .any(|(_, known)| known.milli_celsius() == row.temperature.milli_celsius());
        if !is_there {
            found.push((row.at, row.temperature));
        }
    }
    found
}

#[cfg(test)]
mod tests;
