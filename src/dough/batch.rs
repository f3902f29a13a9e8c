//! One dough worked out: every weight of every stage, from whichever amount is fixed.
//!
//! Pure. The grain's moisture comes with its uncertainty, so the stage that takes the grain says how much
//! water to pour first and how much to hold back.

pub mod mixture;
pub mod warmth;
mod weights;

pub use weights::{Line, LineKind, StageWeights};

use super::formula::Formula;
use super::hold_back::{self, FlourAmount, GrainAmount, HoldBack, Refusal, Request};
use super::thirst::Thirst;
use crate::grain::clipped;
use crate::grain::dry_matter::{dry_grain, flour_equivalent};
use crate::quantity::mass::grams;
use crate::quantity::{Milligrams, Problem, Uncertain};
use uom::si::f64::Mass;

/// The amount that a batch is made to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// So many pieces of so much raw dough.
    Pieces {
        /// How many.
        count: u32,
        /// Raw weight of one.
        piece: Mass,
    },
    /// So much mixed dough.
    Dough(Mass),
    /// So much bread, baked and cooled.
    Baked(Mass),
    /// So much flour from the bag.
    Flour(Mass),
    /// So much wet grain.
    Grain(Mass),
}

/// A batch asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatchRequest<'a> {
    /// The dough.
    pub formula: &'a Formula,
    /// How much of it.
    pub size: Size,
    /// Grain share of total flour, a fraction.
    pub share: f64,
    /// Moisture of the grain, wet basis.
    pub moisture: Uncertain,
    /// The thirst of the grain; nothing where it is left out.
    pub thirst: Option<Thirst>,
    /// The smallest step of the scale.
    pub scale: Milligrams,
    /// The smallest step of the scale for yeast and the like: it weighs ingredients lighter than
    /// [`LIGHT`] steps of the other.
    pub fine_scale: Milligrams,
}

/// An ingredient lighter than so many steps of the scale goes on the fine one: rounding would move it by
/// more than 1 % otherwise.
pub const LIGHT: i64 = 50;

/// Total flour of fewer steps of the scale than this cannot be weighed into a dough.
const SMALLEST: f64 = 20.0;

/// A batch worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// Weights, stage by stage, the final dough last.
    pub stages: Vec<StageWeights>,
    /// The water of the stage that takes the grain.
    pub hold_back: HoldBack,
    /// Mixed dough, before anything is lost.
    pub dough: Mass,
    /// Dough that reaches the tins.
    pub divided: Mass,
    /// Bread, baked and cooled.
    pub baked: Mass,
    /// The smallest step of the scale on which it is weighed.
    pub scale: Milligrams,
}

impl Batch {
    /// What is to be weighed of the grain.
    pub fn grain_weight(&self) -> Milligrams {
        let lines = self.stages.iter().flat_map(|stage| &stage.lines);
        let grain = lines.filter(|line| line.what == LineKind::Grain);
        Milligrams::new(grain.map(|line| line.weight.get()).sum())
    }

    /// What the scale shows of the water that is held back for the grain's thirst: all of it, less what it shows of that for
    /// drier grain. Nothing where thirst is left out.
    pub fn held_for_thirst(&self) -> Option<Milligrams> {
        let sum = &self.hold_back;
        sum.thirst
            .as_ref()
            .map(|_| sum.parts_on_scale(self.scale)[1])
    }

    /// Takes so much off what is to be weighed of the grain, and of the stage that takes it: it is not there.
    pub fn weigh_less_grain(&mut self, beyond: Milligrams) {
        let takes_grain =
            |stage: &&StageWeights| stage.lines.iter().any(|line| line.what == LineKind::Grain);
        let Some(name) = self
            .stages
            .iter()
            .find(takes_grain)
            .map(|stage| stage.name.clone())
        else {
            return;
        };
        for line in self.stages.iter_mut().flat_map(|stage| &mut stage.lines) {
            if line.what == LineKind::Grain || (line.what == LineKind::Stage && line.name == name) {
                line.weight = Milligrams::new(line.weight.get() - beyond.get());
            }
        }
    }
}

impl Formula {
    /// Mass of mixed dough, ÷ total flour. Water in ingredients is part of the hydration already.
    pub fn dough_per_flour(&self) -> f64 {
        let others: f64 = self
            .ingredients
            .iter()
            .map(|one| one.share * (1.0 - one.kind.water()))
            .sum();
        1.0 + self.hydration + others
    }

    /// Water that does not pass through the stage that takes the grain, or comes into it with fresh
    /// yeast, ÷ total flour.
    fn water_elsewhere(&self) -> f64 {
        let in_stage = self.stages[self.grain.stage].water;
        self.hydration - in_stage + self.water_brought(self.grain.stage)
    }

    /// Water that ingredients bring into a stage, ÷ total flour.
    pub(super) fn water_brought(&self, stage: usize) -> f64 {
        self.ingredients
            .iter()
            .filter(|one| one.stage == stage)
            .map(|one| one.share * one.kind.water())
            .sum()
    }
}

/// Dry grain that a size asks for at a share, or nothing where the size is a mass of wet grain.
pub fn dry_grain_wanted(formula: &Formula, size: Size, share: f64) -> Option<Mass> {
    if matches!(size, Size::Grain(_)) {
        return None;
    }
    // Total flour does not depend on the moisture, whichever other amount is fixed.
    let total = total_flour(&BatchRequest {
        formula,
        size,
        share,
        moisture: Uncertain::known(0.5, 0.0),
        thirst: None,
        scale: Milligrams::new(1),
        fine_scale: Milligrams::new(1),
    });
    Some(dry_grain(total * share, formula.grain.flour_basis))
}

/// The most water that grain may bring into a dough of this size, or nothing where the size is a mass of wet grain.
/// It is what [`hold_back::work_out`] asks at the estimated moisture: no water to add is left to be negative.
pub fn water_room(formula: &Formula, size: Size) -> Option<Mass> {
    let dry = dry_grain_wanted(formula, size, 1.0)?;
    let total = flour_equivalent(dry, formula.grain.flour_basis);
    Some(total * (formula.hydration - formula.water_elsewhere()).max(0.0))
}

/// Works a batch out, or says why there is none.
pub fn work_out(request: &BatchRequest<'_>) -> Result<Batch, Refusal> {
    let lowest = request.formula.grain.lowest;
    // A share typed as a percentage comes back with the noise of floating point.
    if request.share < lowest - 1e-9 {
        return Err(wrong_share(request).into());
    }
    of_what_is_there(request)
}

/// The same of grain that there is no more of: its share may be less than the formula's lowest.
pub fn of_what_is_there(request: &BatchRequest<'_>) -> Result<Batch, Refusal> {
    let formula = request.formula;
    check(request)?;
    let total_flour = total_flour(request);
    if total_flour < request.scale.mass() * SMALLEST {
        return Err(Problem::new(format!(
            "a batch of {:.1} g of total flour is too small for a scale that shows {} g",
            grams(total_flour),
            request.scale.grams()
        ))
        .hint("ask for more dough, or name a finer scale with --scale")
        .into());
    }
    let hold_back = hold_back::work_out(&Request {
        grain: GrainAmount::Share(request.share),
        flour: FlourAmount::Total(total_flour),
        hydration: formula.hydration,
        moisture: request.moisture,
        flour_basis: formula.grain.flour_basis,
        elsewhere: formula.water_elsewhere(),
        thirst: request.thirst,
    })?;
    let dough = total_flour * formula.dough_per_flour();
    let divided = dough * (1.0 - formula.handling_loss);
    Ok(Batch {
        stages: weights::weigh(request, &hold_back, dough),
        baked: divided * (1.0 - formula.bake_loss),
        hold_back,
        dough,
        divided,
        scale: request.scale,
    })
}

/// Total flour that the fixed amount asks for.
fn total_flour(request: &BatchRequest<'_>) -> Mass {
    let formula = request.formula;
    let per_flour = formula.dough_per_flour();
    let of_divided = |divided: Mass| divided / (1.0 - formula.handling_loss) / per_flour;
    match request.size {
        Size::Pieces { count, piece } => of_divided(piece * f64::from(count)),
        Size::Dough(dough) => dough / per_flour,
        Size::Baked(baked) => of_divided(baked / (1.0 - formula.bake_loss)),
        Size::Flour(flour) => flour / (1.0 - request.share),
        Size::Grain(wet) => {
            let dry = dry_grain(wet, clipped(request.moisture.value));
            flour_equivalent(dry, formula.grain.flour_basis) / request.share
        }
    }
}

fn wrong_share(request: &BatchRequest<'_>) -> Problem {
    let grain = &request.formula.grain;
    Problem::new(format!(
        "grain share is {:.1} %: `{}` takes {:.1} % to {:.1} %",
        request.share * 100.0,
        request.formula.name,
        grain.lowest * 100.0,
        grain.highest * 100.0
    ))
}

fn check(request: &BatchRequest<'_>) -> Result<(), Problem> {
    if request.share > request.formula.grain.highest + 1e-9 {
        return Err(wrong_share(request));
    }
    if matches!(request.size, Size::Pieces { count: 0, .. }) {
        return Err(Problem::new("number of pieces is 0: allowed is 1 or more"));
    }
    if request.scale <= Milligrams::ZERO || request.fine_scale <= Milligrams::ZERO {
        return Err(Problem::new(
            "the scale's smallest step is not more than nothing",
        ));
    }
    Ok(())
}

#[cfg(test)]
mod published;
#[cfg(test)]
mod tests;
