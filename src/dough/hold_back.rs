//! How much water to pour first and how much to hold back, since the grain's moisture and its thirst are
//! uncertain.
//!
//! Equations, symbols and sources: `docs/models/hold_back.md`.

use super::thirst::{Thirst, ThirstWater};
use crate::grain::dry_matter::{carried_water, dry_grain, flour_equivalent, wet_for};
use crate::grain::{clipped, possible_range};
use crate::quantity::{Milligrams, Problem, Uncertain, WetBasis, bounds, mass};
use uom::si::f64::Mass;

/// Dry grain on flour and dry grain together up to which tasters accepted the bread (Prentice &
/// D'Appolonia 1977, Cereal Chemistry 54:1084–1095; Waters et al. 2012, European Food Research and
/// Technology).
pub const ACCEPTED_SHARE: f64 = 0.10;

/// Shares are shown in tenths of a percent; one that is shown as the accepted share is not above it.
const SHOWN_STEP: f64 = 0.001;

/// What is fixed about the grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GrainAmount {
    /// Wet grain, weighed.
    Wet(Mass),
    /// Grain share of total flour, a fraction; the wet amount follows from the moisture.
    Share(f64),
}

impl GrainAmount {
    const fn fixed(self) -> Fixed {
        match self {
            Self::Wet(_) => Fixed::Wet,
            Self::Share(_) => Fixed::Share,
        }
    }
}

/// What is fixed about the flour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FlourAmount {
    /// Flour from the bag.
    Bag(Mass),
    /// Flour and flour-equivalent together.
    Total(Mass),
}

/// A dough asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Request {
    /// How much grain.
    pub grain: GrainAmount,
    /// How much flour.
    pub flour: FlourAmount,
    /// All dough water, carried water included, ÷ total flour; a fraction.
    pub hydration: f64,
    /// Moisture of the grain, a fraction of wet mass, wet basis.
    pub moisture: Uncertain,
    /// Moisture of the flour that dry grain is counted as; 0 is bone-dry.
    pub flour_basis: WetBasis,
    /// Water poured in other stages or brought by other ingredients, ÷ total flour; a fraction.
    pub elsewhere: f64,
    /// The thirst of the grain; nothing where it is left out.
    pub thirst: Option<Thirst>,
}

/// Which of the two was given and does not move with the moisture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fixed {
    /// The wet amount.
    Wet,
    /// The grain share.
    Share,
}

impl Fixed {
    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Wet => "wet",
            Self::Share => "share",
        }
    }
}

/// A dough worked out. Masses are those to weigh at the estimated moisture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoldBack {
    /// Wet grain to weigh.
    pub wet: Mass,
    /// Dry grain in it.
    pub dry: Mass,
    /// Water that it carries into the dough.
    pub carried_water: Mass,
    /// Its dry grain counted as flour.
    pub flour_equivalent: Mass,
    /// Flour from the bag.
    pub flour: Mass,
    /// Flour and flour-equivalent.
    pub total_flour: Mass,
    /// Flour-equivalent ÷ total flour.
    pub grain_share: f64,
    /// All dough water ÷ total flour.
    pub hydration: f64,
    /// All dough water.
    pub total_water: Mass,
    /// Water to add at the estimated moisture.
    pub add_water: Mass,
    /// Water to pour first: what the dough needs if the grain is as wet as it may be and takes up no more water
    /// than flour.
    pub pour_first: Mass,
    /// Water to keep at hand, which the dough needs if the grain is as dry and as thirsty as it may be.
    pub keep_back: Mass,
    /// The part of [`Self::keep_back`] that is for the grain's thirst; the rest is for its moisture.
    pub keep_back_thirst: Mass,
    /// What is likely to go in of [`Self::keep_back`]: at the estimated moisture and the centre of thirst.
    pub likely_back: Mass,
    /// Water that the grain's thirst asks for at the estimated moisture; nothing where it is left out.
    pub thirst: Option<ThirstWater>,
    /// Water that the grain alone brings beyond what the dough takes, were it as wet as it may be.
    pub too_much_at_worst: Mass,
    /// Estimated moisture.
    pub moisture: WetBasis,
    /// Lower end of the moisture's 95 % range.
    pub lower: WetBasis,
    /// Upper end of the moisture's 95 % range.
    pub upper: WetBasis,
    /// What was given.
    pub fixed: Fixed,
    /// Whether dry grain is more of the flour than tasters accepted, see [`ACCEPTED_SHARE`].
    pub above_accepted_share: bool,
}

/// Why there is no such dough.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// The grain brings more water than the dough takes.
    TooWet(Box<WaysOut>),
    /// The request makes no dough.
    Other(Problem),
}

impl HoldBack {
    /// What is held back for the moisture and what for the thirst, as a scale of this step shows them together.
    pub fn parts_on_scale(&self, step: Milligrams) -> [Milligrams; 2] {
        let for_moisture = self.keep_back - self.keep_back_thirst;
        Milligrams::parts_on_scale(self.keep_back, for_moisture, step)
    }
}

impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Self {
        Self::Other(problem)
    }
}

/// What was found in a dough that is too wet, and three ways out.
///
/// Each way out needs exactly no added water at the estimated moisture, so whoever shows it rounds
/// share, moisture and wet grain down and flour up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaysOut {
    /// Wet grain of the request.
    pub wet: Mass,
    /// Its estimated moisture.
    pub moisture: WetBasis,
    /// Water that it would carry in.
    pub carried_water: Mass,
    /// All the water that the dough takes beside what is poured elsewhere.
    pub total_water: Mass,
    /// By how much the carried water is too much.
    pub too_much: Mass,
    /// Flour from the bag.
    pub flour: Mass,
    /// Total flour.
    pub total_flour: Mass,
    /// Grain share of the request, a fraction.
    pub grain_share: f64,
    /// What was given of the grain. With the share fixed, more flour takes more grain and is no way out.
    pub fixed: Fixed,
    /// First way: a grain share of no more than this, with the same flour amount as asked for.
    pub share_at_most: f64,
    /// The wet grain of that share.
    pub wet_at_most: Mass,
    /// Second way: the same dry grain pressed to no more than this moisture.
    pub moisture_at_most: WetBasis,
    /// What the wet grain weighs when pressed to it, if pressing takes out water only.
    pub pressed_wet: Mass,
    /// Third way: the same wet grain with no less than this flour from the bag.
    pub flour_at_least: Mass,
    /// Third way in total flour.
    pub total_flour_at_least: Mass,
}

/// Works out the dough and the water, or says why there is none.
///
/// By the time water is poured grain and flour are weighed, so whatever was fixed, the water to
/// add moves with the true moisture by `−w · (1 + H) ÷ (1 − b)`.
pub fn work_out(request: &Request) -> Result<HoldBack, Refusal> {
    check(request)?;
    let moisture = clipped(request.moisture.value);
    let (lower, upper) = possible_range(&request.moisture);
    let mix = mix(request, moisture)?;
    let add_at = |moisture| mix.water_to_add(moisture, request);
    if too_much(add_at(moisture)) > Mass::default() {
        return Err(Refusal::TooWet(Box::new(ways_out(request, &mix, moisture))));
    }
    let add_water = positive(add_at(moisture));
    let thirst_at = |moisture| mix.thirst(moisture, request);
    // Pour first leaves thirst out, unless there is less of it than the hydration holds.
    let least = |thirst: ThirstWater| thirst.low.min(Mass::default());
    let pour_first = positive(add_at(upper) + thirst_at(upper).map_or(Mass::default(), least));
    let for_moisture = positive(add_at(lower)) - positive(add_at(upper));
    let most = thirst_at(lower).map_or(Mass::default(), |thirst| thirst.high);
    let keep_back = positive(add_at(lower) + most - pour_first);
    let thirst = thirst_at(moisture);
    let likely = add_water + thirst.map_or(Mass::default(), |thirst| thirst.likely) - pour_first;
    Ok(HoldBack {
        wet: mix.wet,
        dry: mix.dry,
        carried_water: carried_water(mix.wet, mix.flour_equivalent),
        flour_equivalent: mix.flour_equivalent,
        flour: mix.flour,
        total_flour: mix.total_flour(),
        grain_share: ratio(mix.flour_equivalent, mix.total_flour()),
        hydration: request.hydration,
        total_water: mix.total_flour() * request.hydration,
        add_water,
        pour_first,
        keep_back,
        keep_back_thirst: keep_back - for_moisture,
        likely_back: positive(likely).min(keep_back),
        thirst,
        too_much_at_worst: too_much(add_at(upper)),
        moisture,
        lower,
        upper,
        fixed: request.grain.fixed(),
        // The margin lets a share typed as exactly 10 % through whatever its rounding.
        above_accepted_share: ratio(mix.dry, mix.dry + mix.flour)
            > ACCEPTED_SHARE + SHOWN_STEP / 2.0,
    })
}

/// Grain and flour to weigh.
struct Mix {
    wet: Mass,
    dry: Mass,
    flour_equivalent: Mass,
    flour: Mass,
}

impl Mix {
    fn total_flour(&self) -> Mass {
        self.flour + self.flour_equivalent
    }

    /// Water still to add to the weighed grain and flour, were the moisture this.
    fn water_to_add(&self, moisture: WetBasis, request: &Request) -> Mass {
        let flour_equivalent = flour_equivalent(dry_grain(self.wet, moisture), request.flour_basis);
        // Water elsewhere was weighed for the estimated flour and does not move any more.
        (self.flour + flour_equivalent) * request.hydration
            - carried_water(self.wet, flour_equivalent)
            - self.total_flour() * request.elsewhere
    }

    /// What the weighed grain takes up beyond flour, were the moisture this.
    fn thirst(&self, moisture: WetBasis, request: &Request) -> Option<ThirstWater> {
        let flour_equivalent = flour_equivalent(dry_grain(self.wet, moisture), request.flour_basis);
        let thirst = request.thirst?;
        Some(thirst.water(flour_equivalent, self.flour + flour_equivalent))
    }
}

fn mix(request: &Request, moisture: WetBasis) -> Result<Mix, Problem> {
    let basis = request.flour_basis;
    match request.grain {
        GrainAmount::Wet(wet) => {
            let dry = dry_grain(wet, moisture);
            let flour_equivalent = flour_equivalent(dry, basis);
            let flour = match request.flour {
                FlourAmount::Bag(flour) => flour,
                FlourAmount::Total(total) => total - flour_equivalent,
            };
            // Less than the book can hold is none; the difference may be rounding noise.
            if Milligrams::nearest(flour) <= Milligrams::ZERO {
                return Err(Problem::new(format!(
                    "wet grain counts as {:.0} g of flour and total flour is {:.0} g: \
                     no flour from the bag is left",
                    mass::grams(flour_equivalent),
                    mass::grams(flour + flour_equivalent),
                ))
                .hint("take less grain or more total flour"));
            }
            Ok(Mix {
                wet,
                dry,
                flour_equivalent,
                flour,
            })
        }
        GrainAmount::Share(share) => {
            let (flour, flour_equivalent) = match request.flour {
                FlourAmount::Bag(flour) => (flour, flour * (share / (1.0 - share))),
                FlourAmount::Total(total) => (total * (1.0 - share), total * share),
            };
            let dry = dry_grain(flour_equivalent, basis);
            Ok(Mix {
                wet: wet_for(dry, moisture),
                dry,
                flour_equivalent,
                flour,
            })
        }
    }
}

/// Solves "water to add = 0" for the share, for the moisture and for the flour.
fn ways_out(request: &Request, mix: &Mix, moisture: WetBasis) -> WaysOut {
    // What the grain may bring is what is not poured elsewhere.
    let hydration = request.hydration - request.elsewhere;
    let total_flour = mix.total_flour();
    let total_water = total_flour * hydration;
    let carried = carried_water(mix.wet, mix.flour_equivalent);
    // Water carried per flour-equivalent; above the hydration, or the dough were not too wet.
    let carried_each = ratio(carried, mix.flour_equivalent);
    let share_at_most = hydration / carried_each;
    let total_of_share = match request.flour {
        FlourAmount::Bag(flour) => flour / (1.0 - share_at_most),
        FlourAmount::Total(total) => total,
    };
    let wet_each = ratio(mix.wet, mix.flour_equivalent);
    let pressed_wet = total_water + mix.flour_equivalent;
    let total_flour_at_least = carried / hydration;
    WaysOut {
        wet: mix.wet,
        moisture,
        carried_water: carried,
        total_water,
        too_much: carried - total_water,
        flour: mix.flour,
        total_flour,
        grain_share: ratio(mix.flour_equivalent, total_flour),
        fixed: request.grain.fixed(),
        share_at_most,
        wet_at_most: total_of_share * (share_at_most * wet_each),
        moisture_at_most: clipped(1.0 - ratio(mix.dry, pressed_wet)),
        pressed_wet,
        flour_at_least: total_flour_at_least - mix.flour_equivalent,
        total_flour_at_least,
    }
}

fn check(request: &Request) -> Result<(), Problem> {
    bounds::HYDRATION.check(request.hydration * 100.0)?;
    bounds::FLOUR_BASIS.check(request.flour_basis.percent())?;
    if !(0.0..request.hydration).contains(&request.elsewhere) {
        return Err(Problem::new(format!(
            "water elsewhere is {:.1} % of total flour: allowed is 0 % to less than the hydration, {:.1} %",
            request.elsewhere * 100.0,
            request.hydration * 100.0
        )));
    }
    bounds::MOISTURE.check(request.moisture.value * 100.0)?;
    bounds::MOISTURE_SD.check(request.moisture.standard * 100.0)?;
    match request.grain {
        GrainAmount::Wet(wet) => some_mass(wet, "wet grain")?,
        GrainAmount::Share(share) => {
            bounds::GRAIN_SHARE.check(share * 100.0)?;
        }
    }
    match request.flour {
        FlourAmount::Bag(flour) => some_mass(flour, "flour"),
        FlourAmount::Total(total) => some_mass(total, "total flour"),
    }
}

fn some_mass(mass: Mass, what: &str) -> Result<(), Problem> {
    if mass == Mass::default() {
        return Err(Problem::new(format!("{what} is nothing")).hint("write it like 500g"));
    }
    bounds::MASS.check(mass::grams(mass) / 1000.0).map(|_| ())
}

fn positive(mass: Mass) -> Mass {
    mass.max(Mass::default())
}

/// By how much the grain brings more water than the dough takes, of the water to add. Less than the book can hold is
/// none; the difference may be rounding noise.
fn too_much(add_water: Mass) -> Mass {
    let over = positive(-add_water);
    if Milligrams::nearest(over) > Milligrams::ZERO {
        over
    } else {
        Mass::default()
    }
}

fn ratio(part: Mass, whole: Mass) -> f64 {
    (part / whole).get::<uom::si::ratio::ratio>()
}

#[cfg(test)]
mod tests;
