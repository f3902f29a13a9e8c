//! The thirst of grain as doughs of the book tell it, worked out from the entries in force when it is asked.

use super::facts::FactFinder;
use super::sheet_time;
use crate::dough::batch::{self, BatchRequest};
use crate::dough::learned_thirst::{self, LearnedThirst, WateredDough};
use crate::grain::clipped;
use crate::grain::dry_matter::{dry_grain, flour_equivalent};
use crate::ledger::{BakeEnd, BakeResult, LotRecord, View};
use crate::quantity::mass::grams;
use crate::quantity::{Milligrams, Uncertain};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use uom::si::f64::Mass;
use uom::si::ratio::ratio;

/// What doughs with grain of the form and the sources of these lots say; nothing where the lots differ in that, where there
/// is no such dough, or where the house holds the published figure.
pub fn of_grain(view: View<'_>, lots: &[LotAnswer]) -> anyhow::Result<Option<LearnedThirst>> {
    let Some(grain) = lots.first() else {
        return Ok(None);
    };
    let is_like = |lot: &LotAnswer| lot.lot.form == grain.lot.form && lot.sources == grain.sources;
    if !lots.iter().all(is_like) || !view.house()?.thirst_is_learned {
        return Ok(None);
    }
    let mut finder = FactFinder::new(view)?;
    let mut doughs = Vec::new();
    for bake in view.watered_bakes(learned_thirst::NEWEST)? {
        // A bake whose formula cannot be read says nothing.
        if let Ok(planned) = BakeAnswer::of(bake) {
            doughs.extend(watered(view, &planned, grain, &mut finder)?);
        }
    }
    Ok(learned_thirst::learned(&doughs))
}

/// What one bake says; nothing where its grain was of another form or source, or where it is not on record for how much
/// grain its sheet said the flour.
fn watered(
    view: View<'_>,
    planned: &BakeAnswer,
    grain: &LotAnswer,
    finder: &mut FactFinder<'_>,
) -> anyhow::Result<Option<WateredDough>> {
    let Some(BakeEnd::Done(result)) = &planned.bake.end else {
        return Ok(None);
    };
    let (Some(poured), false) = (result.measured.water, result.draws.is_empty()) else {
        return Ok(None);
    };
    for (lot, _) in &result.draws {
        if lot.form != grain.lot.form || view.sources_in(lot)? != grain.sources {
            return Ok(None);
        }
    }
    let Some(share) = share_on_sheet(view, planned, result, finder)? else {
        return Ok(None);
    };
    let formula = &planned.needs.formula;
    let (mut wet, mut dry, mut doubt) = (Mass::default(), Mass::default(), Mass::default());
    for (lot, drawn) in &result.draws {
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
    // The share may be less than the formula's lowest, where that was all there was.
    let on_sheet = batch::of_what_is_there(&BatchRequest {
        formula,
        size: planned.bake.setting.size(),
        share,
        moisture: Uncertain::known(moisture.get(), 0.0),
        thirst: None,
        scale: Milligrams::new(1),
        fine_scale: Milligrams::new(1),
    });
    let Ok(on_sheet) = on_sheet.map(|batch| batch.hold_back) else {
        return Ok(None);
    };
    // Flour was weighed as the sheet said, grain as it was drawn.
    let basis = formula.grain.flour_basis;
    let counted = flour_equivalent(dry, basis);
    let slope = 1.0 + formula.hydration;
    let sum =
        on_sheet.add_water + (counted - on_sheet.flour_equivalent) * slope - (wet - on_sheet.wet);
    let total = grams(on_sheet.flour + counted);
    let with = formula
        .grain
        .hydration_with
        .filter(|with| with.form == grain.lot.form);
    Ok(Some(WateredDough {
        formula: formula.name.clone(),
        grain: grams(counted) / total - with.map_or(0.0, |with| with.share),
        more_water: grams(poured.mass() - sum) / total,
        from_moisture: grams(doubt) * slope / (1.0 - basis.get()) / total,
    }))
}

/// A share that is off by no more than this part of it is off by steps of the scale: our choice.
const STEPS_OF_THE_SCALE: f64 = 0.01;

/// The grain share for which the sheet of a bake said flour and water: what was wanted, promised or there. Nothing where the
/// grain of its sheet is not on record.
fn share_on_sheet(
    view: View<'_>,
    planned: &BakeAnswer,
    result: &BakeResult,
    finder: &mut FactFinder<'_>,
) -> anyhow::Result<Option<f64>> {
    let (setting, formula) = (&planned.bake.setting, &planned.needs.formula);
    let whole = batch::dry_grain_wanted(formula, setting.size(), 1.0);
    let (Some(whole), false) = (whole, result.sheet_grain.is_empty()) else {
        return Ok(None);
    };
    let wanted = setting.share_of(formula);
    let is_wanted = |share: f64| (share - wanted).abs() <= STEPS_OF_THE_SCALE * wanted;
    let share = |dry: Mass| (dry / whole).get::<ratio>();
    if is_wanted(share(dry_in(&result.sheet_grain, finder)?)) {
        return Ok(Some(wanted));
    }
    // The sheet counted with the moisture that was known then.
    let sheet = sheet_time::last_known(view, planned, result.at)?;
    let then = view.as_it_stood(sheet, |then| {
        dry_in(&result.sheet_grain, &mut FactFinder::new(then)?)
    })?;
    Ok(Some(if is_wanted(share(then)) {
        wanted
    } else {
        share(then).min(formula.grain.highest)
    }))
}

/// Dry grain in so much of these lots.
fn dry_in(grain: &[(LotRecord, Milligrams)], finder: &mut FactFinder<'_>) -> anyhow::Result<Mass> {
    let mut dry = Mass::default();
    for (lot, wet) in grain {
        dry += dry_grain(wet.mass(), finder.estimate(lot)?.wet_basis());
    }
    Ok(dry)
}
