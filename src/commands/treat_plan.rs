//! `treat --plan`: what drying or pressing to a moisture takes, of a lot or of grain with no book at all.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::TreatmentPlan;
use crate::error::usage;
use crate::grain::Step;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, Temperature, WetBasis, bounds};
use crate::render;

/// What was typed of a treatment to plan.
pub struct Wanted {
    /// Dry or press.
    pub step: Step,
    /// The moisture to come to.
    pub to: Percent,
    /// A lot's code.
    pub lot: Option<String>,
    /// The moisture, where there is no lot.
    pub moisture: Option<Percent>,
    /// How much.
    pub wet_in: Option<Milligrams>,
    /// How warm.
    pub temp: Option<Temperature>,
    /// How long.
    pub minutes: Option<u32>,
}

pub fn run(wanted: Wanted, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let to = WetBasis::new(wanted.to.within(&bounds::MOISTURE).map_err(usage)?)?;
    let plan = TreatmentPlan::new(wanted.step, to, wanted.temp, wanted.minutes)?;
    let answer = match (&wanted.lot, wanted.wet_in, wanted.moisture) {
        (Some(lot), wet, _) => errand.desk()?.treatment_of_lot(lot, wet, plan)?,
        (None, Some(wet), Some(moisture)) => {
            let (moisture, from) = typed::moisture(moisture, None).map_err(usage)?;
            plan.of_moisture(wet, moisture, from)?
        }
        (None, ..) => {
            return Err(usage(
                Problem::new("without a lot the grain is not known")
                    .hint("name a lot, or give --wet-in MASS and --moisture PERCENT"),
            ));
        }
    };
    let units = errand.units();
    errand.show(
        &answer,
        |plan| render::json::treat_plan::Plan::from(plan),
        |plan| render::treat_plan::text(plan, units),
    )?;
    Ok(Outcome::Done)
}
