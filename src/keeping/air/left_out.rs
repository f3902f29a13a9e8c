//! Rows of a logger's file that were not read in, and the times around them that nobody measured.

use super::Point;
use crate::quantity::{Instant, Temperature};

/// Readings that count as they were measured, with what was left out between them.
pub fn points(readings: &[(Instant, Temperature)], left_out: &[Instant]) -> Vec<Point> {
    let mut points: Vec<Point> = readings.iter().copied().map(Point::from).collect();
    cut(&mut points, left_out);
    points
}

/// Marks the times between readings in which rows of a file were left out.
pub fn cut(points: &mut [Point], left_out: &[Instant]) {
    let mut before = None;
    for point in points {
        point.cut = before.is_some_and(|before| is_cut(left_out, before, point.at));
        before = Some(point.at);
    }
}

/// Whether rows of a file were left out between two readings that follow each other, or at one of them: another file may hold
/// a cold reading of that moment.
pub fn is_cut(left_out: &[Instant], from: Instant, to: Instant) -> bool {
    let first = left_out.partition_point(|at| *at < from);
    left_out.get(first).is_some_and(|at| *at <= to)
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{DateTime, Duration};

    fn after(minutes: i64) -> Instant {
        DateTime::from_timestamp(1_793_610_000, 0).unwrap() + Duration::minutes(minutes)
    }

    #[test]
    fn the_time_around_a_row_that_was_left_out_is_cut_and_no_reading_at_it_ends_that() {
        let readings: Vec<(Instant, Temperature)> = [0, 5, 5, 60, 65, 70]
            .map(|minutes| (after(minutes), Temperature::celsius(4)))
            .into();
        let left_out = [after(-10), after(10), after(50), after(65), after(75)];
        let found: Vec<bool> = points(&readings, &left_out)
            .iter()
            .map(|point| point.cut)
            .collect();
        assert_eq!(found, [false, false, false, true, true, true]);
    }
}
