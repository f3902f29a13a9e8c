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

#[cfg(test)]
mod tests {
    use super::*;
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
