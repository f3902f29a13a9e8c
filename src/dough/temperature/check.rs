//! What is refused before any sum is done.

use super::Water;
use super::request::{Heat, HydrationHeat, Ingredient, MixingHeat, Request};
use crate::heat::freezing;
use crate::quantity::bounds::{self, Bounds};
use crate::quantity::{Problem, mass};
use uom::si::f64::Mass;

const fn range(what: &'static str, unit: &'static str, low: f64, high: f64) -> Bounds {
    Bounds {
        what,
        unit,
        low,
        high,
        open: false,
    }
}

/// Doughs that are wanted or measured. Wider than any baker works; our choice.
pub const DOUGH: Bounds = range("dough temperature", "°C", 2.0, 45.0);
/// Chen's enthalpies begin at −40 °C, and nothing goes into a dough boiling.
pub const INGREDIENT: Bounds = range("temperature of an ingredient", "°C", -40.0, 100.0);
/// Water from the tap; our choice.
pub const TAP: Bounds = range("tap water", "°C", 0.0, 60.0);
const POURED: Bounds = range("water temperature", "°C", 0.0, 100.0);
const ICE: Bounds = range("ice", "°C", -40.0, 0.0);
/// Rooms that somebody bakes in; our choice.
pub const ROOM: Bounds = range("room temperature", "°C", -20.0, 50.0);
/// Highest a water limit can sensibly be: the water that doughs are scalded with boils.
const YEAST_LIMIT: Bounds = range("hottest water allowed", "°C", 20.0, 100.0);
/// From bowl and room that take heat up to mixers more powerful than any; our choice.
pub(super) const MIXING_HEAT: Bounds = range("mixing heat per kg of dough", "kJ/kg", -20.0, 60.0);
/// The same as a warming of the dough.
pub const RISE: Bounds = range("rise by mixing", "kelvin", -7.0, 20.0);
const FRICTION: Bounds = range("friction factor", "kelvin", -60.0, 80.0);
const HYDRATION: Bounds = range("heat of hydration", "kJ/kg", 0.0, 50.0);
/// From metals to a little above water.
const SPECIFIC: Bounds = range("specific heat", "kJ/(kg K)", 0.3, 4.5);

/// Water that flour and dough keep unfrozen is about 0.3 of their dry mass (from memory), so up to
/// this much water ÷ mass there is no ice to calculate with.
const FREEZES_ABOVE: f64 = 0.25;

pub(super) fn request(request: &Request) -> Result<(), Problem> {
    DOUGH.check(request.target_celsius)?;
    TAP.check(request.tap_celsius)?;
    ICE.check(request.ice_celsius)?;
    YEAST_LIMIT.check(request.yeast_limit_celsius)?;
    if let Some(room) = request.room_celsius {
        ROOM.check(room)?;
    }
    if let Some(friction) = request.friction_kelvin {
        FRICTION.check(friction)?;
    }
    match request.mixing_heat {
        MixingHeat::PerDough(heat) => MIXING_HEAT.check(heat)?,
        MixingHeat::Rise(kelvin) => RISE.check(kelvin)?,
    };
    if let HydrationHeat::PerFlour(heat) | HydrationHeat::PerDough(heat) = request.hydration_heat {
        HYDRATION.check(heat)?;
    }
    let plain = [&request.flour, &request.preferments, &request.others];
    for part in plain.into_iter().flatten() {
        ingredient(part)?;
    }
    for grain in &request.grain {
        some_mass(grain.mass, "wet grain")?;
        INGREDIENT.check(grain.celsius)?;
        bounds::MOISTURE.check(grain.moisture.percent())?;
    }
    if request.flour.is_empty() && request.grain.is_empty() && request.preferments.is_empty() {
        return Err(Problem::new("a dough has no flour, grain or preferment"));
    }
    some_mass(request.water, "water to be tempered")
}

fn ingredient(part: &Ingredient) -> Result<(), Problem> {
    some_mass(part.mass, "an ingredient")?;
    INGREDIENT.check(part.celsius)?;
    match part.heat {
        Heat::Specific(value) => SPECIFIC.check(value).map(|_| ()),
        Heat::Composition(composition)
            if part.celsius < freezing::FREEZING_POINT_CELSIUS
                && composition.water() > FREEZES_ABOVE =>
        {
            Err(Problem::new(format!(
                "an ingredient with {:.0}% water is frozen at {} °C: only grain is calculated frozen",
                composition.water() * 100.0,
                part.celsius
            ))
            .hint("let it thaw first"))
        }
        Heat::Composition(_) => Ok(()),
    }
}

/// Water as poured.
pub(super) fn water(water: &Water) -> Result<(), Problem> {
    match *water {
        Water::Tempered { celsius } => POURED.check(celsius).map(|_| ()),
        Water::WithIce { ice, tap_water, .. } => {
            // Either may be nothing, not both.
            for part in [ice, tap_water] {
                if part != Mass::default() {
                    some_mass(part, "ice or tap water")?;
                }
            }
            some_mass(ice + tap_water, "ice and tap water")
        }
    }
}

fn some_mass(mass: Mass, what: &str) -> Result<(), Problem> {
    if mass == Mass::default() {
        return Err(Problem::new(format!("{what} weighs nothing")).hint("write it like 500g"));
    }
    bounds::MASS.check(mass::grams(mass) / 1000.0).map(|_| ())
}
