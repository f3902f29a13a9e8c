//! JSON of `treat --plan`.

use super::{fraction, grams};
use crate::report::treat_plan::PlanAnswer;
use serde::Serialize;
use uom::si::energy::megajoule;
use uom::si::f64::Energy;

/// `treat --plan --json`.
#[derive(Serialize)]
pub struct Plan {
    step: &'static str,
    lot: Option<String>,
    wet_in_g: f64,
    moisture: super::Moisture,
    to_wet_basis: f64,
    water_g: f64,
    water_low_g: f64,
    water_high_g: f64,
    product_g: f64,
    product_low_g: f64,
    product_high_g: f64,
    heat: Option<Heat>,
    warm_minutes: Option<i64>,
    warm_minutes_left: Option<i64>,
    ends_past: Option<bool>,
}

#[derive(Serialize)]
struct Heat {
    temperature_c: f64,
    least_mj: f64,
    dryers: Vec<Dryer>,
}

#[derive(Serialize)]
struct Dryer {
    dryer: &'static str,
    low_mj: f64,
    high_mj: f64,
    source: &'static str,
}

fn megajoules(energy: Energy) -> f64 {
    (energy.get::<megajoule>() * 1e6).round() / 1e6
}

impl From<&PlanAnswer> for Plan {
    fn from(answer: &PlanAnswer) -> Self {
        let (water, product) = (&answer.removal.water, &answer.removal.product);
        Self {
            step: answer.step.as_str(),
            lot: answer.lot.clone(),
            wet_in_g: answer.wet.grams(),
            moisture: super::Moisture::of(&answer.moisture, answer.from),
            to_wet_basis: fraction(answer.to.get()),
            water_g: grams(water.best),
            water_low_g: grams(water.low),
            water_high_g: grams(water.high),
            product_g: grams(product.best),
            product_low_g: grams(product.low),
            product_high_g: grams(product.high),
            heat: answer.heat.as_ref().map(|heat| Heat {
                temperature_c: heat.at.degrees_celsius(),
                least_mj: megajoules(heat.least),
                dryers: heat
                    .used
                    .iter()
                    .map(|(dryer, low, high)| Dryer {
                        dryer: dryer.name,
                        low_mj: megajoules(*low),
                        high_mj: megajoules(*high),
                        source: dryer.source,
                    })
                    .collect(),
            }),
            warm_minutes: answer.warm.as_ref().map(|warm| warm.so_far),
            warm_minutes_left: answer.warm.as_ref().map(|warm| warm.left()),
            ends_past: answer.warm.as_ref().map(|warm| warm.ends_past()),
        }
    }
}
