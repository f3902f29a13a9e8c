//! Writes down what a bake came to, and draws its grain.

mod as_known_then;
mod other_sheet;

use super::far_from_sheet::{CameTo, OnSheet, name_entries};
use super::{lots_named_once, other_grain, part_spoiled};
use crate::desk::dough_lots::{self, Dough, GivenScales, LotsInDough};
use crate::desk::dough_temperatures::GivenTemperatures;
use crate::desk::guard::{self, Compare};
use crate::desk::notice::{NotLearned, TakenBefore};
use crate::desk::unshown::Unshown;
use crate::desk::{
    Answer, Desk, Notice, Refusal, learned_mixing_heat, learned_thirst, promised_dough, sheet_time,
    thawing,
};
use crate::dough::batch::warmth;
use crate::dough::batch::{Batch, LineKind};
use crate::dough::formula::Formula;
use crate::dough::temperature::Water;
use crate::dough::thirst::ThirstRule;
use crate::ledger::{Act, BakeResult, CameOut, LotRecord, Measured, View};
use crate::quantity::{Instant, Milligrams, Problem, Temperature};
use crate::report::bake::BakeAnswer;
use chrono::Duration;

/// What a bake came to; by default nothing is measured or given.
#[derive(Default)]
pub struct FinishBake<'a> {
    /// Its code.
    pub bake: &'a str,
    /// When the dough was mixed; nothing for as planned, or now where that is yet to come.
    pub at: Option<Instant>,
    /// Wet grain that went in, of each lot; nothing for what the sheet says of the lots that the bake names.
    pub used: &'a [(String, Milligrams)],
    /// Whether the thirst of the grain counted on the sheet.
    pub thirst: ThirstRule,
    /// Scales of the sheet, where they are not those of the house.
    pub scales: GivenScales,
    /// Water that the paper said to pour first and to hold back; nothing for what the book says that its sheet said.
    pub said: Option<(Milligrams, Milligrams)>,
    /// Water that really went into the stage of the grain.
    pub water: Option<Milligrams>,
    /// Pieces that came out of the oven.
    pub pieces: Option<u32>,
    /// What they weighed in all.
    pub baked: Option<Milligrams>,
    /// The dough when mixing ended.
    pub dough_temp: Option<Temperature>,
    /// The water that went in; nothing for as the sheet says.
    pub water_temp: Option<Temperature>,
    /// Temperatures of what went in.
    pub temperatures: GivenTemperatures,
    /// How it came out.
    pub came_out: Option<CameOut>,
    /// A note.
    pub note: Option<&'a str>,
}

impl Desk {
    /// Writes down what a bake came to. Grain that was past or unknown when the dough was mixed is refused, unless the book
    /// did not know it yet.
    pub fn finish_bake(&mut self, request: &FinishBake<'_>) -> anyhow::Result<Answer<BakeAnswer>> {
        refuse_no_water(request.said)?;
        let ((done, told), lacking) = self.act(Compare::Promises, |act| {
            let planned = BakeAnswer::of(act.view().bake(request.bake)?)?;
            planned.bake.refuse_ended()?;
            let mix_at = planned.needs.timetable.mix_at;
            let at = request.at.unwrap_or(mix_at.min(act.now()));
            let mut told = Vec::new();
            if request.at.is_none() && at < mix_at {
                told.push(Notice::MixedNow(mix_at));
            }
            let (_, notices) = write_down(act, request, (&planned, at), |_, _| ())?;
            told.extend(notices);
            Ok((act.view().bake(request.bake)?, told))
        })?;
        Ok(self
            .bake_as_it_stands(done)?
            .with_notices(told)
            .with_notices(lacking))
    }
}

/// Refuses a sheet without any water: there is none. To pour first it may say nothing, where the grain may be that wet.
pub(super) fn refuse_no_water(said: Option<(Milligrams, Milligrams)>) -> Result<(), Refusal> {
    match said {
        Some((Milligrams::ZERO, Milligrams::ZERO)) => Err(Refusal::Field {
            field: "said",
            problem: Problem::new("no sheet says 0 g to pour first and 0 g to hold back").hint(
                "type both amounts as the sheet says them, such as 626g,438g; one of them may be 0",
            ),
        }),
        _ => Ok(()),
    }
}

/// Writes down what a bake came to at this moment, with what `keep` has of it otherwise; gives the entry that says that it is done, and
/// what is to be told.
pub(super) fn write_down(
    act: &mut Act<'_>,
    request: &FinishBake<'_>,
    (planned, at): (&BakeAnswer, Instant),
    keep: impl FnOnce(&mut BakeResult, &mut Vec<Notice>),
) -> anyhow::Result<(i64, Vec<Notice>)> {
    let mixed = Mixed {
        at,
        judged_at: guard::handed_out_at(act, at)?,
    };
    let taken = taken_before(act.view(), planned, at)?;
    let (mut result, mut told) =
        as_known_then::as_its_sheet_said(request, planned, act.view(), (mixed, act.now()))
            .map_err(|error| naming(error, taken.as_ref()))?;
    told.extend(taken);
    let of_sheet = (mixed, &result);
    told.extend(other_sheet::told(request, planned, act.view(), of_sheet)?);
    keep(&mut result, &mut told);
    let before = act.view().last_entry()?;
    act.finish_bake(&planned.bake, &result)?;
    // The grain is written first, the bake after it.
    let done = act.view().last_entry()?;
    let draws: Vec<i64> = (before + 1..done).collect();
    name_entries(&mut told, &result.draws, &draws, done);
    let baked = act.view().bake(request.bake)?.not_free();
    told.extend(baked.map(|found| Notice::NotFreeOf(planned.bake.code, found, true)));
    let measured = &result.measured;
    if measured.water.is_none() && measured.dough_milli_celsius.is_none() {
        told.push(Notice::NothingMeasured(done));
    }
    // Who says that it came from the freezer knows it.
    if !request.temperatures.frozen {
        let weighed_out_at = sheet_time::weighed_out_at(planned, at);
        let frozen = thawing::still_frozen(act.view(), &result.draws, weighed_out_at)?;
        told.extend(frozen);
    }
    for (lot, _) in &result.draws {
        told.extend(part_spoiled(act.view(), lot)?);
        told.extend(guard::unusable_then_or_by_now(
            act.view(),
            &draws,
            lot,
            act.now(),
        )?);
    }
    Ok((done, told))
}

/// The mixing of a dough.
#[derive(Clone, Copy)]
pub(super) struct Mixed {
    /// When it was.
    at: Instant,
    /// When it was as far as its grain is judged: a dough of now is mixed after all that is written.
    judged_at: Instant,
}

impl Mixed {
    /// Of a bake that is in the book: judged as of its own time.
    pub(super) const fn in_the_book(at: Instant) -> Self {
        Self { at, judged_at: at }
    }
}

/// Grain that somebody booked for this bake or its formula by itself, this long before or after the mixing: our choice.
pub(super) const ABOUT_THEN: Duration = Duration::hours(12);

/// What was taken for a bake, or for bread of its formula, by an entry of its own.
fn taken_before(
    view: View<'_>,
    planned: &BakeAnswer,
    at: Instant,
) -> anyhow::Result<Option<Notice>> {
    let bake = planned.bake.code;
    let names = [&*bake.to_string(), &planned.bake.setting.formula.name];
    let draws = view.used_for(names, (at - ABOUT_THEN, at + ABOUT_THEN))?;
    let taken = TakenBefore { bake, draws };
    Ok((!taken.draws.is_empty()).then_some(Notice::TakenBefore(taken)))
}

/// A refusal that asks what went in, with what was taken for it before.
fn naming(mut error: anyhow::Error, taken: Option<&Notice>) -> anyhow::Error {
    if let (Some(Refusal::LotsNotNamed { notice, .. }), Some(taken)) =
        (error.downcast_mut::<Refusal>(), taken)
    {
        *notice = Some(Box::new(taken.clone()));
    }
    error
}

/// Works out what is written down by what a book knows, and what is to be said of it.
pub(super) fn result(
    request: &FinishBake<'_>,
    planned: &BakeAnswer,
    view: View<'_>,
    mixed: Mixed,
) -> anyhow::Result<(BakeResult, Vec<Notice>)> {
    let mut told = Vec::new();
    let bake = &planned.bake;
    let formula = &planned.needs.formula;
    let mixing = learned_mixing_heat::rise(view, formula)?;
    let dough = Dough {
        thirst: request.thirst,
        ..Dough::of(&bake.setting, formula)
    };
    let weighed_out_at = sheet_time::weighed_out_at(planned, mixed.judged_at);
    let found = promised_dough::find(view, planned, dough, (weighed_out_at, Unshown::AsKnown))?;
    // What the sheet said it said of the share that promised grain comes to.
    let promised_dough = found.dough;
    let used = used(request, view, (dough, weighed_out_at))?;
    if let Some((_, draws)) = &used {
        told.extend(other_grain::told(view, planned, &found, draws)?);
    }
    let house = view.house()?;
    let scales = request.scales.in_house(&house);
    let weights = |lots: &LotsInDough| -> anyhow::Result<Batch> {
        let learned = learned_thirst::of_grain(view, &lots.answers)?;
        let dough = Dough {
            thirst: request.thirst.narrowed(learned),
            ..promised_dough
        };
        Ok(dough.weights(lots.mixture.moisture, &lots.forms(), scales)?)
    };
    let weighed_out = |lots: &LotsInDough| -> anyhow::Result<(Batch, Draws)> {
        let batch = weights(lots)?;
        let grain = lots.weighed_out(&batch, scales);
        Ok((batch, grain))
    };
    let of_sheet = match used {
        None => as_on_the_sheet(planned, found, &weighed_out, &mut told)?,
        Some(_) => found.lots,
    };
    // The sheet spoke of its own lots, whatever was used. Where it had none, or none that make a dough, what was used stands in.
    let own = || -> anyhow::Result<(&LotsInDough, Batch, Draws)> {
        let (batch, grain) = weighed_out(&of_sheet)?;
        Ok((&of_sheet, batch, grain))
    };
    let (on_sheet, batch, sheet_grain) = match &used {
        None => own()?,
        Some(used) if of_sheet.draws().next().is_none() => standing_in(used, &weights, formula)?,
        Some(used) => match own() {
            Err(error) if Refusal::of(&error).is_some() => standing_in(used, &weights, formula)?,
            own => own?,
        },
    };
    let (lots, draws) = match &used {
        Some((lots, draws)) => (lots, draws.clone()),
        None => (on_sheet, sheet_grain.clone()),
    };
    let of_book = (
        on_the_sheet(formula, &batch, LineKind::Water),
        on_the_sheet(formula, &batch, LineKind::HeldBack),
    );
    let (pour, hold) = request.said.unwrap_or(of_book);
    // Of another sheet nothing else is known: neither its grain, nor the part of its water for thirst, nor how warm that was to be.
    let is_of_book = (pour, hold) == of_book;
    let weighed = Milligrams::new(request.used.iter().map(|(_, wet)| wet.get()).sum());
    let came_to = CameTo {
        grain: used.is_some().then_some(weighed),
        water: request.water,
        pieces: request.pieces,
        baked: request.baked,
        dough_temp: request.dough_temp,
        mixed_at: request.at,
    };
    told.extend(came_to.far_from(&OnSheet {
        grain: on_the_sheet(formula, &batch, LineKind::Grain),
        is_of_book,
        pour,
        hold,
        pieces: bake.setting.pieces,
        dough: Milligrams::nearest(batch.dough),
        mix_at: planned.needs.timetable.mix_at,
    }));
    let mixing_kelvin = match request.dough_temp {
        None => None,
        Some(measured) => {
            // Where nothing was aimed at, what came out is as good an aim as any.
            let aimed = Formula {
                dough_temperature: formula.dough_temperature.or(Some(measured)),
                ..formula.clone()
            };
            let known = |lots: &LotsInDough| lots.known_by(view.about(), &house, weighed_out_at);
            let temperatures =
                |lots: &LotsInDough| request.temperatures.temperatures(&aimed, &known(lots));
            let water = match request.water_temp {
                Some(water) => Some(Water::Tempered {
                    celsius: water.degrees_celsius(),
                }),
                None if !is_of_book => None,
                None => temperatures(on_sheet)?
                    .map(|of_sheet| warmth::work_out(&batch, &of_sheet, mixing))
                    // Of a dough that nobody aimed at, nobody said how much too cold it comes out.
                    .filter(|said| said.plan.is_ok() || formula.dough_temperature.is_some())
                    .and_then(|said| said.to_pour()),
            };
            let learned = match (temperatures(lots)?, water) {
                (None, _) => Err(NotLearned::TemperaturesUnknown(
                    request.temperatures.missing(&aimed, &known(lots)),
                )),
                (_, None) => Err(NotLearned::WaterUnknown),
                (Some(temperatures), Some(water)) => {
                    let celsius = measured.degrees_celsius();
                    warmth::rise_measured(&weights(lots)?, &temperatures, &water, celsius)
                        .map_err(NotLearned::Unexplained)
                }
            };
            told.push(match &learned {
                Ok(kelvin) => Notice::MixingWarmed(*kelvin),
                // The entry is written later, and named then.
                Err(why) => Notice::MixingHeatNotLearned(why.clone(), 0),
            });
            learned.ok()
        }
    };
    let result = BakeResult {
        entry: None,
        at: mixed.at,
        by: None,
        draws,
        sheet_grain: if is_of_book { sheet_grain } else { Vec::new() },
        measured: Measured {
            said_pour: pour,
            said_hold: hold,
            water: request.water,
            pieces: request.pieces,
            baked: request.baked,
            dough_milli_celsius: request.dough_temp.map(Temperature::milli_celsius),
            mixing_kelvin,
            said_thirst: batch.held_for_thirst().filter(|_| is_of_book),
            rating: None,
            came_out: request.came_out,
        },
        note: request.note.map(str::to_owned),
    };
    Ok((result, told))
}

/// What was used in place of the lots of a sheet that had none: the dough of it, and as much grain as that says, in the same
/// parts.
fn standing_in<'a>(
    (lots, used): &'a (LotsInDough, Draws),
    weights: &dyn Fn(&LotsInDough) -> anyhow::Result<Batch>,
    formula: &Formula,
) -> anyhow::Result<(&'a LotsInDough, Batch, Draws)> {
    let batch = weights(lots)?;
    let sheet = on_the_sheet(formula, &batch, LineKind::Grain).grams();
    let together: f64 = used.iter().map(|(_, wet)| wet.grams()).sum();
    let part = |wet: &Milligrams| Milligrams::nearest(wet.mass() * (sheet / together));
    let grain = used
        .iter()
        .map(|(lot, wet)| (lot.clone(), part(wet)))
        .collect();
    Ok((lots, batch, grain))
}

/// What the sheet says in the stage of the grain.
fn on_the_sheet(formula: &Formula, batch: &Batch, what: LineKind) -> Milligrams {
    batch.stages[formula.grain.stage]
        .lines
        .iter()
        .find(|line| line.what == what)
        .map_or(Milligrams::ZERO, |line| line.weight)
}

/// How much of each lot is taken off the shelf.
type Draws = Vec<(LotRecord, Milligrams)>;

/// The lots that are said to be in the dough, with what went in of each; nothing where nobody said it.
fn used(
    request: &FinishBake<'_>,
    view: View<'_>,
    (dough, at): (Dough<'_>, Instant),
) -> anyhow::Result<Option<(LotsInDough, Draws)>> {
    if request.used.is_empty() {
        return Ok(None);
    }
    let records = lots_named_once(view, request.used.iter().map(|(code, _)| code))?;
    let masses = request.used.iter().map(|(_, mass)| *mass);
    let draws: Draws = records.iter().cloned().zip(masses).collect();
    let lots = dough_lots::that_went_in(view, records, dough, (at, Unshown::AsKnown))?;
    Ok(Some((lots.with_masses(&draws), draws)))
}

/// The lots of the sheet, where it says of which the dough was made.
fn as_on_the_sheet(
    planned: &BakeAnswer,
    found: promised_dough::Found<'_>,
    weighed_out: &dyn Fn(&LotsInDough) -> anyhow::Result<(Batch, Draws)>,
    told: &mut Vec<Notice>,
) -> anyhow::Result<LotsInDough> {
    let bake = &planned.bake;
    if let Some(notice @ Notice::PromisedGrainTaken { .. }) = found.notice {
        told.push(notice);
        return Ok(found.lots);
    }
    if bake.setting.lots.is_empty() {
        // Nobody said of which lots it was made: asks, with what the sheet said filled in.
        let filled_in = if found.lots.answers.is_empty() {
            Vec::new()
        } else {
            match weighed_out(&found.lots) {
                // There is no sheet of a dough that cannot be made.
                Err(error) if Refusal::of(&error).is_some() => Vec::new(),
                weighed => weighed?.1,
            }
        };
        return Err(Refusal::LotsNotNamed {
            bake: bake.code,
            notice: found.notice.map(Box::new),
            filled_in: filled_in
                .iter()
                .map(|(lot, wet)| (lot.code, *wet))
                .collect(),
        }
        .into());
    }
    dough_lots::refuse_named_that_may_hold(&bake.setting).map_err(Refusal::of_made_dough)?;
    let lots = found.lots;
    if lots.are_short() {
        return Err(Refusal::NamedLotsFallShort {
            bake: bake.code,
            short: lots.mixture.short,
        }
        .into());
    }
    Ok(lots)
}
