//! Corners of weeks: a plan that ends on a day off, a dryer that is nearly full, doughs alike.

use super::instances::{self, bake, lot, monday};
use crate::grain::Form;
use crate::planning::plan::{Action, Fate, Plan, Work};
use crate::planning::problem::Situation;
use crate::planning::{Patience, make};
use crate::quantity::{Instant, Milligrams};
use chrono::Duration;

fn plan(situation: &Situation) -> Plan {
    make(situation, Patience::default(), &mut |_| true).unwrap()
}

fn at(days: i64, hours: i64) -> Instant {
    monday() + Duration::days(days) + Duration::hours(hours)
}

/// One good day is left of the grain once it is thawed. On the Sunday on which the plan ends nobody takes it out of the
/// freezer, on the Monday after it somebody does.
#[test]
fn grain_is_frozen_for_use_after_a_plan_that_ends_on_a_day_off() {
    let mut situation = instances::empty();
    // Sunday night, a second before midnight.
    situation.end = at(6, 18) - Duration::seconds(1);
    situation.lots.push(lot("L1", at(-5, 0), 4_000, 0.75));
    situation.bakes.push(bake("B1", at(0, 2), [100, 100, 100]));
    let sunday = situation.zone.date(at(6, 0));
    let days_off = [
        Vec::new(),
        vec![sunday],
        vec![sunday, sunday.succ_opt().unwrap()],
    ];
    for hands_off in days_off {
        situation.capacity.hands_off = hands_off;
        let plan = plan(&situation);
        let fates: Vec<Fate> = plan.left.iter().map(|left| left.fate).collect();
        assert_eq!(fates, [Fate::Frozen], "{:?}", situation.capacity.hands_off);
    }
}

/// What one day of the dryer has left beside another lot is less than anybody would dry, and no other day has room:
/// it is given away.
#[test]
fn nothing_below_the_smallest_portion_is_put_into_the_dryer() {
    let mut situation = instances::empty();
    situation.capacity.has_freezer = false;
    situation.capacity.dryer_water = Milligrams::new(3_000_000);
    situation.capacity.drying = Duration::hours(3);
    // 4.43 kg are left after its bake; at 70 % they give off all but some 15 g of the water of today, their last day.
    situation.lots.push(lot("L1", at(-6, 0), 4_730, 0.70));
    // Dried today or tomorrow, its last day.
    situation.lots.push(lot("L2", at(-5, 0), 8_000, 0.75));
    situation.bakes.push(bake("B1", at(0, 2), [90, 90, 90]));
    situation.bakes[0].only_of = vec!["L1".to_owned()];
    let plan = plan(&situation);
    let dried = |lot: usize| {
        let mine = plan.actions.iter().filter(move |action| action.lot == lot);
        mine.map(|action| action.wet.get()).sum::<i64>()
    };
    assert!(dried(0) >= 4_400_000 && dried(1) >= 4_000_000, "{plan:?}");
    let portion = situation.capacity.portion;
    assert!(
        plan.actions.iter().all(|action| action.wet >= portion),
        "{:?}",
        plan.actions
    );
}

/// Grain to spare that nobody would pack by itself goes into the last bag.
#[test]
fn less_than_a_portion_has_no_bag_of_its_own() {
    let mut situation = instances::empty();
    situation.end = at(12, 0);
    situation.lots.push(lot("L1", at(-3, 0), 8_000, 0.75));
    situation.bakes.push(bake("B1", at(7, 0), [400, 500, 500]));
    let plan = plan(&situation);
    let freezes = |action: &&Action| action.work == Work::Freeze;
    let freeze = plan.actions.iter().find(freezes).unwrap();
    let drawn = plan.bakes[0].draws[0].wet;
    assert!(freeze.wet > drawn, "{plan:?}");
    let spare = Milligrams::new(freeze.wet.get() - drawn.get());
    assert_eq!(
        plan.bags(freeze, spare),
        [(Some(0), drawn), (None, spare)],
        "worth a bag"
    );
    let more = Milligrams::new(spare.get() + 1);
    assert_eq!(plan.bags(freeze, more), [(Some(0), freeze.wet)]);
}

/// A careful plan is at the wet end of every lot already: no bake takes more than it wants for its risk.
#[test]
fn a_careful_plan_has_no_risk() {
    let mut situation = instances::empty();
    situation.end = at(3, 0);
    situation.capacity.risk = 0.001;
    situation.lots.push(lot("L1", at(-1, 0), 8_000, 0.75));
    situation.lots[0].moisture.standard = 0.03;
    situation.bakes.push(bake("B1", at(0, 6), [495, 500, 700]));
    assert!(plan(&situation).bakes[0].dry.get() > 505_000);
    situation.careful = true;
    let careful = plan(&situation);
    assert_eq!(careful.aims.risk, Milligrams::ZERO);
    let apart = (careful.bakes[0].dry.get() - 500_000).abs();
    assert!(apart <= 1000, "{careful:?}");
}

/// Two doughs alike share one tub, 220 g of dry grain, though a third gets nothing at all.
#[test]
fn doughs_alike_are_alike_beside_one_that_no_lot_fits() {
    let mut situation = instances::empty();
    situation.end = at(4, 0);
    situation.lots.push(lot("L1", at(-1, 0), 880, 0.75));
    for (code, hours) in [("B1", 24), ("B2", 48), ("B3", 49)] {
        let mix = monday() + Duration::hours(hours);
        situation.bakes.push(bake(code, mix, [186, 372, 372]));
    }
    situation.bakes[2].form = Some(Form::Pressed);
    let plan = plan(&situation);
    let dry = |bake: usize| plan.bakes[bake].dry.get();
    assert!((dry(0) - dry(1)).abs() <= 1000, "{plan:?}");
    assert!(dry(0) + dry(1) >= 219_000, "{plan:?}");
}
