//! Amounts as the scale of the kitchen shows them.

use super::batch::on_the_scale;
use super::numbers::Units;
use crate::quantity::Milligrams;
use uom::si::f64::Mass;

/// The scale of the kitchen, and the units that its baker reads.
#[derive(Debug, Clone, Copy)]
pub struct KitchenScale {
    /// The units.
    pub units: Units,
    pub(super) step: Milligrams,
}

impl KitchenScale {
    /// With its smallest step.
    pub const fn new(units: Units, step: Milligrams) -> Self {
        Self { units, step }
    }

    /// The nearest amount that it shows.
    pub fn nearest(self, mass: Mass) -> Milligrams {
        Milligrams::on_scale(mass, self.step)
    }

    /// As [`Self::weigh`] shows amounts: so much of two parts that together show as `all` does.
    pub fn parts(self, all: Mass, first: Mass) -> [Mass; 2] {
        Milligrams::parts_on_scale(all, first, self.step).map(Milligrams::mass)
    }

    /// What is weighed out: `415 g`.
    pub fn weigh(self, mass: Mass) -> String {
        on_the_scale(self.nearest(mass), self.units)
    }

    /// Of dough, which is more: `415 g`, `5.835 kg`.
    pub fn weigh_dough(self, mass: Mass) -> String {
        self.units.to_weigh(self.nearest(mass).mass())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::mass::from_grams;

    #[test]
    fn what_is_weighed_is_what_the_scale_shows() {
        for (step, shown) in [(100, "417.4 g"), (1000, "417 g"), (5000, "415 g")] {
            let scale = KitchenScale::new(Units::Metric, Milligrams::new(step));
            assert_eq!(scale.weigh(from_grams(417.4)), shown);
        }
        let scale = KitchenScale::new(Units::Metric, Milligrams::new(5000));
        assert_eq!(scale.weigh_dough(from_grams(5836.0)), "5.835 kg");
        let [moisture, thirst] = scale.parts(from_grams(417.0), from_grams(213.0));
        assert_eq!(scale.weigh(moisture), "215 g");
        assert_eq!(scale.weigh(thirst), "200 g");
    }
}
