//! The heat balance: what the parts take on their way to the dough's temperature is what mixing,
//! hydration and water give.

use super::request::{Grain, Heat, HydrationHeat, Ingredient, MixingHeat, Request};
use crate::heat::curve::Curve;
use crate::heat::freezing::{self, FREEZING_POINT_CELSIUS};
use crate::heat::properties;
use uom::si::f64::Mass;
use uom::si::mass::kilogram;
use uom::si::ratio::ratio as unit_ratio;

/// A part of the dough other than the water to be tempered.
pub(super) struct Body {
    pub(super) kilograms: f64,
    /// Where it starts as an unfrozen body, °C.
    pub(super) celsius: f64,
    /// Specific heat from there on, kJ/(kg K).
    pub(super) heat: Curve,
    /// Heat that brings it there, with no ice left; kJ/kg, nothing for what is not frozen.
    pub(super) thaw: f64,
}

/// A dough as masses and heats.
pub(super) struct Balance {
    pub(super) bodies: Vec<Body>,
    pub(super) grain: Vec<Body>,
    pub(super) water_kilograms: f64,
    pub(super) dough_kilograms: f64,
    /// Specific heat of water, kJ/(kg K).
    pub(super) water: Curve,
    /// Heat of mixing and hydration, kJ.
    pub(super) given: f64,
}

impl Body {
    fn of(ingredient: &Ingredient) -> Self {
        Self {
            kilograms: ingredient.mass.get::<kilogram>(),
            celsius: ingredient.celsius,
            heat: ingredient.heat.curve(),
            thaw: 0.0,
        }
    }

    /// Thawed and frozen grain have one specific heat above the freezing point, so that they meet
    /// there and colder grain always takes more heat.
    fn of_grain(grain: &Grain) -> Self {
        let composition = grain.composition();
        let frozen = freezing::is_frozen(&composition, grain.celsius);
        Self {
            kilograms: grain.mass.get::<kilogram>(),
            celsius: if frozen {
                FREEZING_POINT_CELSIUS
            } else {
                grain.celsius
            },
            heat: composition.curve(),
            thaw: if frozen {
                freezing::heat_to_thaw(&composition, grain.celsius)
            } else {
                0.0
            },
        }
    }

    /// Heat that it takes to come to `celsius`, kJ.
    pub(super) fn taken(&self, celsius: f64) -> f64 {
        self.kilograms * (self.thaw + self.heat.heat(self.celsius, celsius))
    }
}

impl Balance {
    pub(super) fn of(request: &Request) -> Self {
        let plain = [&request.flour, &request.preferments, &request.others];
        let bodies: Vec<Body> = plain.into_iter().flatten().map(Body::of).collect();
        let grain: Vec<Body> = request.grain.iter().map(Body::of_grain).collect();
        let water_kilograms = request.water.get::<kilogram>();
        let mut balance = Self {
            dough_kilograms: water_kilograms + mass_of(&bodies) + mass_of(&grain),
            bodies,
            grain,
            water_kilograms,
            water: Heat::Composition(properties::PURE_WATER).curve(),
            given: 0.0,
        };
        let flour: f64 = request.flour.iter().map(|f| f.mass.get::<kilogram>()).sum();
        balance.given = balance.mixing(request.mixing_heat, request.target_celsius)
            + match request.hydration_heat {
                HydrationHeat::InMixingHeat => 0.0,
                HydrationHeat::PerFlour(heat) => heat * flour,
                HydrationHeat::PerDough(heat) => heat * balance.dough_kilograms,
            };
        balance
    }

    /// Heat of mixing, kJ.
    pub(super) fn mixing(&self, heat: MixingHeat, target: f64) -> f64 {
        match heat {
            MixingHeat::PerDough(heat) => heat * self.dough_kilograms,
            MixingHeat::Rise(kelvin) => kelvin * self.warming().at(target),
        }
    }

    /// What the whole dough takes per kelvin, over temperature, kJ/K.
    pub(super) fn warming(&self) -> Curve {
        self.parts().fold(
            Curve::default().plus(self.water, self.water_kilograms),
            |sum, body| sum.plus(body.heat, body.kilograms),
        )
    }

    fn parts(&self) -> impl Iterator<Item = &Body> {
        self.bodies.iter().chain(&self.grain)
    }

    /// Heat that the grain takes to come to `celsius`, kJ.
    pub(super) fn taken_by_grain(&self, celsius: f64) -> f64 {
        self.grain.iter().map(|body| body.taken(celsius)).sum()
    }

    /// What the water must bring for a dough of `target`, kJ per kg above liquid water at 0 °C.
    pub(super) fn water_heat_asked(&self, target: f64) -> f64 {
        let taken: f64 = self.parts().map(|body| body.taken(target)).sum();
        self.water.heat(0.0, target) + (taken - self.given) / self.water_kilograms
    }

    /// The dough's temperature if the water brings so much, the inverse of
    /// [`Self::water_heat_asked`].
    pub(super) fn celsius_with_water_heat(&self, brought: f64) -> f64 {
        // All parts taken to 0 °C leave this much for the whole dough.
        let left = (brought - self.water_heat_asked(0.0)) * self.water_kilograms;
        self.warming().reached(0.0, left)
    }

    /// The temperature that thawed grain needs at least if water at `limit` is to do, °C.
    pub(super) fn coldest_grain_that_does(&self, target: f64, limit: f64) -> Option<f64> {
        let spared = (self.water.heat(0.0, limit) - self.water_heat_asked(target))
            * self.water_kilograms
            + self.taken_by_grain(target);
        if self.grain.is_empty() || spared < 0.0 {
            return None;
        }
        let grain = self.grain.iter().fold(Curve::default(), |sum, body| {
            sum.plus(body.heat, body.kilograms)
        });
        // Where colder would do, thawed is enough.
        Some(grain.reached(target, -spared).max(0.0))
    }
}

fn mass_of(bodies: &[Body]) -> f64 {
    bodies.iter().map(|body| body.kilograms).sum()
}

/// Part ÷ whole.
pub(super) fn ratio(part: Mass, whole: Mass) -> f64 {
    (part / whole).get::<unit_ratio>()
}
