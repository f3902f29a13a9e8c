//! The answer to `treat --plan`: what drying or pressing to a moisture takes.

use crate::grain::Step;
use crate::grain::drying::{DRYERS, Dryer, Removal, least_heat};
use crate::keeping::{Assessment, RuleSet, Verdict};
use crate::quantity::{Milligrams, Temperature, Uncertain, WetBasis};
use uom::si::f64::Energy;

/// What it takes.
#[derive(Debug, Clone)]
pub struct PlanAnswer {
    /// What is planned.
    pub step: Step,
    /// The lot, if one was named.
    pub lot: Option<String>,
    /// Wet grain.
    pub wet: Milligrams,
    /// Its moisture.
    pub moisture: Uncertain,
    /// Where that comes from.
    pub from: &'static str,
    /// The moisture to come to.
    pub to: WetBasis,
    /// Water and product.
    pub removal: Removal,
    /// Smallest step of the scale on which the product is weighed.
    pub scale: Milligrams,
    /// Heat, where water is dried off.
    pub heat: Option<Heat>,
    /// What it means for the clock, of a lot.
    pub warm: Option<Warm>,
}

/// Heat to dry water off.
#[derive(Debug, Clone)]
pub struct Heat {
    /// How warm it is dried.
    pub at: Temperature,
    /// The least that is needed.
    pub least: Energy,
    /// What dryers use: from, to.
    pub used: Vec<(Dryer, Energy, Energy)>,
}

/// Warm time of a lot that is treated.
#[derive(Debug, Clone)]
pub struct Warm {
    /// What the clock says now.
    pub keeping: Assessment,
    /// Minutes above the cold limit so far, and at most for its life.
    pub so_far: i64,
    /// At most, for the lot's life.
    pub most: i64,
    /// Minutes that the step takes, where that was said.
    pub takes: Option<i64>,
    /// Whether the step itself is warm.
    pub is_warm: bool,
    /// The text that the limit comes from.
    pub source: String,
}

impl Heat {
    /// For so much water, dried at a temperature. Nothing evaporates in open air above 100 °C.
    pub fn new(removal: &Removal, at: Temperature) -> Self {
        let least = least_heat(removal.water.best, at.degrees_celsius().min(100.0));
        Self {
            at,
            least,
            used: DRYERS
                .iter()
                .map(|dryer| {
                    let (low, high) = dryer.energy(removal.water.best, least);
                    (*dryer, low, high)
                })
                .collect(),
        }
    }
}

impl Warm {
    /// What a step at a temperature costs a lot that has been judged so.
    pub fn new(
        keeping: Assessment,
        rules: &RuleSet,
        at: Option<Temperature>,
        takes: Option<u32>,
    ) -> Self {
        Self {
            so_far: keeping.warm_minutes,
            most: rules.warm.past_from.num_minutes(),
            takes: takes.map(i64::from),
            is_warm: at.is_none_or(|at| !rules.cold.limit.at_or_below(at)),
            source: rules.warm.source.clone(),
            keeping,
        }
    }

    /// Minutes that are left for it.
    pub fn left(&self) -> i64 {
        (self.most - self.so_far).max(0)
    }

    /// Whether the grain would be past before the step is over.
    pub fn ends_past(&self) -> bool {
        self.keeping.verdict == Verdict::Past
            || (self.is_warm && self.takes.is_some_and(|takes| takes >= self.left()))
    }
}
