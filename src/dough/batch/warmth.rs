//! The water temperature of a batch: its weights and temperatures as a heat balance.
//!
//! Only the final dough is calculated. An earlier stage comes into it as one mixture at one temperature. The
//! weights are those at the estimated moisture, so the water is what the dough takes at best estimate, without
//! the water for the grain's thirst. Assumptions: `docs/models/dough_temperature.md`, "What a batch fills in".

use super::{Batch, Line, LineKind};
use crate::dough::formula::{IngredientKind, StageKind, Yeast};
use crate::dough::house::Thaw;
use crate::dough::mixing_heat::MixingRise;
use crate::dough::temperature::{
    self, Composition, Grain, Heat, HydrationHeat, Ingredient, MELTING_ICE_CELSIUS, MixingHeat,
    Outcome, Refusal, Request, Water, WaterPlan, YEAST_LIMIT_CELSIUS, wet_grain,
};
use crate::heat::properties::{
    ALL_PURPOSE_FLOUR, BREAD_FLOUR, DRY_YEAST, FRESH_YEAST, MEDIUM_RYE_FLOUR, OIL, PURE_WATER,
    SALT, SUGAR, SUNFLOWER_SEED, WHOLE_WHEAT_FLOUR,
};
use crate::quantity::{Milligrams, Problem, WetBasis};
use uom::si::f64::Mass;
use uom::si::mass::gram;
use uom::si::ratio::ratio;

/// Ice of less than this is not worth weighing. Our choice.
const LEAST_ICE_GRAMS: f64 = 5.0;
/// Ice of less than this part of the water is not worth weighing: it cools a dough by about half a kelvin
/// (arithmetic: 10 g in 1 kg of tap water at 20 °C take 4.2 kJ, 2.6 kg of dough at 2.8 kJ/(kg K) give 7.3 kJ
/// for each kelvin). Our choice.
const LEAST_ICE_SHARE: f64 = 0.01;

/// How warm the grain of the final dough is.
#[derive(Debug, Clone, PartialEq)]
pub enum GrainTemperature {
    /// All of it, °C.
    Even(f64),
    /// Each lot.
    OfLots(Vec<LotTemperature>),
}

/// A lot of the grain: thawed and dried grain, for example, are not equally warm, and do not take the same heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LotTemperature {
    /// How much of it goes in, beside the other lots.
    pub wet: Mass,
    /// Its moisture.
    pub moisture: WetBasis,
    /// °C.
    pub celsius: f64,
}

/// Temperatures of what goes into the final dough, °C.
#[derive(Debug, Clone, PartialEq)]
pub struct Temperatures {
    /// Water from the tap.
    pub tap: f64,
    /// The room, if it is known; only the usual rule asks for it.
    pub room: Option<f64>,
    /// Flour from the bag, and salt, oil and so on.
    pub flour: f64,
    /// Grain; nothing where an earlier stage takes it.
    pub grain: Option<GrainTemperature>,
    /// Each earlier stage, in the order of the formula.
    pub stages: Vec<f64>,
    /// The dough when mixing ends.
    pub dough: f64,
    /// How long frozen grain thaws in the fridge.
    pub thaw: Thaw,
}

/// The water of the final dough, or why there is none, with what was asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Warmth {
    /// Water from the tap, °C.
    pub tap_celsius: f64,
    /// The dough wanted, °C.
    pub dough_celsius: f64,
    /// By how much mixing warms the dough. Where that is not known nothing is calculated for it and the dough
    /// comes out warmer.
    pub mixing: MixingRise,
    /// The water.
    pub plan: Result<WaterPlan, Refusal>,
}

impl Warmth {
    /// The water that the sheet says to pour: the hottest that yeast takes where the dough comes out too cold even with that.
    /// Nothing where frozen grain is to be thawed first, or where no water makes a dough.
    pub fn to_pour(&self) -> Option<Water> {
        match &self.plan {
            Ok(plan) => Some(plan.water),
            Err(Refusal::TooHot(why)) if why.thaw.is_none() && why.dough_celsius.is_some() => {
                Some(Water::Tempered {
                    celsius: why.limit_celsius,
                })
            }
            Err(_) => None,
        }
    }
}

/// Works out the water temperature of a batch, with what is known of the heat of mixing.
pub fn work_out(batch: &Batch, temperatures: &Temperatures, mixing: MixingRise) -> Warmth {
    Warmth {
        tap_celsius: temperatures.tap,
        dough_celsius: temperatures.dough,
        mixing,
        plan: request(batch, temperatures, mixing)
            .map_err(Refusal::from)
            .and_then(|request| temperature::water_temperature(&request)),
    }
}

/// By how many kelvins mixing warmed a batch whose water had `water` and which came out at
/// `measured_celsius`: what it is warmer than it would have been without any mixing.
///
/// Refused where no mixer explains what was measured.
pub fn rise_measured(
    batch: &Batch,
    temperatures: &Temperatures,
    water: &Water,
    measured_celsius: f64,
) -> Result<f64, Problem> {
    let unmixed = Request {
        mixing_heat: MixingHeat::PerDough(0.0),
        ..request(batch, temperatures, MixingRise::default())?
    };
    // Knows which heats no mixer gives.
    temperature::mixing_heat_from(&unmixed, water, measured_celsius)?;
    match temperature::dough_temperature(&unmixed, water)? {
        Outcome::Mixed { celsius } if celsius <= measured_celsius => Ok(measured_celsius - celsius),
        Outcome::Mixed { celsius } => Err(Problem::new(format!(
            "a dough of {measured_celsius} °C is colder than the {celsius:.1} °C that it would be without any mixing"
        ))
        .hint("check the temperatures that were written down")),
        Outcome::IceLeft => Err(Problem::new(
            "without mixing there would be ice left in this dough, so nothing is learned of the mixer",
        )
        .hint("check the temperatures that were written down")),
    }
}

/// The rise that was measured by a thermometer which showed something else than was written down: without any mixing the
/// dough would have been as warm as it was.
///
/// Refused where no mixer explains it.
pub fn rise_corrected(
    rise: f64,
    (written_celsius, right_celsius): (f64, f64),
) -> Result<f64, Problem> {
    let hint = "check the temperatures that were written down";
    temperature::check::DOUGH
        .check(right_celsius)
        .map_err(|problem| problem.hint(hint))?;
    let corrected = rise + right_celsius - written_celsius;
    if corrected < 0.0 {
        return Err(Problem::new(format!(
            "a dough of {right_celsius} °C is colder than the {:.1} °C that it would be without any mixing",
            written_celsius - rise
        ))
        .hint(hint));
    }
    temperature::check::RISE
        .check(corrected)
        .map_err(|problem| {
            problem
                .within(format!("a dough of {right_celsius} °C"))
                .hint(hint)
        })
}

/// The heat balance of the final dough. Refused where no water goes into it that could be tempered.
pub fn request(
    batch: &Batch,
    temperatures: &Temperatures,
    mixing: MixingRise,
) -> Result<Request, Problem> {
    let mut request = Request {
        thaw: temperatures.thaw,
        flour: Vec::new(),
        grain: Vec::new(),
        preferments: Vec::new(),
        others: Vec::new(),
        water: Mass::default(),
        tap_celsius: temperatures.tap,
        target_celsius: temperatures.dough,
        mixing_heat: MixingHeat::Rise(mixing.kelvin.unwrap_or(0.0)),
        // A rise that was measured on a dough holds it.
        hydration_heat: HydrationHeat::InMixingHeat,
        ice_celsius: MELTING_ICE_CELSIUS,
        yeast_limit_celsius: YEAST_LIMIT_CELSIUS,
        room_celsius: temperatures.room,
        friction_kelvin: None,
    };
    let mut ripe = temperatures.stages.iter();
    for stage in &batch.stages {
        let parts = parts(batch, &stage.lines);
        if stage.kind != StageKind::Final {
            let celsius = ripe.next().copied().unwrap_or(temperatures.flour);
            request
                .preferments
                .extend(mixture(&parts, batch.hold_back.moisture, celsius));
            continue;
        }
        for part in parts {
            let ingredient = |composition| Ingredient {
                mass: part.mass,
                celsius: temperatures.flour,
                heat: Heat::Composition(composition),
            };
            match part.what {
                LineKind::Flour => request.flour.push(ingredient(flour_named(part.name))),
                LineKind::Ingredient(kind) => request.others.push(ingredient(kind_of(kind))),
                LineKind::Grain => {
                    let celsius = temperatures
                        .grain
                        .as_ref()
                        .ok_or_else(|| Problem::new("the temperature of the grain is not known"))?;
                    request.grain.extend(grain(batch, part.mass, celsius));
                }
                LineKind::Water => request.water += part.mass,
                // Held back is in the water at best estimate, and the stage came in as a mixture.
                LineKind::HeldBack | LineKind::Stage => {}
            }
        }
    }
    if request.water == Mass::default() {
        return Err(Problem::new(
            "the final dough takes no water of its own, so no water can warm or cool it",
        ));
    }
    Ok(request)
}

/// So much grain of the final dough, lot by lot where each has a temperature of its own.
fn grain(batch: &Batch, mass: Mass, temperature: &GrainTemperature) -> Vec<Grain> {
    match temperature {
        GrainTemperature::Even(celsius) => vec![Grain {
            mass,
            celsius: *celsius,
            moisture: batch.hold_back.moisture,
        }],
        GrainTemperature::OfLots(lots) => {
            let whole = lots.iter().fold(Mass::default(), |sum, lot| sum + lot.wet);
            let of_lot = |lot: &LotTemperature| Grain {
                mass: mass * (lot.wet / whole).get::<ratio>(),
                celsius: lot.celsius,
                moisture: lot.moisture,
            };
            lots.iter().map(of_lot).collect()
        }
    }
}

/// One thing in a stage, at best estimate.
struct Part<'a> {
    what: LineKind,
    name: &'a str,
    mass: Mass,
}

/// What is in a stage at best estimate; nothing that weighs nothing.
fn parts<'a>(batch: &Batch, lines: &'a [Line]) -> Vec<Part<'a>> {
    let takes_grain = lines.iter().any(|line| line.what == LineKind::Grain);
    lines
        .iter()
        .filter(|line| line.what != LineKind::HeldBack)
        .map(|line| Part {
            what: line.what,
            name: &line.name,
            mass: match line.what {
                LineKind::Water if takes_grain => batch.hold_back.add_water,
                _ => line.exact,
            },
        })
        .filter(|part| Milligrams::nearest(part.mass) > Milligrams::ZERO)
        .collect()
}

/// A stage as one ingredient, or nothing where there is nothing in it.
fn mixture(parts: &[Part<'_>], moisture: WetBasis, celsius: f64) -> Option<Ingredient> {
    let composition = |part: &Part<'_>| match part.what {
        LineKind::Grain => wet_grain(moisture),
        LineKind::Flour => flour_named(part.name),
        LineKind::Ingredient(kind) => kind_of(kind),
        LineKind::Water | LineKind::HeldBack | LineKind::Stage => PURE_WATER,
    };
    let (first, others) = parts.split_first()?;
    let start = (first.mass, composition(first));
    let (mass, mixed) = others.iter().fold(start, |(mass, mixed), part| {
        let whole = mass + part.mass;
        let share = (part.mass / whole).get::<ratio>();
        (whole, mixed.mixed_with(&composition(part), share))
    });
    Some(Ingredient {
        mass,
        celsius,
        heat: Heat::Composition(mixed),
    })
}

/// A flour by the words of its name. Their specific heats differ by 2 %, so with flour 5 K colder than the
/// dough a wrong guess moves the water by about a tenth of a kelvin (arithmetic).
fn flour_named(name: &str) -> Composition {
    let name = name.to_lowercase();
    let any = |is: &dyn Fn(&str) -> bool| name.split(|c: char| !c.is_alphanumeric()).any(is);
    if any(&|word| word == "rye") {
        MEDIUM_RYE_FLOUR
    } else if any(&|word| word.starts_with("whole")) {
        WHOLE_WHEAT_FLOUR
    } else if any(&|word| word == "plain" || word == "purpose") {
        ALL_PURPOSE_FLOUR
    } else {
        BREAD_FLOUR
    }
}

/// What stands for a kind of ingredient. All of them are light beside flour and water.
fn kind_of(kind: IngredientKind) -> Composition {
    match kind {
        IngredientKind::Salt => SALT,
        IngredientKind::Yeast(Yeast::Fresh) => FRESH_YEAST,
        IngredientKind::Yeast(Yeast::Instant | Yeast::ActiveDry) => DRY_YEAST,
        IngredientKind::Seeds => SUNFLOWER_SEED,
        IngredientKind::Fat => OIL,
        IngredientKind::Sweetener => SUGAR,
        IngredientKind::Other => BREAD_FLOUR,
    }
}

/// Whether so much ice beside so much water from the tap is worth weighing.
pub fn is_worth_weighing(ice: Mass, tap_water: Mass) -> bool {
    ice.get::<gram>() >= LEAST_ICE_GRAMS
        && (ice / (ice + tap_water)).get::<ratio>() >= LEAST_ICE_SHARE
}

#[cfg(test)]
mod tests;
