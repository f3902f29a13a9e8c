//! What a plan is made from.

use super::facts::FactFinder;
use super::{fit_places, promises};
use crate::dough::bake_code::BakeCode;
use crate::dough::batch::{self, Size};
use crate::dough::formula::Formula;
use crate::dough::house::Thaw;
use crate::keeping::{PlaceKind, RuleSet};
use crate::ledger::{BakeSetting, View, Which};
use crate::planning::condition::shown_in_time;
use crate::planning::problem::{Bake, Capacity, Costs, Lot, WaterRoom};
use crate::planning::{Situation, grain_colour};
use crate::quantity::{Instant, Milligrams, Problem, Zone};
use crate::report::LotFacts;
use crate::report::bake::{BakeAnswer, BakeNeeds};
use crate::report::moisture::MoistureAnswer;
use crate::report::plan::{PlanGround, PromiseInPlan, end_of};
use crate::report::promise::PromisedGrain;
use crate::report::worth_a_test::DAYS_AHEAD;
use chrono::{Days, Duration};

/// Days after a plan of which it is known whether somebody works: nobody is away for longer, our choice.
const DAYS_AFTER: Days = Days::new(31);

/// What was asked of a plan.
#[derive(Debug, Clone, Copy)]
pub struct PlanOf {
    /// Days to plan for, today counted. Where a later bake holds promised grain, the plan goes on to it.
    pub days: u32,
    /// On the lower end of each lot's dry grain.
    pub careful: bool,
    /// As if nothing had been promised.
    pub reopen: bool,
}

/// As far as `plan` looks ahead unless told otherwise: what a test of a lot is worth is found among these bakes.
pub const USUAL: PlanOf = PlanOf {
    days: DAYS_AHEAD,
    careful: false,
    reopen: false,
};

/// Finds it, all at one moment of the book.
pub fn find(view: View<'_>, now: Instant, request: PlanOf) -> anyhow::Result<PlanGround> {
    let _still = view.hold_still()?;
    let about = view.about();
    let zone = &about.zone;
    let mut finder = FactFinder::new(view)?;
    let facts = finder.on_hand(now)?;
    let places = finder.into_places();
    let promised = promises::of(view, &facts, now)?;
    let open = view.bakes(Which::Open)?.into_iter().map(BakeAnswer::of);
    let open = open.collect::<Result<Vec<_>, Problem>>()?;
    // An accepted plan replaces the one before it, so it has to hold all that is promised.
    let asked = end_of(now, request.days, zone);
    let beyond = |answer: &&BakeAnswer| {
        let is_promised = promised.iter().any(|one| one.bake == answer.bake.code);
        is_promised && answer.needs.timetable.mix_at > asked
    };
    let mut beyond: Vec<_> = open.iter().filter(beyond).map(at_and_code).collect();
    beyond.sort_unstable();
    let end = beyond
        .last()
        .map_or(asked, |(mix_at, _)| end_of(*mix_at, 1, zone));
    let work = view.house()?.work;
    let days = zone
        .date(now)
        .iter_days()
        .take_while(|day| *day <= zone.date(end) + DAYS_AFTER);
    let (fit, unfit_places) = fit_places::of(&places, &about.rules, now);
    let capacity = Capacity::of(&work, days).with_places(fit, |name| held_in(&facts, name));
    let mut bakes = Vec::new();
    let (mut overdue, mut later) = (Vec::new(), 0);
    for answer in open {
        match answer.needs.timetable.mix_at {
            mix_at if mix_at < now => overdue.push(answer.bake.code),
            mix_at if mix_at > end => later += 1,
            _ => bakes.push(answer),
        }
    }
    bakes.sort_by_key(at_and_code);
    let accepted = view.accepted_plan()?;
    let promises = by_place(&promised, &facts, &bakes);
    let held = promises.iter().filter(|_| !request.reopen);
    let situation = Situation {
        now,
        end,
        zone: zone.clone(),
        rules: about.rules.clone(),
        lots: facts
            .iter()
            .map(|facts| {
                let stated = facts.depth.map(|depth| work.thaw.of(Some(depth)));
                let lead = stated.map_or(capacity.thaw_lead, Thaw::lead);
                lot(facts, &about.rules, zone, now, lead)
            })
            .collect::<Result<_, _>>()?,
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
        capacity,
        costs: Costs::from(&work),
        careful: request.careful,
    };
    let moistures = facts
        .iter()
        .map(MoistureAnswer::of)
        .collect::<Result<_, Problem>>()?;
    Ok(PlanGround {
        situation,
        moistures,
        lots: facts.into_iter().map(|facts| facts.lot).collect(),
        bakes,
        overdue,
        later,
        beyond: beyond.into_iter().map(|(_, bake)| bake).collect(),
        accepted_at: accepted.map(|accepted| accepted.accepted_at),
        promises,
        last_entry: view.last_entry()?,
        unfit_places,
    })
}

/// Milligrams of all lots that lie in a place.
fn held_in(facts: &[LotFacts], name: &str) -> i64 {
    let lies_there = |facts: &&LotFacts| {
        let place = facts.place.as_ref();
        place.is_some_and(|(place, _)| place == name)
    };
    let there = facts.iter().filter(lies_there);
    there.map(|facts| facts.wet.get()).sum()
}

/// The order of bakes.
fn at_and_code(answer: &BakeAnswer) -> (Instant, BakeCode) {
    (answer.needs.timetable.mix_at, answer.bake.code)
}

fn lot(
    facts: &LotFacts,
    rules: &RuleSet,
    zone: &Zone,
    now: Instant,
    thaw_lead: Duration,
) -> Result<Lot, Problem> {
    let grist = facts.lot.known_grist();
    let (place, place_kind) = facts
        .place
        .clone()
        .unwrap_or_else(|| (String::new(), PlaceKind::Ambient));
    let (histories, conditions) = shown_in_time(&facts.histories, rules, zone, now);
    Ok(Lot {
        code: facts.lot.code.to_string(),
        wet: facts.wet,
        moisture: facts.estimate()?.moisture,
        histories,
        conditions,
        form: facts.lot.form,
        colour: grist.as_ref().map(grain_colour::colour),
        grist,
        place,
        place_kind,
        thaw_lead,
    })
}

/// A bake as the planner is told of it.
pub fn as_planned(code: String, setting: &BakeSetting, needs: &BakeNeeds, now: Instant) -> Bake {
    let grain = &needs.formula.grain;
    let mix = needs.timetable.mix_at;
    // Who names a lot means it, whatever its form and colour; a cereal is a matter of health.
    let any = setting.lots.is_empty();
    Bake {
        code,
        mix,
        grain_at: needs.grain_at().max(now),
        lowest: Milligrams::nearest(needs.dry_lowest),
        wanted: Milligrams::nearest(needs.dry_wanted),
        highest: Milligrams::nearest(needs.dry_highest),
        water: water_room(&needs.formula, setting.size()),
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

/// How much water a dough takes with its grain.
pub(super) fn water_room(formula: &Formula, size: Size) -> Option<WaterRoom> {
    batch::water_room(formula, size).map(|most| WaterRoom {
        most: Milligrams::nearest(most),
        flour_per_dry: formula.grain.flour_basis.dry_fraction().get().recip(),
    })
}

/// What the accepted plan promised to the bakes of the plan, by place.
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
            Some(other) => {
                let sum =
                    |one: Milligrams, other: Milligrams| Milligrams::new(one.get() + other.get());
                other.wet = sum(other.wet, one.wet);
                other.missing = sum(other.missing, one.missing);
                other.is_reweighed |= one.is_reweighed;
                other.moisture = other.moisture.or(one.moisture);
            }
            None => promises.push(PromiseInPlan {
                bake,
                lot,
                named: one.named.to_string(),
                wet: one.wet,
                missing: one.missing,
                is_reweighed: one.is_reweighed,
                moisture: one.moisture,
            }),
        }
    }
    promises
}
