//! What a plan is made from.

use super::facts::FactFinder;
use super::promises;
use crate::dough::timetable;
use crate::keeping::PlaceKind;
use crate::ledger::{BakeSetting, PlaceRecord, View, Which};
use crate::planning::problem::{Bake, Capacity, Costs, Lot, PromiseRule};
use crate::planning::{Situation, grain_colour};
use crate::quantity::{Instant, Milligrams, Problem, Temperature};
use crate::report::LotFacts;
use crate::report::bake::{BakeAnswer, BakeNeeds};
use crate::report::plan::{PlanGround, PromiseInPlan, end_of};
use crate::report::promise::PromisedGrain;

/// What was asked of a plan.
#[derive(Debug, Clone, Copy)]
pub struct PlanOf {
    /// Days to plan for, today counted.
    pub days: u32,
    /// On the lower end of each lot's dry grain.
    pub careful: bool,
    /// How hard promises of the accepted plan hold; nothing where they count for nothing.
    pub promises: Option<PromiseRule>,
}

/// Finds it, all at one moment of the book.
pub fn find(view: View<'_>, now: Instant, request: PlanOf) -> anyhow::Result<PlanGround> {
    let _still = view.hold_still()?;
    let about = view.about();
    let zone = &about.zone;
    let end = end_of(now, request.days, zone);
    let mut finder = FactFinder::new(view)?;
    let facts = finder.on_hand(now)?;
    let places = finder.into_places();
    let work = view.house()?.work;
    let days = zone
        .date(now)
        .iter_days()
        .take_while(|day| *day <= zone.date(end));
    let capacity = at_the_places(Capacity::of(&work, days), &places, now);
    let mut bakes = Vec::new();
    let (mut overdue, mut later) = (Vec::new(), 0);
    for record in view.bakes(Which::Open)? {
        let answer = BakeAnswer::of(record)?;
        match answer.needs.timetable.mix_at {
            mix_at if mix_at < now => overdue.push(answer.bake.code),
            mix_at if mix_at > end => later += 1,
            _ => bakes.push(answer),
        }
    }
    let accepted = view.accepted_plan()?;
    let promises = by_place(&promises::of(view, &facts)?, &facts, &bakes);
    let held = promises.iter().filter(|_| request.promises.is_some());
    let situation = Situation {
        now,
        end,
        zone: zone.clone(),
        rules: about.rules.clone(),
        lots: facts.iter().map(lot).collect::<Result<_, _>>()?,
        bakes: bakes
            .iter()
            .map(|answer| {
                as_planned(
                    answer.bake.code.to_string(),
                    &answer.bake.setting,
                    &answer.needs,
                    now,
                )
            })
            .collect(),
        promised: held.filter_map(PromiseInPlan::to_hold).collect(),
        promises: request.promises.unwrap_or(PromiseRule::StayIfFree),
        capacity,
        costs: Costs::from(&work),
        careful: request.careful,
    };
    Ok(PlanGround {
        situation,
        lots: facts.into_iter().map(|facts| facts.lot).collect(),
        bakes,
        overdue,
        later,
        accepted_at: accepted.map(|accepted| accepted.accepted_at),
        promises,
        last_entry: view.last_entry()?,
    })
}

fn lot(facts: &LotFacts) -> Result<Lot, Problem> {
    // A grist that is not understood is one that is not known.
    let grist = facts
        .lot
        .grist
        .as_deref()
        .and_then(|text| text.parse().ok());
    let (place, place_kind) = facts
        .place
        .clone()
        .unwrap_or_else(|| (String::new(), PlaceKind::Ambient));
    Ok(Lot {
        code: facts.lot.code.to_string(),
        wet: facts.wet,
        moisture: facts.estimate()?.moisture,
        histories: facts.histories.clone(),
        form: facts.lot.form,
        colour: grist.as_ref().map(grain_colour::colour),
        grist,
        place,
        place_kind,
    })
}

/// A bake as the planner is told of it.
pub fn as_planned(code: String, setting: &BakeSetting, needs: &BakeNeeds, now: Instant) -> Bake {
    let grain = &needs.formula.grain;
    let mix = needs.timetable.mix_at;
    let stage = needs
        .timetable
        .events
        .iter()
        .find(|event| event.what == timetable::What::Stage(grain.stage));
    // Who names a lot means it, whatever its form and colour; a cereal is a matter of health.
    let any = setting.lots.is_empty();
    Bake {
        code,
        mix,
        grain_at: stage.map_or(mix, |event| event.from).min(mix).max(now),
        lowest: Milligrams::nearest(needs.dry_lowest),
        wanted: Milligrams::nearest(needs.dry_wanted),
        highest: Milligrams::nearest(needs.dry_highest),
        form: grain.form.filter(|_| any),
        colour: grain.colour.filter(|_| any),
        most_lots: setting.most_lots.map(|most| most as usize),
        only_of: setting
            .lots
            .iter()
            .map(|lot| lot.code.to_string())
            .collect(),
        free_of: setting.free_of.clone().into_iter().collect(),
        firm: setting.firm,
    }
}

/// With what freezers and fridges take together, and as warm as the warmest of each kind is stated to be.
fn at_the_places(capacity: Capacity, places: &[PlaceRecord], now: Instant) -> Capacity {
    let of_kind = |kind: PlaceKind| {
        places
            .iter()
            .map(move |place| place.setting_at(now))
            .filter(move |setting| setting.kind == kind)
    };
    // One of them without a figure takes all there is.
    let takes = |kind: PlaceKind| -> Option<Milligrams> {
        let each: Option<Vec<i64>> = of_kind(kind)
            .map(|setting| setting.capacity.map(Milligrams::get))
            .collect();
        each.map(|each| Milligrams::new(each.iter().sum()))
    };
    let warmest = |kind: PlaceKind| -> Temperature {
        of_kind(kind)
            .map(|setting| setting.stated)
            .max_by_key(|stated| stated.milli_celsius())
            .unwrap_or_else(|| kind.usual_temperature())
    };
    let has = |kind: PlaceKind| of_kind(kind).next().is_some();
    Capacity {
        freezer: takes(PlaceKind::Freezer),
        fridge: takes(PlaceKind::Fridge).filter(|_| has(PlaceKind::Fridge)),
        has_freezer: capacity.has_freezer && has(PlaceKind::Freezer),
        freezer_at: warmest(PlaceKind::Freezer),
        fridge_at: warmest(PlaceKind::Fridge),
        ..capacity
    }
}

/// What the accepted plan promised to the bakes of these days, by place.
fn by_place(
    promised: &[PromisedGrain],
    facts: &[LotFacts],
    bakes: &[BakeAnswer],
) -> Vec<PromiseInPlan> {
    let mut promises: Vec<PromiseInPlan> = Vec::new();
    for one in promised {
        let Some(bake) = bakes.iter().position(|bake| bake.bake.code == one.bake) else {
            continue;
        };
        let lot = facts
            .iter()
            .position(|facts| Some(facts.lot.code) == one.lot);
        let known =
            |other: &&mut PromiseInPlan| other.bake == bake && other.lot == lot && lot.is_some();
        match promises.iter_mut().find(known) {
            Some(other) => other.wet = Milligrams::new(other.wet.get() + one.wet.get()),
            None => promises.push(PromiseInPlan {
                bake,
                lot,
                named: one.named.to_string(),
                wet: one.wet,
            }),
        }
    }
    promises
}
