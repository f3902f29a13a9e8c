//! JSON of `plan`.

use super::{fraction, grams};
use crate::planning::Situation;
use crate::planning::aims::Aim;
use crate::planning::condition;
use crate::planning::plan::{Aims as PlannedAims, Leftover, PlannedBake};
use crate::planning::reason::Reason;
use crate::quantity::{Milligrams, Zone};
use crate::report::plan::{Change as Changed, Moved, PlanAnswer};
use serde::Serialize;

/// `plan --json`.
#[derive(Serialize)]
pub struct Plan {
    as_of: String,
    until: String,
    careful: bool,
    accepted: bool,
    status: &'static str,
    unproven: Option<&'static str>,
    gap: f64,
    short_gap_g: f64,
    spoiled_gap_g: f64,
    bakes: Vec<Bake>,
    conditions: Vec<Condition>,
    actions: Vec<Action>,
    worth_a_test: Vec<WorthATest>,
    cold_doughs: Vec<ColdDough>,
    spoiled_dry_g: f64,
    spare: Vec<Spare>,
    aims: Aims,
    oldest_first: Aims,
    changes: Option<Vec<Change>>,
    overdue: Vec<String>,
    later: usize,
    fridge_over_g: Option<f64>,
}

#[derive(Serialize)]
struct WorthATest {
    lot: String,
    dry_g: f64,
    uncertain_g: f64,
    uncertain_after_test_g: f64,
    bake: String,
    held_now_g: f64,
    held_after_g: f64,
}

#[derive(Serialize)]
struct ColdDough {
    bake: String,
    dough_c: f64,
    comes_out_c: Option<f64>,
    water_at_most_c: f64,
    grain_at_least_c: Option<f64>,
    mixing_heat_known: bool,
}

#[derive(Serialize)]
struct Bake {
    bake: String,
    formula: String,
    firm: bool,
    happens: bool,
    due: String,
    grain_at: String,
    grain_is_late: bool,
    ready_at: String,
    min_dry_g: f64,
    target_dry_g: f64,
    max_dry_g: f64,
    dry_g: f64,
    short_dry_g: f64,
    short_because: Option<&'static str>,
    chance_below_min: Option<f64>,
    draws: Vec<Draw>,
}

#[derive(Serialize)]
struct Draw {
    lot: String,
    wet_g: f64,
    dry_g: f64,
    state: &'static str,
}

#[derive(Serialize)]
struct Action {
    lot: String,
    action: &'static str,
    wet_g: f64,
    block_g: Option<f64>,
    by: String,
    latest: Option<String>,
    bake: Option<String>,
    bags: Vec<Bag>,
    into: Vec<IntoPlace>,
}

/// What of a job goes into one place in one bag, or what a bake takes of a frozen block.
#[derive(Serialize)]
pub(super) struct IntoPlace {
    pub(super) bake: Option<String>,
    pub(super) wet_g: f64,
    pub(super) place: Option<String>,
}

#[derive(Serialize)]
struct Bag {
    bake: Option<String>,
    wet_g: f64,
}

/// One of `spare[…]`.
#[derive(Serialize)]
pub(super) struct Spare {
    lot: String,
    wet_g: f64,
    dry_g: f64,
    fate: &'static str,
    keep_until: Option<String>,
}

#[derive(Serialize)]
struct Aims {
    short_dry_g: f64,
    promised_not_given_dry_g: f64,
    at_risk_dry_g: f64,
    largest_firm_shortfall: f64,
    all_firm_shortfalls: f64,
    not_shown_cold_dry_g: f64,
    optional_baked: usize,
    spoiled_dry_g: f64,
    largest_off_target: f64,
    all_off_target: f64,
    preserved_unused_dry_g: f64,
    frozen_wet_g: f64,
    dried_wet_g: f64,
    work_cost: f64,
    spoiled_cost: Option<f64>,
    off_target_dry_g: f64,
    lots: usize,
    hours_left: Option<f64>,
    rest: f64,
}

/// One of `conditions[…]`.
#[derive(Serialize)]
pub(super) struct Condition {
    lot: String,
    by: String,
    within_minutes: Option<i64>,
    at_most_c: f64,
    bakes: Vec<String>,
}

#[derive(Serialize)]
struct Change {
    bake: String,
    lot: String,
    before_wet_g: f64,
    after_wet_g: f64,
    because: Option<&'static str>,
}

impl Condition {
    /// Of a lot that these bakes are made of.
    pub(super) fn new(
        lot: &str,
        condition: &condition::Condition,
        bakes: Vec<String>,
        zone: &Zone,
    ) -> Self {
        Self {
            lot: lot.to_owned(),
            by: zone.rfc3339(condition.by),
            within_minutes: condition.within.map(|within| within.time.num_minutes()),
            at_most_c: condition.at_most.in_celsius().degrees_celsius(),
            bakes,
        }
    }
}

impl Plan {
    /// From the answer.
    pub fn new(answer: &PlanAnswer, zone: &Zone) -> Self {
        let plan = &answer.plan;
        let ground = &answer.ground;
        let situation = &ground.situation;
        let code = |lot: usize| situation.lots[lot].code.clone();
        let bakes = situation.bakes.iter().map(|bake| bake.code.clone());
        let bakes: Vec<String> = bakes.collect();
        Self {
            as_of: zone.rfc3339(situation.now),
            until: zone.rfc3339(situation.end),
            careful: situation.careful,
            accepted: answer.accepted,
            status: plan.proof.status.as_str(),
            unproven: plan.proof.unproven.map(Aim::as_str),
            gap: rounded(plan.proof.gap),
            short_gap_g: plan.proof.short_gap.grams(),
            spoiled_gap_g: plan.proof.spoiled_gap.grams(),
            bakes: (0..bakes.len())
                .map(|bake| Bake::new(answer, bake, zone))
                .collect(),
            conditions: answer
                .conditions()
                .into_iter()
                .map(|(lot, condition, of)| {
                    let of = of.into_iter().map(|bake| bakes[bake].clone());
                    Condition::new(&code(lot), &condition, of.collect(), zone)
                })
                .collect(),
            actions: answer
                .jobs()
                .map(|(action, shares)| Action {
                    lot: code(action.lot),
                    action: action.work.as_str(),
                    wet_g: Milligrams::new(shares.iter().map(|share| share.wet.get()).sum())
                        .grams(),
                    block_g: answer.block(action).map(Milligrams::grams),
                    by: zone.rfc3339(action.by),
                    latest: answer.latest(action).map(|at| zone.rfc3339(at)),
                    bake: answer.bake_of(action).map(|bake| bakes[bake].clone()),
                    bags: answer
                        .bags(action)
                        .into_iter()
                        .map(|(bake, wet)| Bag {
                            bake: bake.map(|bake| bakes[bake].clone()),
                            wet_g: wet.grams(),
                        })
                        .collect(),
                    into: shares
                        .iter()
                        .map(|share| IntoPlace {
                            bake: share.bake.map(|bake| bakes[bake].clone()),
                            wet_g: share.wet.grams(),
                            place: share.place.clone(),
                        })
                        .collect(),
                })
                .collect(),
            worth_a_test: answer
                .worth_a_test()
                .iter()
                .map(|one| WorthATest {
                    lot: code(one.lot),
                    dry_g: one.dry.grams(),
                    uncertain_g: one.uncertain.grams(),
                    uncertain_after_test_g: one.after.grams(),
                    bake: one.next.code.to_string(),
                    held_now_g: grams(one.next.held_now),
                    held_after_g: grams(one.next.held_after),
                })
                .collect(),
            cold_doughs: answer
                .cold_doughs
                .iter()
                .map(|one| ColdDough {
                    bake: bakes[one.bake].clone(),
                    dough_c: one.wanted_celsius,
                    comes_out_c: one.why.dough_celsius.map(rounded),
                    water_at_most_c: one.why.limit_celsius,
                    grain_at_least_c: one.why.grain_at_least_celsius.map(rounded),
                    mixing_heat_known: one.is_mixing_known,
                })
                .collect(),
            spoiled_dry_g: plan.aims.spoiled.grams(),
            spare: plan
                .left
                .iter()
                .map(|left| Spare::new(left, situation, zone))
                .collect(),
            aims: (&plan.aims).into(),
            oldest_first: (&plan.oldest_first).into(),
            changes: answer
                .changes
                .as_ref()
                .map(|changes| changes.iter().map(Change::from).collect()),
            overdue: ground.overdue.iter().map(ToString::to_string).collect(),
            later: ground.later,
            fridge_over_g: answer
                .crowded
                .as_ref()
                .map(|crowded| Milligrams::new(crowded.holds.get() - crowded.takes.get()).grams()),
        }
    }
}

impl Bake {
    fn new(answer: &PlanAnswer, index: usize, zone: &Zone) -> Self {
        let facts = &answer.ground.bakes[index];
        let bake = &answer.ground.situation.bakes[index];
        let planned: &PlannedBake = &answer.plan.bakes[index];
        Self {
            bake: bake.code.clone(),
            formula: facts.bake.setting.formula.name.clone(),
            firm: bake.firm,
            happens: planned.happens,
            due: zone.rfc3339(bake.mix),
            grain_at: zone.rfc3339(facts.needs.grain_at()),
            grain_is_late: facts.needs.grain_at() < answer.ground.situation.now,
            ready_at: zone.rfc3339(facts.needs.timetable.ready_at),
            min_dry_g: bake.lowest.grams(),
            target_dry_g: bake.wanted.grams(),
            max_dry_g: bake.highest.grams(),
            dry_g: planned.dry.grams(),
            short_dry_g: planned.short.grams(),
            short_because: planned.reason.as_ref().map(Reason::as_key),
            chance_below_min: planned.chance_below.map(rounded),
            draws: planned
                .draws
                .iter()
                .map(|draw| Draw {
                    lot: answer.ground.situation.lots[draw.lot].code.clone(),
                    wet_g: draw.wet.grams(),
                    dry_g: draw.dry.grams(),
                    state: draw.state.as_str(),
                })
                .collect(),
        }
    }
}

impl Spare {
    pub(super) fn new(left: &Leftover, situation: &Situation, zone: &Zone) -> Self {
        Self {
            lot: situation.lots[left.lot].code.clone(),
            wet_g: left.wet.grams(),
            dry_g: left.dry.grams(),
            fate: left.fate.as_str(),
            keep_until: left.until.map(|until| zone.rfc3339(until)),
        }
    }
}

impl From<&PlannedAims> for Aims {
    fn from(aims: &PlannedAims) -> Self {
        Self {
            short_dry_g: aims.short.grams(),
            promised_not_given_dry_g: aims.promises.grams(),
            at_risk_dry_g: aims.risk.grams(),
            largest_firm_shortfall: fraction(aims.firm_under[0]),
            all_firm_shortfalls: fraction(aims.firm_under[1]),
            not_shown_cold_dry_g: aims.unshown.grams(),
            optional_baked: aims.optional[0],
            spoiled_dry_g: aims.spoiled.grams(),
            largest_off_target: fraction(aims.uneven[0]),
            all_off_target: fraction(aims.uneven[1]),
            preserved_unused_dry_g: aims.preserved_unused.grams(),
            frozen_wet_g: aims.frozen_wet.grams(),
            dried_wet_g: aims.dried_wet.grams(),
            work_cost: fraction(aims.work_cost),
            spoiled_cost: aims.spoiled_cost.map(fraction),
            off_target_dry_g: aims.distance.grams(),
            lots: aims.lots,
            hours_left: aims.hours_left.map(|hours| (hours * 100.0).round() / 100.0),
            rest: fraction(aims.rest),
        }
    }
}

impl From<&Changed> for Change {
    fn from(change: &Changed) -> Self {
        Self {
            bake: change.bake.clone(),
            lot: change.lot.clone(),
            before_wet_g: change.before.grams(),
            after_wet_g: change.after.grams(),
            because: change.because.map(Moved::as_str),
        }
    }
}

/// To six places: what is calculated by iteration has no more.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
