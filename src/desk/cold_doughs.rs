//! Doughs of a plan whose grain is so cold that no water allowed warms them enough.
//!
//! They are worked out as their sheets work them out, with what is known without anybody typing it. Where that is too
//! little, nothing is said of a dough.

use super::dough_lots::{Dough, GivenScales};
use super::dough_temperatures::{GivenTemperatures, KnownTemperatures};
use super::facts::FactFinder;
use super::{learned_mixing_heat, learned_thirst, promised_dough};
use crate::dough::batch::warmth::{self, LotTemperature, Temperatures};
use crate::dough::house::House;
use crate::dough::temperature::Refusal;
use crate::keeping::PlaceKind;
use crate::ledger::{PlaceRecord, View};
use crate::report::plan::{ColdDough, PlanAnswer};

/// Finds them, by the time at which they are mixed.
pub fn find(view: View<'_>, answer: &PlanAnswer) -> anyhow::Result<Vec<ColdDough>> {
    let _still = view.hold_still()?;
    // The book was free while the plan was searched for: of grain that was touched meanwhile nothing is said.
    if view.last_entry()? != answer.ground.last_entry {
        return Ok(Vec::new());
    }
    let (house, places) = (view.house()?, view.places()?);
    let mut finder = FactFinder::new(view)?;
    let mut found = Vec::new();
    for bake in 0..answer.plan.bakes.len() {
        if let Some(temperatures) = temperatures(answer, bake, &house, &places)? {
            found.extend(cold_dough(
                view,
                &mut finder,
                (answer, bake),
                (&house, &temperatures),
            )?);
        }
    }
    Ok(found)
}

/// Temperatures of what goes into the dough of a bake; nothing where none of its grain is cold, where it goes into an earlier
/// stage, or where too little is known.
fn temperatures(
    answer: &PlanAnswer,
    bake: usize,
    house: &House,
    places: &[PlaceRecord],
) -> anyhow::Result<Option<Temperatures>> {
    let Some(grain) = cold_grain(answer, bake, places) else {
        return Ok(None);
    };
    let known = KnownTemperatures {
        tap: house.tap,
        room: house.room,
        grain,
        thaw: house.work.thaw,
    };
    let formula = &answer.ground.bakes[bake].needs.formula;
    let found = GivenTemperatures::default().temperatures(formula, &known)?;
    Ok(found.filter(|found| found.grain.is_some()))
}

/// The lots of a bake, each as its place is stated in which it lies before it is weighed out; nothing where none lies in a
/// fridge, or where one is still to be dried.
fn cold_grain(
    answer: &PlanAnswer,
    bake: usize,
    places: &[PlaceRecord],
) -> Option<Vec<LotTemperature>> {
    let ground = &answer.ground;
    let mut is_cold = false;
    let mut lots = Vec::new();
    for draw in &answer.plan.bakes[bake].draws {
        let name = answer.lies_in(bake, draw)?;
        let place = places.iter().find(|place| place.name == name)?;
        let setting = place.setting_at(ground.situation.now);
        is_cold |= setting.kind == PlaceKind::Fridge;
        lots.push(LotTemperature {
            wet: draw.wet.mass(),
            moisture: ground.moistures[draw.lot].estimate.wet_basis(),
            celsius: setting.stated.degrees_celsius(),
        });
    }
    is_cold.then_some(lots)
}

/// The dough of a bake, where no water allowed warms it enough.
fn cold_dough(
    view: View<'_>,
    finder: &mut FactFinder<'_>,
    (answer, bake): (&PlanAnswer, usize),
    (house, temperatures): (&House, &Temperatures),
) -> anyhow::Result<Option<ColdDough>> {
    let ground = &answer.ground;
    let (of, at) = (&ground.bakes[bake], ground.situation.bakes[bake].grain_at);
    let draws = answer.plan.bakes[bake].draws.iter();
    let draws = draws
        .map(|draw| Ok((finder.answer(ground.lots[draw.lot].clone(), at)?, draw.wet)))
        .collect::<anyhow::Result<Vec<_>>>()?;
    let formula = &of.needs.formula;
    let dough = Dough::of(&of.bake.setting, formula);
    let (lots, dough) = promised_dough::of_draws(view, of, draws, dough)?;
    let learned = learned_thirst::of_grain(view, &lots.answers)?;
    let dough = Dough {
        thirst: dough.thirst.narrowed(learned),
        ..dough
    };
    let scales = GivenScales::default().in_house(house);
    // A dough that cannot be made is told by its sheet.
    let Ok(batch) = dough.weights(lots.mixture.moisture, &lots.forms(), scales) else {
        return Ok(None);
    };
    let batch = lots.within_what_is_left(batch, scales);
    let mixing = learned_mixing_heat::rise(view, formula)?;
    let warmth = warmth::work_out(&batch, temperatures, mixing);
    let Err(Refusal::TooHot(why)) = warmth.plan else {
        return Ok(None);
    };
    Ok(Some(ColdDough {
        bake,
        wanted_celsius: warmth.dough_celsius,
        is_mixing_known: mixing.kelvin.is_some(),
        why: *why,
    }))
}
