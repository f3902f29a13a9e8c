//! The thirst of grain as doughs of the book tell it, worked out from the entries in force when it is asked.

use super::facts::FactFinder;
use super::promises;
use crate::dough::batch::{self, BatchRequest};
use crate::dough::learned_thirst::{self, LearnedThirst, WateredDough};
use crate::grain::dry_matter::{dry_grain, flour_equivalent};
use crate::grain::{Form, clipped};
use crate::ledger::{BakeEnd, BakeRecord, View};
use crate::quantity::mass::grams;
use crate::quantity::{Milligrams, Uncertain};
use crate::report::bake::BakeNeeds;
use uom::si::f64::Mass;

/// What doughs with grain of this form say; nothing where grain of several forms is asked for, where there is no such dough,
/// or where the house holds the published figure.
pub fn of_forms(view: View<'_>, forms: &[Form]) -> anyhow::Result<Option<LearnedThirst>> {
    let is_one = |form: &&Form| forms.iter().all(|one| one == *form);
    let Some(form) = forms.first().filter(is_one) else {
        return Ok(None);
    };
    if !view.house()?.thirst_is_learned {
        return Ok(None);
    }
    let mut finder = FactFinder::new(view)?;
    let mut doughs = Vec::new();
    for bake in view.watered_bakes(learned_thirst::NEWEST)? {
        doughs.extend(watered(&bake, *form, &mut finder)?);
    }
    Ok(learned_thirst::learned(&doughs))
}

/// What one bake says; nothing where its grain was of another form, or its formula cannot be read.
fn watered(
    bake: &BakeRecord,
    form: Form,
    finder: &mut FactFinder<'_>,
) -> anyhow::Result<Option<WateredDough>> {
    let Some(BakeEnd::Done(result)) = &bake.end else {
        return Ok(None);
    };
    let draws = &result.draws;
    let is_of_form = !draws.is_empty() && draws.iter().all(|(lot, _)| lot.form == form);
    let needs = BakeNeeds::of(&bake.setting);
    let (Some(poured), Ok(needs), true) = (result.measured.water, needs, is_of_form) else {
        return Ok(None);
    };
    let mut on_sheet = Mass::default();
    for (lot, wet) in &result.sheet_grain {
        on_sheet += dry_grain(wet.mass(), finder.estimate(lot)?.wet_basis());
    }
    // Where the lots fell short the sheet said more flour than the share of the bake does.
    if !result.sheet_grain.is_empty() && on_sheet < needs.dry_lowest * (1.0 - promises::TOLERANCE) {
        return Ok(None);
    }
    let formula = &needs.formula;
    let (mut wet, mut dry, mut doubt) = (Mass::default(), Mass::default(), Mass::default());
    for (lot, drawn) in draws {
        let estimate = finder.estimate(lot)?;
        wet += drawn.mass();
        dry += dry_grain(drawn.mass(), estimate.wet_basis());
        // Lots of one house share an oven: what is off in one is taken to be off in all.
        doubt += drawn.mass() * estimate.moisture.standard;
    }
    if grams(dry) <= 0.0 {
        return Ok(None);
    }
    let moisture = clipped(1.0 - grams(dry) / grams(wet));
    let planned = batch::work_out(&BatchRequest {
        formula,
        size: bake.setting.size(),
        share: bake.setting.share_of(formula),
        moisture: Uncertain::known(moisture.get(), 0.0),
        thirst: None,
        scale: Milligrams::new(1),
        fine_scale: Milligrams::new(1),
    });
    let Ok(planned) = planned.map(|batch| batch.hold_back) else {
        return Ok(None);
    };
    // Flour was weighed as planned, grain as it was drawn.
    let basis = formula.grain.flour_basis;
    let grain = flour_equivalent(dry, basis);
    let slope = 1.0 + formula.hydration;
    let sum = planned.add_water + (grain - planned.flour_equivalent) * slope - (wet - planned.wet);
    let total = grams(planned.flour + grain);
    let with = formula
        .grain
        .hydration_with
        .filter(|with| with.form == form);
    Ok(Some(WateredDough {
        formula: formula.name.clone(),
        grain: grams(grain) / total - with.map_or(0.0, |with| with.share),
        more_water: grams(poured.mass() - sum) / total,
        from_moisture: grams(doubt) * slope / (1.0 - basis.get()) / total,
    }))
}
