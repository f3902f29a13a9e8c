//! A frozen lot is one block: taken out for a bake, all of it thaws.

use super::freeze;
use super::instances::{self, bake, lot, monday};
use crate::planning::plan::{Fate, Plan, Work};
use crate::planning::problem::Situation;
use crate::planning::{Patience, make};
use crate::quantity::Instant;
use chrono::Duration;

fn at(days: i64, hours: i64) -> Instant {
    monday() + Duration::days(days) + Duration::hours(hours)
}

fn plan(situation: &Situation) -> Plan {
    make(situation, Patience::default(), &mut |_| true).unwrap()
}

/// Days with one lot that lies in the freezer, and bakes of 500 g of dry grain at these days.
fn with_block(end: i64, wet_grams: i64, bakes: &[i64]) -> Situation {
    let mut situation = instances::empty();
    situation.end = at(end, 0);
    let mut block = lot("L1", at(-2, 0), wet_grams, 0.75);
    freeze(&mut block, at(-1, 0));
    situation.lots.push(block);
    for (index, day) in bakes.iter().enumerate() {
        let code = format!("B{index}");
        let wants = [400, 500, 600];
        situation.bakes.push(bake(&code, at(*day, 0), wants));
    }
    situation
}

#[test]
fn a_block_is_not_promised_to_a_bake_that_would_find_it_past() {
    let situation = with_block(14, 10_000, &[2, 12]);
    let plan = plan(&situation);
    let got: Vec<usize> = plan.bakes.iter().map(|bake| bake.draws.len()).collect();
    assert_eq!(got.iter().sum::<usize>(), 1, "{plan:?}");
    let outs = plan
        .actions
        .iter()
        .filter(|action| action.work == Work::Thaw);
    assert_eq!(outs.count(), 1);
}

#[test]
fn two_bakes_of_a_few_days_share_a_block_that_comes_out_once() {
    let situation = with_block(14, 4_000, &[2, 4]);
    let plan = plan(&situation);
    assert!(
        plan.bakes.iter().all(|bake| bake.draws.len() == 1),
        "{plan:?}"
    );
    let outs = plan
        .actions
        .iter()
        .filter(|action| action.work == Work::Thaw);
    let outs: Vec<Instant> = outs.map(|action| action.by).collect();
    assert_eq!(outs.len(), 2);
    assert_eq!(outs[0], outs[1]);
    assert!(outs[0] < at(2, 0));
}

#[test]
fn what_a_dough_leaves_of_a_block_spoils_and_is_not_said_to_keep() {
    let situation = with_block(14, 10_000, &[2]);
    let plan = plan(&situation);
    let [rest] = &plan.left[..] else {
        panic!("{:?}", plan.left)
    };
    assert_eq!(rest.fate, Fate::Spoils);
    let until = rest.until.unwrap();
    assert!(until > at(2, 0) && until < situation.end, "{until}");
    assert_eq!(plan.aims.spoiled, rest.dry);
    // A dough takes more than it wants where that saves grain that would spoil.
    assert!(plan.bakes[0].dry > situation.bakes[0].wanted);
}

#[test]
fn a_block_stays_frozen_where_fresh_grain_does_as_well() {
    let mut situation = with_block(14, 10_000, &[2]);
    situation.lots.push(lot("L2", at(-1, 0), 3_000, 0.75));
    let plan = plan(&situation);
    let lots: Vec<usize> = plan.bakes[0].draws.iter().map(|draw| draw.lot).collect();
    assert_eq!(lots, [1], "{plan:?}");
}

/// 2 kg of room, and a block of 2 kg in it: where it comes out the freezer takes as much again.
#[test]
fn a_block_that_comes_out_leaves_all_of_its_room() {
    let mut situation = with_block(14, 2_000, &[1, 10]);
    situation.capacity.freezer = Some(crate::quantity::Milligrams::new(2_000_000));
    situation.lots.push(lot("L2", at(-1, 0), 3_000, 0.75));
    situation.bakes[0].only_of = vec!["L1".to_owned()];
    situation.bakes[0].lowest = crate::quantity::Milligrams::new(300_000);
    situation.bakes[0].wanted = crate::quantity::Milligrams::new(300_000);
    situation.bakes[0].highest = crate::quantity::Milligrams::new(300_000);
    let plan = plan(&situation);
    let frozen: i64 = plan
        .actions
        .iter()
        .filter(|action| action.work == Work::Freeze)
        .map(|action| action.wet.get())
        .sum();
    assert_eq!(frozen, 2_000_000, "{plan:?}");
    assert!(plan.bakes[1].dry >= situation.bakes[1].lowest, "{plan:?}");
}

/// The room that a firm bake's grain needs is made by a bake that may be left out, though other grain would spoil less
/// in that room.
#[test]
fn an_optional_bake_takes_a_block_out_where_a_firm_one_needs_its_room() {
    let mut situation = with_block(14, 2_000, &[1, 10, 3]);
    situation.capacity.freezer = Some(crate::quantity::Milligrams::new(2_000_000));
    situation.lots.extend([
        lot("L2", at(-1, 0), 2_000, 0.75),
        lot("L3", at(-1, 6), 2_000, 0.75),
        lot("L4", at(-1, 6), 2_000, 0.70),
    ]);
    situation.bakes[0].firm = false;
    for (bake, only_of) in [&["L1"][..], &["L2"], &["L2", "L3"]].iter().enumerate() {
        situation.bakes[bake].only_of = only_of.iter().map(|code| code.to_string()).collect();
    }
    let plan = plan(&situation);
    assert_eq!(plan.aims.short.get(), 0, "{plan:?}");
    assert!(plan.bakes[0].happens, "{plan:?}");
}
