//! Whole plans of seeded weeks: each passes the walk through it, and none is worse than oldest first.

use super::instances::{Week, instance};
use crate::planning::plan::Aims;
use crate::planning::{Patience, make};

/// The first two aims in one figure each, in milligrams: preserved grain that no bake takes is half saved.
fn first_two(aims: &Aims) -> (i64, i64) {
    (
        aims.short.get(),
        aims.spoiled.get() + aims.preserved_unused.get() / 2,
    )
}

#[test]
fn every_week_gets_a_plan_that_is_never_worse_than_oldest_first() {
    let mut better = 0;
    for week in Week::ALL {
        for seed in 1..=5 {
            let situation = instance(week, 8, 7, seed);
            let plan = make(&situation, Patience::default(), &mut |_| true).unwrap();
            let (ours, oldest) = (first_two(&plan.aims), first_two(&plan.oldest_first));
            // Each draw on the scale is good to a step.
            let steps = 1000 * situation.bakes.len() as i64;
            assert!(
                ours.0 <= oldest.0 + steps,
                "{week:?} {seed}: {ours:?} {oldest:?}"
            );
            assert!(
                ours.0 + steps < oldest.0 || ours.1 <= oldest.1 + steps,
                "{week:?} {seed}: {ours:?} {oldest:?}"
            );
            better += usize::from(ours < oldest);
        }
    }
    assert!(better >= 20, "better in {better} of 30");
}
