//! Several lots in one dough: how much of each, and what moisture they have together.

use crate::grain::dry_matter::{dry_grain, wet_for};
use crate::grain::{ByCause, clipped};
use crate::quantity::{Milligrams, Uncertain};
use uom::si::f64::Mass;
use uom::si::mass::milligram;

/// A lot that may go into the dough.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// What is left of it.
    pub left: Milligrams,
    /// Its moisture, wet basis, with what it shares with other lots.
    pub moisture: ByCause,
}

/// How much of each offer goes in, and the moisture of all together.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixture {
    /// Wet mass drawn from each offer, in the same order.
    pub draws: Vec<Mass>,
    /// Moisture of what is drawn.
    pub moisture: Uncertain,
    /// Dry grain that the offers fall short of what was wanted.
    pub short: Mass,
}

/// Draws `dry` grain from the offers in their order, all of one before any of the next.
///
/// The moisture is the mean by wet mass; what the lots' uncertainties share adds up.
pub fn draw(offers: &[Offer], dry: Mass) -> Mixture {
    let mut wanted = dry;
    let mut draws = Vec::with_capacity(offers.len());
    for offer in offers {
        let moisture = clipped(offer.moisture.value);
        let there = dry_grain(offer.left.mass(), moisture);
        let taken = wanted.min(there);
        draws.push(wet_for(taken, moisture));
        wanted -= taken;
    }
    let weights: Vec<(f64, &ByCause)> = draws
        .iter()
        .zip(offers)
        .map(|(draw, offer)| (draw.get::<milligram>(), &offer.moisture))
        .filter(|(weight, _)| *weight > 0.0)
        .collect();
    let moisture = ByCause::mean(weights).or_else(|| Some(offers.first()?.moisture.clone()));
    let moisture = moisture.map_or(Uncertain::known(0.0, 0.0), |found| found.uncertain());
    Mixture {
        draws,
        moisture,
        short: wanted,
    }
}

/// What the scale is to show of each draw, so that all together are what it is to show of the grain: whole steps, the
/// largest remainders rounded up. Where the lots fall short of it, each is rounded on its own.
pub fn on_the_scale(draws: &[Mass], together: Milligrams, step: Milligrams) -> Vec<Milligrams> {
    let step = step.get().max(1);
    let exact: Vec<f64> = draws
        .iter()
        .map(|draw| draw.get::<milligram>() / step as f64)
        .collect();
    let mut steps: Vec<i64> = exact.iter().map(|exact| exact.floor() as i64).collect();
    let missing = together.get() / step - steps.iter().sum::<i64>();
    if 0 <= missing && missing <= steps.len() as i64 {
        let mut by_remainder: Vec<usize> = (0..steps.len()).collect();
        by_remainder.sort_by(|a, b| exact[*b].fract().total_cmp(&exact[*a].fract()));
        for index in by_remainder.into_iter().take(missing as usize) {
            steps[index] += 1;
        }
    } else {
        steps = exact.iter().map(|exact| exact.round() as i64).collect();
    }
    steps
        .into_iter()
        .map(|steps| Milligrams::new(steps * step))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_weighed_of_each_lot_adds_up_to_the_line() {
        let grams = |grams: f64| Mass::new::<milligram>(grams * 1000.0);
        let weighed = |draws: &[Mass], together: i64| -> Vec<i64> {
            let step = Milligrams::new(1000);
            let shown = on_the_scale(draws, Milligrams::new(together * 1000), step);
            shown.into_iter().map(|shown| shown.get() / 1000).collect()
        };
        let draws = [grams(1000.4), grams(625.3)];
        assert_eq!(weighed(&draws, 1626), [1001, 625]);
        assert_eq!(weighed(&[grams(1625.4)], 1625), [1625]);
        // Short of it by more than rounding: what there is.
        assert_eq!(weighed(&draws, 2000), [1000, 625]);
    }
    use crate::grain::by_cause::Cause;
    use crate::quantity::mass::{from_grams, grams};

    fn offer(left: i64, moisture: f64) -> Offer {
        Offer {
            left: Milligrams::new(left * 1000),
            moisture: ByCause::one(
                Uncertain::known(moisture, 0.01),
                Cause::Samples(format!("{left} {moisture}")),
            ),
        }
    }

    /// By hand: 1000 g at 80 % give 200 g of dry grain, the other 100 g come from 400 g at 75 %; together
    /// 1400 g hold 1100 g of water.
    #[test]
    fn the_first_lot_is_used_up_before_the_second_is_touched() {
        let found = draw(&[offer(1000, 0.80), offer(5000, 0.75)], from_grams(300.0));
        assert!((grams(found.draws[0]) - 1000.0).abs() < 1e-9);
        assert!((grams(found.draws[1]) - 400.0).abs() < 1e-9);
        assert!((found.moisture.value - 1100.0 / 1400.0).abs() < 1e-12);
        let standard = 0.01 * (1000.0f64.powi(2) + 400.0f64.powi(2)).sqrt() / 1400.0;
        assert!((found.moisture.standard - standard).abs() < 1e-12);
        assert_eq!(grams(found.short), 0.0);
    }

    #[test]
    fn what_the_lots_do_not_hold_is_short() {
        let found = draw(&[offer(1000, 0.80)], from_grams(300.0));
        assert!((grams(found.short) - 100.0).abs() < 1e-9);
        assert_eq!(found.moisture, Uncertain::known(0.80, 0.01));
    }
}
