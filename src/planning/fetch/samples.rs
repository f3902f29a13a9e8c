//! Samples of what is not known when grain is fetched: how moist it is, and which optional bakes happen.
//!
//! Stratified: of n samples each n-th part of the moistures has one, and each optional bake happens in just
//! as many as its chance says, which samples being shuffled by the seed (Latin hypercube: McKay, Beckman &
//! Conover 1979, Technometrics 21, 239–245, from memory).

use crate::grain::clipped;
use crate::quantity::Uncertain;
use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_xorshift::XorShiftRng;

/// One way that things may turn out.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// Moisture of what is fetched, a fraction of wet mass.
    pub moisture: f64,
    /// For each optional bake, whether it happens.
    pub happens: Vec<bool>,
    /// How many samples are this one.
    pub count: usize,
}

/// Draws samples for so many optional bakes. The same seed draws the same samples.
pub fn draw(
    moisture: &Uncertain,
    optional: usize,
    chance: f64,
    number: usize,
    seed: u64,
) -> Vec<Sample> {
    let mut random = XorShiftRng::seed_from_u64(seed);
    let mut samples: Vec<Sample> = (0..number)
        .map(|index| Sample {
            moisture: clipped(moisture.quantile((index as f64 + 0.5) / number as f64)).get(),
            happens: Vec::with_capacity(optional),
            count: 1,
        })
        .collect();
    let happening = (chance * number as f64).round() as usize;
    for _ in 0..optional {
        let mut happens: Vec<bool> = (0..number).map(|index| index < happening).collect();
        happens.shuffle(&mut random);
        for (sample, happens) in samples.iter_mut().zip(happens) {
            sample.happens.push(happens);
        }
    }
    merged(samples)
}

/// Equal samples as one, by moisture: what is worked out of them does not depend on their order.
pub fn merged(mut samples: Vec<Sample>) -> Vec<Sample> {
    samples.sort_by(|one, other| {
        one.moisture
            .total_cmp(&other.moisture)
            .then_with(|| one.happens.cmp(&other.happens))
    });
    samples.dedup_by(|next, kept| {
        let equal = next.moisture == kept.moisture && next.happens == kept.happens;
        if equal {
            kept.count += next.count;
        }
        equal
    });
    samples
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn samples_have_the_mean_spread_and_chance_asked_for() {
        let moisture = Uncertain::known(0.78, 0.02);
        let samples = draw(&moisture, 3, 0.3, 200, 1);
        assert_eq!(samples.len(), 200);
        let mean = samples.iter().map(|one| one.moisture).sum::<f64>() / 200.0;
        let variance = samples
            .iter()
            .map(|one| (one.moisture - mean).powi(2))
            .sum::<f64>()
            / 200.0;
        assert!((mean - 0.78).abs() < 1e-6 && (variance.sqrt() - 0.02).abs() < 2e-4);
        for bake in 0..3 {
            assert_eq!(samples.iter().filter(|one| one.happens[bake]).count(), 60);
        }
        // Bakes happen or not each by itself: 0.3² of 200 samples have both.
        let both = samples
            .iter()
            .filter(|one| one.happens[0] && one.happens[1]);
        assert!((8..=28).contains(&both.count()));
    }

    #[test]
    fn a_seed_repeats_and_another_differs() {
        let moisture = Uncertain::known(0.78, 0.02);
        let of = |seed| draw(&moisture, 2, 0.5, 50, seed);
        assert_eq!(of(1), of(1));
        assert_ne!(of(1), of(2));
    }

    #[test]
    fn equal_samples_are_counted_and_not_worked_out_twice() {
        let known = Uncertain::known(0.78, 0.0);
        let samples = draw(&known, 1, 0.25, 40, 1);
        let counts: Vec<(bool, usize)> = samples
            .iter()
            .map(|one| (one.happens[0], one.count))
            .collect();
        assert_eq!(counts, [(false, 30), (true, 10)]);
        assert_eq!(draw(&known, 0, 0.5, 40, 1)[0].count, 40);
    }
}
