//! The reason that is named for a bake that lacks grain is the one that binds.

use super::freeze;
use super::instances::{self, bake, lot, monday};
use crate::planning::problem::{Bake, Situation, WaterRoom};
use crate::planning::reason::Reason;
use crate::planning::{Patience, make};
use crate::quantity::{Instant, Milligrams};
use chrono::Duration;

fn at(days: i64, hours: i64) -> Instant {
    monday() + Duration::days(days) + Duration::hours(hours)
}

fn reason(situation: &Situation, bake: usize) -> Option<Reason> {
    let plan = make(situation, Patience::default(), &mut |_| true).unwrap();
    plan.bakes[bake].reason.clone()
}

fn optional(code: &str, mix: Instant, dry_grams: [i64; 3]) -> Bake {
    Bake {
        firm: false,
        ..bake(code, mix, dry_grams)
    }
}

/// 500 g of dry grain, and a firm bake that takes 400 g of it.
fn one_lot() -> Situation {
    let mut situation = instances::empty();
    situation.lots.push(lot("L1", at(-1, 0), 2_000, 0.75));
    situation.bakes.push(bake("B1", at(1, 0), [300, 400, 400]));
    let other = optional("B2", at(2, 0), [206, 300, 300]);
    situation.bakes.push(other);
    situation
}

#[test]
fn a_lot_that_holds_enough_is_not_said_to_hold_less() {
    for most_lots in [None, Some(1), Some(3)] {
        let mut situation = one_lot();
        situation.bakes[1].most_lots = most_lots;
        let others = Some(Reason::OtherBakes(vec![0]));
        assert_eq!(reason(&situation, 1), others, "{most_lots:?}");
    }
}

#[test]
fn the_number_of_lots_is_named_where_the_largest_hold_less() {
    let mut situation = one_lot();
    situation.bakes.remove(0);
    situation.lots.push(lot("L2", at(-1, 0), 1_600, 0.75));
    situation.lots.push(lot("L3", at(-1, 0), 1_200, 0.75));
    situation.bakes[0] = Bake {
        most_lots: Some(2),
        ..optional("B2", at(2, 0), [910, 950, 950])
    };
    assert_eq!(reason(&situation, 0), Some(Reason::TooFewLots(2)));
    situation.bakes[0].lowest = Milligrams::new(890_000);
    assert_eq!(reason(&situation, 0), None);
}

/// A block of 500 g of dry grain, which the firm bake takes whole, in a freezer that is full with it, and fresh grain that
/// would have to be frozen for the other bake.
fn block_and_fresh(fresh_wet_grams: i64) -> Situation {
    let mut situation = instances::empty();
    let mut block = lot("L1", at(-2, 0), 2_000, 0.75);
    freeze(&mut block, at(-1, 0));
    situation.lots.push(block);
    situation
        .lots
        .push(lot("L2", at(-1, 0), fresh_wet_grams, 0.75));
    situation.capacity.freezer = Some(Milligrams::new(2_000_000));
    situation.bakes.push(bake("B1", at(11, 0), [500, 500, 500]));
    situation.bakes[0].only_of = vec!["L1".to_owned()];
    let other = optional("B2", at(12, 0), [200, 250, 250]);
    situation.bakes.push(other);
    situation
}

#[test]
fn full_freezers_are_named_only_where_what_they_refuse_would_do() {
    // 300 g of dry grain would do.
    let full = block_and_fresh(1_200);
    assert_eq!(reason(&full, 1), Some(Reason::FreezersFull));
    let mut room = full.clone();
    room.capacity.freezer = None;
    assert_eq!(reason(&room, 1), None);
    // 100 g would not, however much the freezers took.
    for freezer in [Some(Milligrams::new(2_000_000)), None] {
        let mut little = block_and_fresh(400);
        little.capacity.freezer = freezer;
        let others = Some(Reason::OtherBakes(vec![0]));
        assert_eq!(reason(&little, 1), others, "{freezer:?}");
    }
}

/// One lot is too wet for the dough by itself, the drier one holds too little.
#[test]
fn grain_that_only_a_blend_would_make_dry_enough_is_too_wet() {
    let mut situation = instances::empty();
    situation.lots.push(lot("L1", at(-1, 0), 10_000, 0.85));
    situation.lots.push(lot("L2", at(-1, 0), 600, 0.60));
    situation.bakes.push(Bake {
        most_lots: Some(1),
        water: Some(WaterRoom {
            most: Milligrams::new(1_500_000),
            flour_per_dry: 1.0,
        }),
        ..optional("B1", at(1, 0), [300, 400, 400])
    });
    assert_eq!(reason(&situation, 0), Some(Reason::TooWet));
}
