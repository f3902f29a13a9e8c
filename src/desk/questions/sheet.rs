//! The page of one bake for the bench.

use crate::desk::dough_lots::{Dough, GivenScales};
use crate::desk::dough_temperatures::GivenTemperatures;
use crate::desk::unshown::Unshown;
use crate::desk::{
    Answer, Desk, Notice, fit_places, learned_mixing_heat, learned_thirst, promised_dough,
    promises, thawing,
};
use crate::dough::batch::warmth;
use crate::dough::doneness;
use crate::dough::house::Work;
use crate::dough::thirst::ThirstRule;
use crate::grain::{Evidence, Form, Kind, estimate};
use crate::planning::condition::Condition;
use crate::quantity::{Instant, Zone};
use crate::report::LotAnswer;
use crate::report::bake::BakeAnswer;
use crate::report::sheet::{SheetAnswer, SheetDraw, StillTo};
use uom::si::f64::Mass;

/// Whose sheet is asked for.
pub struct SheetOf<'a> {
    /// The bake's code.
    pub bake: &'a str,
    /// Whether the thirst of the grain counts.
    pub thirst: ThirstRule,
    /// Scales, where they are not those of the house.
    pub scales: GivenScales,
    /// Temperatures that are known.
    pub temperatures: GivenTemperatures,
}

impl Desk {
    /// What to weigh, the water and the timetable of a bake that is still to come.
    pub fn sheet(&self, request: &SheetOf<'_>) -> anyhow::Result<Answer<SheetAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let bake = view.bake(request.bake)?;
        bake.refuse_ended()?;
        let planned = BakeAnswer::of(bake)?;
        let setting = &planned.bake.setting;
        let formula = planned.needs.formula.clone();
        let mixing = learned_mixing_heat::rise(view, &formula)?;
        let dough = Dough {
            thirst: request.thirst,
            ..Dough::of(setting, &formula)
        };
        let now = self.as_of()?;
        let at = planned.needs.grain_at().max(now);
        let mut notices = Vec::new();
        let judged = (at, Unshown::CountedOn(now));
        let found = promised_dough::find(view, &planned, dough, judged)?;
        notices.extend(found.notice);
        if !found.left_to.is_empty() {
            notices.push(Notice::LeftToEarlierBakes(found.left_to));
        }
        let (lots, dough) = (found.lots, found.dough);
        if !lots.answers.is_empty() && lots.are_short() {
            let short = lots.mixture.short;
            notices.push(if dough.is_all_there_is {
                Notice::WeightsOfWhatIsThere(short)
            } else {
                Notice::LotsFallShort(short)
            });
        }
        notices.extend(lots.of_other_forms(&formula));
        // Without a lot the weights are those of grain as wet as any may be, and the sheet asks for one.
        let (moisture, from) = if lots.answers.is_empty() {
            let form = formula.grain.form.unwrap_or(Form::Whole);
            (
                estimate::default_moisture(form, Kind::Mashed),
                Evidence::PublishedDefault.as_key().to_owned(),
            )
        } else {
            (lots.mixture.moisture, lots.moisture_from())
        };
        let (house, plan) = (view.house()?, view.accepted_plan()?);
        let scales = request.scales.in_house(&house);
        let learned = learned_thirst::of_grain(view, &lots.answers)?;
        let dough = Dough {
            thirst: dough.thirst.narrowed(learned),
            ..dough
        };
        let batch = dough.weights(moisture, &lots.forms(), scales)?;
        let draws = lots
            .on_the_scale(&batch, scales)
            .map(|drawn| {
                let lot = &drawn.0.lot;
                let conditions = lots.conditions.get(&lot.code).cloned().unwrap_or_default();
                let still_to = found.still_to.get(&(lot.code, lot.form)).copied();
                let house = (&house.work, self.zone());
                let grain_at = planned.needs.grain_at();
                draw(drawn, (conditions, still_to), grain_at, house)
            })
            .collect::<Vec<SheetDraw>>();
        let most_lots = setting.most_lots.map_or(usize::MAX, |most| most as usize);
        let batch = lots.within_what_is_left(batch, scales);
        let known = lots.known_by(view.about(), &house, planned.needs.grain_at());
        let warmth = request
            .temperatures
            .temperatures(&formula, &known)?
            .map(|temperatures| warmth::work_out(&batch, &temperatures, mixing));
        let sheet = SheetAnswer {
            bake: planned.bake.code.to_string(),
            version: setting.formula.version,
            allergens: formula.allergens().and(lots.allergens()),
            free_of: setting.free_of.clone(),
            pieces: setting.pieces,
            piece: setting.piece.mass(),
            firm: setting.firm,
            is_left_out: plan.is_some_and(|plan| promises::is_left_out(&plan, &planned)),
            note: setting.note.clone(),
            book: view.about().name.clone(),
            fridge: fit_places::fridge(view, self.now)?,
            put_together: draws.len() > most_lots,
            draws,
            moisture_from: from,
            drying: lots.drying(),
            short: if lots.answers.is_empty() {
                Mass::default()
            } else {
                lots.mixture.short
            },
            moisture_standard: moisture.standard,
            thirst: request.thirst,
            scale: request.scales.coarse,
            given: request.temperatures.of_what_goes_in(),
            missing: request.temperatures.missing(&formula, &known),
            night: house.night,
            core: doneness::core(house.altitude_metres)?,
            printed_at: self.now,
            formula,
            batch,
            warmth,
            timetable: planned.needs.timetable,
        };
        let cautions = sheet.cautions();
        Ok(Answer::new(sheet, cautions).with_notices(notices))
    }
}

fn draw(
    (answer, wet): (&LotAnswer, Mass),
    (conditions, still_to): (Vec<Condition>, Option<StillTo>),
    grain_at: Instant,
    house: (&Work, &Zone),
) -> SheetDraw {
    // Nobody thaws what may not be used then.
    let is_frozen =
        thawing::lies_in_freezer(answer.place.as_ref()) && answer.keeping.verdict.may_be_used();
    let is_thawed_first = is_frozen || matches!(still_to, Some(StillTo::Freeze(_)));
    let out = thawing::out_by(house, answer.depth, grain_at).filter(|_| is_thawed_first);
    let thaw_by = out.filter(|by| thawing::lasts(&answer.keeping, house.1, *by, grain_at));
    SheetDraw {
        lot: answer.lot.code.to_string(),
        wet,
        verdict: answer.keeping.verdict,
        keep_until: answer.keeping.keep_until,
        conditions,
        place: answer.place.as_ref().map(|(name, _)| name.clone()),
        still_to,
        thaw_by,
        thaw_latest: thaw_by.map(|_| thawing::latest(house.0, answer.depth, grain_at)),
        only_frozen: is_frozen && thaw_by.is_none(),
        spoiled_part: answer.spoiled_part,
        form: answer.lot.form,
        may_scald: answer.may_scald,
    }
}
