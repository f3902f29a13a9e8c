//! How warm the water must be for a dough to come out at the temperature wanted, by heat balance.
//!
//! Every part of the dough counts with its mass and its specific heat, and frozen grain with the
//! ice in it, so a little very cold grain is not overlooked as it is by the usual rule of three or
//! four temperatures. Temperatures are °C, heats kJ, specific heats kJ/(kg K). Equations, symbols
//! and sources: `docs/models/dough_temperature.md`.
//!
//! Deliberately absent: heat that bowl and room take or give while mixing. It is part of the mixing
//! heat once that has been measured.

mod balance;
pub mod check;
pub mod factor_rule;

mod ice;
mod request;

pub use crate::heat::properties::{Composition, specific_heat, wet_grain};
pub use factor_rule::{FactorRule, Why};
pub use request::{Grain, Heat, HydrationHeat, Ingredient, MixingHeat, Request};

use crate::quantity::Problem;
use balance::Balance;
use chrono::Duration;
use uom::si::f64::Mass;

/// Hottest water that may meet yeast, °C. Judgement: no figure for water that is poured on flour with yeast in it
/// was found. What is known is a temperature for soaking active dry yeast, 105 °F to 110 °F or 40.6 °C to 43.3 °C
/// (US Armed Forces Recipe Service, card D-10), taken here for every kind of yeast.
pub const YEAST_LIMIT_CELSIUS: f64 = 43.0;
/// Ice that melts, °C.
pub const MELTING_ICE_CELSIUS: f64 = 0.0;
/// A household freezer and what comes out of it, °C (common practice, no source).
pub const FREEZER_CELSIUS: f64 = -18.0;
/// Heat that flour gives off as it takes up water, kJ per kg of flour of 11 % to 12 % moisture;
/// less for moister flour. 6.5 Btu/lb is the trade's figure; Çengel & Boles, Thermodynamics, 8th
/// edition, problem 5-157 has 15 kJ/kg but takes it per kg of dough. First measured by Daniels,
/// Kepner & Murdick 1920, Journal of Industrial and Engineering Chemistry 12:760–763, whose figures
/// were not to be had.
pub const HEAT_OF_HYDRATION: f64 = 15.0;
/// Difference between balance and rule that a baker would feel in the dough's rise, K. Our choice.
const WORTH_A_LINE_KELVIN: f64 = 2.0;
/// No water is hotter.
const BOILING_CELSIUS: f64 = 100.0;

/// The water that brings a dough to the temperature wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterPlan {
    /// How to pour it.
    pub water: Water,
    /// What the usual rule says; nothing if the room's temperature is not known.
    pub factor_rule: Option<FactorRule>,
}

/// The water of a dough, as it goes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Water {
    /// All of it at one temperature.
    Tempered {
        /// °C.
        celsius: f64,
    },
    /// Tap water is too warm: part of the water goes in as ice.
    WithIce {
        /// Ice.
        ice: Mass,
        /// Water from the tap.
        tap_water: Mass,
        /// Water chilled to this would do without ice, °C; nothing where it would have to be ice.
        chilled_celsius: Option<f64>,
    },
}

/// Why no water brings the dough to the temperature wanted.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// The water would be hotter than what is taken for yeast.
    TooHot(Box<TooHot>),
    /// Even with all its water as ice the dough is too warm.
    NotEnoughWaterForIce {
        /// Ice that it would take.
        ice_needed: Mass,
        /// Water there is.
        water: Mass,
        /// The dough with all its water as ice, °C.
        coldest_dough_celsius: f64,
    },
    /// The request makes no dough.
    Other(Problem),
}

impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Self {
        Self::Other(problem)
    }
}

/// Why the water would be too hot, and ways out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TooHot {
    /// Water that the dough would need, °C; nothing where boiling water is not enough.
    pub needed_celsius: Option<f64>,
    /// Hottest water allowed, °C.
    pub limit_celsius: f64,
    /// The dough that water at the limit makes, °C; nothing where ice is left in it.
    pub dough_celsius: Option<f64>,
    /// Thawed grain of at least this temperature does with water at the limit, °C; nothing where
    /// there is no grain or grain as warm as the dough would not help.
    pub grain_at_least_celsius: Option<f64>,
    /// What to thaw; nothing where no grain is frozen.
    pub thaw: Option<Thaw>,
    /// What the usual rule says, which does not see the grain.
    pub factor_rule: Option<FactorRule>,
}

/// Frozen grain to thaw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thaw {
    /// Frozen grain in all.
    pub grain: Mass,
    /// The ice in it.
    pub ice: Mass,
    /// How long before mixing it goes to the fridge.
    pub lead: Duration,
}

/// How warm a dough comes out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outcome {
    /// Everything at this temperature, °C.
    Mixed {
        /// °C.
        celsius: f64,
    },
    /// There is not enough heat to bring the dough above 0 °C: ice is left in it.
    IceLeft,
}

/// Works out the water, or says why there is none.
pub fn water_temperature(request: &Request) -> Result<WaterPlan, Refusal> {
    check::request(request)?;
    let balance = Balance::of(request);
    let asked = balance.water_heat_asked(request.target_celsius);
    let needed = balance.water.reached(0.0, asked);
    let factor_rule = factor_rule::beside(request, &balance, needed);
    if needed > request.yeast_limit_celsius {
        let at_limit = balance.water.heat(0.0, request.yeast_limit_celsius);
        let dough = balance.celsius_with_water_heat(at_limit);
        return Err(Refusal::TooHot(Box::new(TooHot {
            needed_celsius: Some(needed).filter(|needed| *needed <= BOILING_CELSIUS),
            limit_celsius: request.yeast_limit_celsius,
            dough_celsius: Some(dough).filter(|dough| *dough > MELTING_ICE_CELSIUS),
            grain_at_least_celsius: balance
                .coldest_grain_that_does(request.target_celsius, request.yeast_limit_celsius),
            thaw: thaw(request),
            factor_rule,
        })));
    }
    let water = if needed >= request.tap_celsius {
        Water::Tempered { celsius: needed }
    } else {
        with_ice(request, &balance, asked, needed)?
    };
    Ok(WaterPlan { water, factor_rule })
}

fn with_ice(
    request: &Request,
    balance: &Balance,
    asked: f64,
    needed: f64,
) -> Result<Water, Refusal> {
    let tap = balance.water.heat(0.0, request.tap_celsius);
    let melting = ice::melting_heat(request.ice_celsius);
    let share = ice::ice_share(tap, asked, melting);
    let ice = request.water * share;
    if share > 1.0 {
        return Err(Refusal::NotEnoughWaterForIce {
            ice_needed: ice,
            water: request.water,
            coldest_dough_celsius: balance.celsius_with_water_heat(-melting),
        });
    }
    Ok(Water::WithIce {
        ice,
        tap_water: request.water - ice,
        chilled_celsius: Some(needed).filter(|needed| *needed >= 0.0),
    })
}

fn thaw(request: &Request) -> Option<Thaw> {
    let frozen = request
        .grain
        .iter()
        .filter(|grain| grain.is_frozen())
        .map(|grain| (grain.mass, grain.mass * grain.ice_fraction()));
    let (grain, ice) = frozen.fold(
        (Mass::default(), Mass::default()),
        |(grain, ice), (more_grain, more_ice)| (grain + more_grain, ice + more_ice),
    );
    (grain > Mass::default()).then_some(Thaw {
        grain,
        ice,
        lead: request.thaw.lead(),
    })
}

/// How warm the dough of `request` comes out with this water, whatever its target.
///
/// A mixing heat given as a rise is that of the dough at its target.
pub fn dough_temperature(request: &Request, water: &Water) -> Result<Outcome, Problem> {
    check::request(request)?;
    check::water(water)?;
    let balance = Balance::of(request);
    let celsius = balance.celsius_with_water_heat(water_heat(request, &balance, water));
    // Below this something would have to freeze, which a sum of specific heats cannot see.
    Ok(if celsius > MELTING_ICE_CELSIUS {
        Outcome::Mixed { celsius }
    } else {
        Outcome::IceLeft
    })
}

/// Heat of the water as it goes in, kJ per kg above liquid water at 0 °C.
fn water_heat(request: &Request, balance: &Balance, water: &Water) -> f64 {
    match *water {
        Water::Tempered { celsius } => balance.water.heat(0.0, celsius),
        Water::WithIce { ice, tap_water, .. } => {
            let share = balance::ratio(ice, ice + tap_water);
            balance.water.heat(0.0, request.tap_celsius) * (1.0 - share)
                - ice::melting_heat(request.ice_celsius) * share
        }
    }
}

/// The mixing heat that a measured dough temperature shows, kJ per kg of dough: what mixing, bowl
/// and room together gave. Below zero where they took more than mixing gave.
///
/// The mixing heat that `request` holds does not matter. Refused where no mixer explains the
/// measurement, so that a typing error is not learnt.
pub fn mixing_heat_from(
    request: &Request,
    water: &Water,
    measured_celsius: f64,
) -> Result<f64, Problem> {
    let mut unmixed = request.clone();
    unmixed.mixing_heat = MixingHeat::PerDough(0.0);
    check::request(&unmixed)?;
    check::water(water)?;
    check::DOUGH.check(measured_celsius)?;
    let balance = Balance::of(&unmixed);
    let brought = water_heat(&unmixed, &balance, water);
    let missing = balance.water_heat_asked(measured_celsius) - brought;
    let per_dough = missing * balance.water_kilograms / balance.dough_kilograms;
    // No thermometer tells more than a tenth of it.
    let shown = (per_dough * 10.0).round() / 10.0;
    check::MIXING_HEAT
        .check(shown)
        .map(|_| per_dough)
        .map_err(|problem| {
            problem
                .within(format!("a dough of {measured_celsius} °C"))
                .hint("check the temperatures that were written down")
        })
}

#[cfg(test)]
mod tests;
