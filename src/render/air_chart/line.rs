//! A line of any number of readings that keeps every peak.

/// A point of the picture.
pub type Point = (f64, f64);

/// Leaves of the points that fall into one column of the picture the first, the lowest, the highest and the last,
/// in their order: what is drawn of them all is drawn of these.
pub fn thinned(points: &[Point]) -> Vec<Point> {
    let column = |point: &Point| point.0.floor();
    let mut kept = Vec::new();
    for several in points.chunk_by(|one, other| column(one) == column(other)) {
        let (mut lowest, mut highest) = (0, 0);
        for (index, (_, y)) in several.iter().enumerate() {
            if *y < several[lowest].1 {
                lowest = index;
            }
            if *y > several[highest].1 {
                highest = index;
            }
        }
        let mut of_these = [0, lowest, highest, several.len() - 1];
        of_these.sort_unstable();
        let mut before = None;
        for index in of_these {
            if before != Some(index) {
                kept.push(several[index]);
            }
            before = Some(index);
        }
    }
    kept
}

/// Places from left to right that overlap, or nearly, as one: however many there are, the picture stays small.
pub fn merged(places: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    /// No narrower than can be seen in print.
    const LEAST: f64 = 1.5;
    let mut found: Vec<(f64, f64)> = Vec::new();
    for (from, to) in places {
        let to = to.max(from + LEAST);
        match found.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => found.push((from, to)),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_peak_is_lost(heights in prop::collection::vec(-50.0..50.0f64, 1..2000), width in 1.0..300.0f64) {
            let step = width / heights.len() as f64;
            let points: Vec<Point> = heights.iter().enumerate().map(|(i, y)| (i as f64 * step, *y)).collect();
            let kept = thinned(&points);
            prop_assert!(kept.len() <= 4 * (width.ceil() as usize + 1));
            prop_assert!(kept.windows(2).all(|two| two[0].0 < two[1].0), "in their order");
            prop_assert!(kept.iter().all(|point| points.contains(point)), "nothing is made up");
            let column = |x: f64, of: &[Point]| {
                let ys = of.iter().filter(|point| point.0.floor() == x).map(|point| point.1);
                (ys.clone().fold(f64::INFINITY, f64::min), ys.fold(f64::NEG_INFINITY, f64::max))
            };
            for x in 0..width.ceil() as usize {
                prop_assert_eq!(column(x as f64, &points), column(x as f64, &kept));
            }
        }
    }

    #[test]
    fn places_that_touch_are_one() {
        let found = merged([(0.0, 0.1), (1.0, 1.0), (10.0, 12.0), (11.0, 11.5)].into_iter());
        assert_eq!(found, [(0.0, 2.5), (10.0, 12.5)]);
    }
}
