//! The weights of a batch, stage by stage, rounded to what the scale shows.

use super::{BatchRequest, LIGHT};
use crate::dough::formula::{IngredientKind, StageKind};
use crate::dough::hold_back::HoldBack;
use crate::quantity::Milligrams;
use uom::si::f64::Mass;

/// One stage's weights.
#[derive(Debug, Clone, PartialEq)]
pub struct StageWeights {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: StageKind,
    /// What goes into it, in mixing order.
    pub lines: Vec<Line>,
}

/// One thing to weigh.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is.
    pub what: LineKind,
    /// Its name.
    pub name: String,
    /// What to weigh, a multiple of the scale's step; of grain all that is left, where that is a part of a step less.
    pub weight: Milligrams,
    /// The step of the scale that it is weighed on.
    pub step: Milligrams,
    /// The exact amount.
    pub exact: Mass,
    /// Baker's percentage: the exact amount ÷ total flour, a fraction.
    pub of_flour: f64,
    /// True percentage: the exact amount ÷ mixed dough, a fraction.
    pub of_dough: f64,
}

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineKind {
    /// Wet grain.
    Grain,
    /// Flour from the bag.
    Flour,
    /// Water to pour, or in the stage of the grain to pour first.
    Water,
    /// Water to hold back.
    HeldBack,
    /// Salt, yeast and the like.
    Ingredient(IngredientKind),
    /// All of an earlier stage.
    Stage,
}

impl Line {
    /// How far rounding moved it, ÷ the exact amount.
    pub fn rounding_error(&self) -> f64 {
        let exact = self.exact.get::<uom::si::mass::milligram>();
        if exact == 0.0 {
            0.0
        } else {
            (self.weight.get() as f64 - exact).abs() / exact
        }
    }
}

impl StageWeights {
    /// What the stage weighs once everything is in it, water held back left out.
    pub fn sum(&self) -> Milligrams {
        let milligrams = self
            .lines
            .iter()
            .filter(|line| line.what != LineKind::HeldBack)
            .map(|line| line.weight.get())
            .sum();
        Milligrams::new(milligrams)
    }
}

/// Weighs every stage out.
pub(super) fn weigh(request: &BatchRequest<'_>, sum: &HoldBack, dough: Mass) -> Vec<StageWeights> {
    let formula = request.formula;
    let total = sum.total_flour;
    let line = |what: LineKind, name: &str, exact: Mass| {
        let exact_milligrams = exact.get::<uom::si::mass::milligram>();
        let is_light = exact_milligrams < (LIGHT * request.scale.get()) as f64;
        let step = match what {
            LineKind::Ingredient(_) if is_light => {
                request.fine_scale.get().min(request.scale.get())
            }
            _ => request.scale.get(),
        };
        let steps = (exact_milligrams / step as f64).round() as i64;
        Line {
            what,
            name: name.to_owned(),
            weight: Milligrams::new(steps * step),
            step: Milligrams::new(step),
            exact,
            of_flour: (exact / total).get::<uom::si::ratio::ratio>(),
            of_dough: (exact / dough).get::<uom::si::ratio::ratio>(),
        }
    };
    // Flour that earlier stages took of each flour.
    let mut taken = vec![Mass::default(); formula.flours.len()];
    let mut weighed: Vec<StageWeights> = Vec::new();
    for (position, stage) in formula.stages.iter().enumerate() {
        let takes_grain = position == formula.grain.stage;
        let mut lines = Vec::new();
        if stage.kind == StageKind::Final {
            for earlier in &weighed {
                let exact = earlier
                    .lines
                    .iter()
                    .filter(|one| one.what != LineKind::HeldBack)
                    .fold(Mass::default(), |sum, one| sum + one.exact);
                let mut whole = line(LineKind::Stage, &earlier.name, exact);
                // What was weighed into the earlier stage is what goes in, whatever the scale's step.
                whole.weight = earlier.sum();
                lines.push(whole);
            }
        }
        if takes_grain {
            lines.push(line(LineKind::Grain, "wet grain", sum.wet));
        }
        match stage.of {
            Some(flour) => {
                let grain = if takes_grain {
                    sum.flour_equivalent
                } else {
                    Mass::default()
                };
                let exact = total * stage.flour - grain;
                taken[flour] += exact;
                if exact > Mass::default() {
                    lines.push(line(LineKind::Flour, &formula.flours[flour].name, exact));
                }
            }
            None => {
                for (flour, named) in formula.flours.iter().enumerate() {
                    let left = total * formula.flour_at(flour, request.share) - taken[flour];
                    // A flour that an earlier stage took whole leaves the noise of floating point.
                    if Milligrams::nearest(left) > Milligrams::ZERO {
                        lines.push(line(LineKind::Flour, &named.name, left));
                    }
                }
            }
        }
        if takes_grain {
            lines.push(line(LineKind::Water, "water, pour first", sum.pour_first));
            lines.push(line(LineKind::HeldBack, "water, hold back", sum.keep_back));
        } else {
            let brought = formula.water_brought(position);
            lines.push(line(
                LineKind::Water,
                "water",
                total * (stage.water - brought),
            ));
        }
        for one in formula
            .ingredients
            .iter()
            .filter(|one| one.stage == position)
        {
            lines.push(line(
                LineKind::Ingredient(one.kind),
                &one.name,
                total * one.share,
            ));
        }
        weighed.push(StageWeights {
            name: stage.name.clone(),
            kind: stage.kind,
            lines,
        });
    }
    weighed
}
