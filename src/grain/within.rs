//! How even the grain of one lot is: the spread of its samples, from the book's own duplicates.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use super::moisture_test::{MoistureTest, Sample};
use super::precision::Precision;

/// The published spread counts like so many degrees of freedom of the book's own. Judgement.
const PUBLISHED_COUNTS: f64 = 4.0;

/// Further samples are not worth it where they narrow the range by less than this part: a fifth, as `render/moisture.rs`
/// says it. Judgement.
pub const WORTH_NARROWING: f64 = 0.2;

/// What lots with several samples say of the spread within lots.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Within {
    squares: f64,
    freedom: f64,
}

impl Within {
    /// Of these lots, each by its tests: all samples of a lot count together, in however many tests they were written.
    pub fn of<'a, Lot>(lots: impl IntoIterator<Item = Lot>) -> Self
    where
        Lot: IntoIterator<Item = &'a MoistureTest>,
    {
        let mut within = Self::default();
        for tests in lots {
            within.add(tests);
        }
        within
    }

    /// The same with the tests of one more lot.
    #[must_use]
    pub fn with<'a>(mut self, tests: impl IntoIterator<Item = &'a MoistureTest>) -> Self {
        self.add(tests);
        self
    }

    fn add<'a>(&mut self, tests: impl IntoIterator<Item = &'a MoistureTest>) {
        let moistures: Vec<f64> = tests
            .into_iter()
            .flat_map(MoistureTest::finished)
            .map(|sample: &Sample| sample.moisture().get())
            .collect();
        if moistures.len() > 1 {
            let mean = moistures.iter().sum::<f64>() / moistures.len() as f64;
            self.squares += moistures
                .iter()
                .map(|one| (one - mean).powi(2))
                .sum::<f64>();
            self.freedom += moistures.len() as f64 - 1.0;
        }
    }

    /// Standard deviation of single samples of one lot, and its degrees of freedom: the pooled spread, shrunk to
    /// what repeats in one oven by the published trial and never below that, which is taken as known.
    pub fn spread(&self, precision: Precision) -> (f64, f64) {
        let published = precision.repeatability_sd();
        let freedom = PUBLISHED_COUNTS + self.freedom;
        let pooled = ((PUBLISHED_COUNTS * published.powi(2) + self.squares) / freedom).sqrt();
        if pooled > published {
            (pooled, freedom)
        } else {
            (published, f64::INFINITY)
        }
    }

    /// How many samples from different places would do: more would narrow the range by less than [`WORTH_NARROWING`],
    /// since the bias of the oven stays.
    pub fn samples_enough(&self, precision: Precision) -> usize {
        let (spread, _) = self.spread(precision);
        let bias = precision.between_laboratories_sd();
        let enough = 1.0 / (1.0 - WORTH_NARROWING);
        let room = (enough.powi(2) - 1.0) * bias.powi(2);
        ((spread.powi(2) / room).ceil() as usize).max(1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::grain::{Method, Weighing};
    use crate::quantity::Milligrams;

    /// Samples of 100 g that leave so many grams.
    fn test(left: &[i64]) -> MoistureTest {
        let sample = |left: &i64| Sample {
            first: Weighing::new(
                Milligrams::new(0),
                Milligrams::new(100_000),
                vec![Milligrams::new(left * 1000)],
            )
            .unwrap(),
            second: None,
        };
        MoistureTest {
            method: Method::Oven,
            readability: Milligrams::new(100),
            samples: left.iter().map(sample).collect(),
            open: Vec::new(),
            laboratory: None,
        }
    }

    #[test]
    fn without_duplicates_the_published_spread_counts() {
        let found = Within::of([&[test(&[23])], &[test(&[24])]]).spread(Precision::UNMILLED);
        let published = Precision::UNMILLED.repeatability_sd();
        assert_eq!(found, (published, f64::INFINITY));
    }

    /// Ten duplicates 1 point apart: half a squared point each, 10 degrees of freedom. With 4 of the published
    /// 0.107: (4 · 0.01148 + 5) ÷ 14 = 0.3604, so 0.600 points (arithmetic). 0.3604 ÷ ((1.25² − 1) · 0.5249²)
    /// = 2.3, so 3 samples would do.
    #[test]
    fn duplicates_of_the_book_tell_how_even_tubs_are() {
        let duplicates = vec![[test(&[23, 24])]; 10];
        let within = Within::of(&duplicates);
        // Or each sample as a test of its own.
        let singles = vec![[test(&[23]), test(&[24])]; 10];
        assert_eq!(within, Within::of(&singles));
        let (spread, freedom) = within.spread(Precision::UNMILLED);
        assert!((spread - 0.0060036).abs() < 1e-6, "{spread}");
        assert_eq!(freedom, 14.0);
        assert_eq!(within.samples_enough(Precision::UNMILLED), 3);
        assert_eq!(Within::default().samples_enough(Precision::UNMILLED), 1);
    }

    /// Duplicates that agree do so by chance below what the trial repeats.
    #[test]
    fn the_spread_is_never_below_the_published_one() {
        let within = Within::of(&vec![[test(&[23, 23])]; 50]);
        assert_eq!(within.spread(Precision::UNMILLED).1, f64::INFINITY);
    }

    /// What a pan shows that has not dried to the end is no duplicate.
    #[test]
    fn unfinished_samples_do_not_count() {
        let mut uneven = test(&[23, 24]);
        uneven.samples[1].first = Weighing::new(
            Milligrams::new(0),
            Milligrams::new(100_000),
            vec![Milligrams::new(60_000), Milligrams::new(40_000)],
        )
        .unwrap();
        assert_eq!(Within::of([&[uneven]]), Within::default());
    }
}
