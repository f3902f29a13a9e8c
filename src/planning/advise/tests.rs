use super::*;
use crate::planning::tests::instances::{self, Week, bake, instance, lot, monday};
use chrono::Duration;

fn plan(situation: &Situation) -> Result<Plan, NoPlan> {
    super::plan(situation, &mut |_| true)
}

/// Puts a lot into the freezer, half a day after its mash-out, in one block.
fn freeze(situation: &mut Situation, index: usize) {
    let block = &mut situation.lots[index];
    let mash_out = block.histories[0].mash_out.unwrap();
    crate::planning::tests::freeze(block, mash_out + Duration::hours(12));
    let wet = block.wet.get();
    let freezer = &mut situation.capacity.freezer;
    *freezer = freezer.map(|takes| Milligrams::new(takes.get() + wet));
}

/// The bake twice as large.
fn doubled(situation: &Situation, at: usize) -> Candidate {
    let before = &situation.bakes[at];
    let twice = |mass: Milligrams| Milligrams::new(mass.get() * 2);
    let larger = Bake {
        lowest: twice(before.lowest),
        wanted: twice(before.wanted),
        highest: twice(before.highest),
        ..before.clone()
    };
    candidate(Some(at), larger, before.wanted.get())
}

/// 2 kg of dry grain that is past on Saturday night, one bake on Monday that takes 600 g at most.
fn simple() -> Situation {
    let mut situation = instances::empty();
    situation.capacity.has_freezer = false;
    situation
        .lots
        .push(lot("L1", monday() - Duration::days(1), 8_000, 0.75));
    let mix = monday() + Duration::hours(2);
    situation.bakes.push(bake("B1", mix, [400, 500, 600]));
    situation
}

fn candidate(changes: Option<usize>, bake: Bake, more_dough: i64) -> Candidate {
    Candidate {
        changes,
        could_take: bake.highest,
        bake,
        more_dough: Milligrams::new(more_dough),
    }
}

fn checked(situation: &Situation, candidates: &[Candidate]) -> Advised {
    let plan = plan(situation).unwrap();
    check(situation, &plan, candidates, &mut |_| true)
}

#[test]
fn what_saves_most_goes_first_then_what_is_less_work() {
    let situation = simple();
    let mix = monday() + Duration::hours(2);
    let tuesday = monday() + Duration::hours(26);
    let candidates = [
        candidate(Some(0), bake("B1", mix, [800, 1000, 1200]), 9_000),
        candidate(None, bake("N1", tuesday, [1000, 1300, 1400]), 30_000),
        candidate(None, bake("N2", tuesday, [1000, 1300, 1400]), 20_000),
    ];
    let advised = checked(&situation, &candidates);
    let found: Vec<(usize, i64)> = advised
        .advice
        .iter()
        .map(|advice| (advice.candidate, (advice.saved * 1000.0).round() as i64))
        .collect();
    assert_eq!(found, [(2, 1400), (1, 1400), (0, 600)]);
    assert_eq!(advised.advice[0].uses_up, [0]);
    assert!(advised.advice[2].uses_up.is_empty());
    assert_eq!(advised.looked_at, 3);
}

#[test]
fn a_change_that_leaves_a_firm_bake_short_is_no_advice() {
    let mut situation = simple();
    let late = monday() + Duration::days(3);
    situation.bakes.push(bake("B2", late, [1300, 1300, 1300]));
    // Takes more than the first bake leaves, and is firm.
    let greedy = bake("B1", monday() + Duration::hours(2), [1200, 1300, 1400]);
    assert!(
        checked(&situation, &[candidate(Some(0), greedy, 1)])
            .advice
            .is_empty()
    );
    // As an optional one it would only be baked of what is left.
    let mut modest = bake("N", late, [50, 80, 200]);
    modest.firm = false;
    let advised = checked(&situation, &[candidate(None, modest, 1)]);
    assert_eq!(advised.advice.len(), 1);
    assert_eq!(advised.advice[0].plan.aims.short, Milligrams::ZERO);
}

#[test]
fn grain_that_is_past_is_never_advised_to_be_used() {
    let mut situation = simple();
    situation.lots[0] = lot("L1", monday() - Duration::days(1), 2_000, 0.75);
    situation
        .lots
        .push(lot("OLD", monday() - Duration::days(20), 8_000, 0.75));
    let plan = plan(&situation).unwrap();
    assert_eq!(wasted(&situation, &plan), [Milligrams::ZERO; 2]);
    let further = bake("N", monday() + Duration::hours(26), [100, 800, 900]);
    assert_eq!(fits(&situation, 1, std::slice::from_ref(&further)), [false]);
    assert!(
        checked(&situation, &[candidate(None, further, 1)])
            .advice
            .is_empty()
    );
}

#[test]
fn without_a_bake_all_grain_is_left_over_and_one_may_be_added() {
    let mut situation = simple();
    situation.bakes.clear();
    let base = plan(&situation).unwrap();
    assert_eq!(wasted(&situation, &base), [Milligrams::new(2_000_000)]);
    let further = bake("N", monday() + Duration::hours(26), [1000, 2000, 2000]);
    let advised = checked(&situation, &[candidate(None, further, 1)]);
    assert_eq!(advised.advice[0].uses_up, [0]);
}

/// Whatever the week: what is advised does what it says, by a plan of its own.
#[test]
fn advice_is_borne_out_by_the_planner() {
    let mut told = 0;
    for week in [Week::Glut, Week::Balanced, Week::Colours] {
        for seed in 1..=3 {
            let situation = instance(week, 5, 4, seed);
            let base = plan(&situation).unwrap();
            let bakes = 0..situation.bakes.len();
            let candidates: Vec<Candidate> = bakes.map(|at| doubled(&situation, at)).collect();
            for advice in check(&situation, &base, &candidates, &mut |_| true).advice {
                told += 1;
                let mut changed = situation.clone();
                changed.bakes[advice.candidate] = candidates[advice.candidate].bake.clone();
                assert!(crate::planning::verify::findings(&changed, &advice.plan).is_empty());
                assert!(advice.plan.aims.short.get() <= base.aims.short.get() + 1000);
                assert!(lost(&situation, &advice.plan) < lost(&situation, &base));
            }
        }
    }
    assert!(told >= 5, "{told}");
}

/// Whatever the week, blocks in the freezer included: the plan as things stand is that of `plan`, and planned again with what
/// is advised the week comes to what was told.
#[test]
fn planning_again_gives_what_the_best_advice_told() {
    let mut told = 0;
    for week in [Week::Glut, Week::Balanced, Week::OneLot] {
        for seed in 1..=3 {
            let mut situation = instance(week, 4, 4, seed);
            freeze(&mut situation, 0);
            let again = |situation: &Situation| {
                make(situation, Patience::default(), &mut |_| true).unwrap()
            };
            let base = plan(&situation).unwrap();
            assert_eq!(base, again(&situation));
            let bakes = 0..situation.bakes.len();
            let candidates: Vec<Candidate> = bakes.map(|at| doubled(&situation, at)).collect();
            let advised = check(&situation, &base, &candidates, &mut |_| true);
            let Some(best) = advised.advice.first() else {
                continue;
            };
            told += 1;
            let mut changed = situation.clone();
            changed.bakes[best.candidate] = candidates[best.candidate].bake.clone();
            let then = again(&changed);
            let within = situation.capacity.step.get() * situation.bakes.len() as i64;
            let aims = |plan: &Plan| {
                let aims = &plan.aims;
                [aims.short, aims.spoiled, aims.preserved_unused].map(Milligrams::get)
            };
            for (told, found) in aims(&best.plan).into_iter().zip(aims(&then)) {
                assert!((told - found).abs() <= within, "{told} and {found}");
            }
            let saves = lost(&situation, &base) - lost(&situation, &then);
            let apart = (best.saved - saves).abs();
            assert!(apart <= within as f64 / 1e6, "{apart}");
            for lot in &best.uses_up {
                let mut left = then.left.iter().filter(|left| left.lot == *lot);
                assert!(left.all(|left| left.dry <= situation.capacity.step));
            }
        }
    }
    assert!(told >= 3, "{told}");
}

/// A block of 2 kg of dry grain, frozen on the first day, that comes out for a dough of 500 g: what is left of it keeps for
/// days.
#[test]
fn the_rest_of_a_thawed_block_is_left_over_and_a_block_that_stays_frozen_is_not() {
    let mut situation = simple();
    situation.capacity.has_freezer = true;
    situation.end = monday() + Duration::days(4);
    let tuesday = monday() + Duration::hours(34);
    situation.bakes[0] = bake("B1", tuesday, [400, 500, 600]);
    freeze(&mut situation, 0);
    let base = plan(&situation).unwrap();
    let [rest] = &base.left[..] else {
        panic!("{:?}", base.left)
    };
    assert_eq!(rest.fate, Fate::Keeps);
    assert_eq!(base.aims.preserved_unused, rest.dry);
    assert_eq!(wasted(&situation, &base), [rest.dry]);
    let larger = bake("B1", tuesday, [1500, 2000, 2000]);
    let advised = checked(&situation, &[candidate(Some(0), larger, 1)]);
    let saves = situation.costs.unused_counts * kilograms(rest.dry);
    assert!((advised.advice[0].saved - saves).abs() < 0.002);
    assert_eq!(advised.advice[0].uses_up, [0]);
    situation.bakes.clear();
    let base = plan(&situation).unwrap();
    assert_eq!(wasted(&situation, &base), [Milligrams::ZERO]);
}

/// The dough may have fresh grain instead, which spoils: then the block stays in the freezer, whole.
#[test]
fn a_block_that_stays_in_the_freezer_is_not_told_to_be_used_up() {
    let mut situation = simple();
    situation.capacity.has_freezer = true;
    let tuesday = monday() + Duration::hours(34);
    situation.bakes[0] = Bake {
        only_of: vec!["L1".to_owned()],
        ..bake("B1", tuesday, [400, 500, 600])
    };
    freeze(&mut situation, 0);
    situation
        .lots
        .push(lot("L2", monday() - Duration::days(1), 2_000, 0.75));
    let base = plan(&situation).unwrap();
    assert!(wasted(&situation, &base).iter().all(|dry| dry.get() > 0));
    let open = bake("B1", tuesday, [400, 500, 600]);
    let advised = checked(&situation, &[candidate(Some(0), open, 0)]);
    let best = &advised.advice[0];
    let step = situation.capacity.step;
    let left_over = wasted(&situation, &best.plan);
    assert!(left_over.iter().all(|dry| *dry <= step), "{left_over:?}");
    assert_eq!(best.uses_up, [1]);
}

#[test]
fn a_change_whose_plan_was_stopped_is_not_told() {
    let situation = simple();
    let larger = bake("B1", monday() + Duration::hours(2), [800, 1000, 1200]);
    let base = plan(&situation).unwrap();
    let mut asked = 0;
    let advised = check(
        &situation,
        &base,
        &[candidate(Some(0), larger, 1)],
        &mut |_| {
            asked += 1;
            asked < 2
        },
    );
    assert!(advised.stopped && advised.advice.is_empty());
    assert_eq!(advised.looked_at, 0);
}

/// 500 g of dry grain in each of two lots, and a firm bake of one lot that wants 800 g at the least.
#[test]
fn one_lot_more_fills_a_bake_that_is_short() {
    let mut situation = simple();
    situation.lots[0].wet = Milligrams::new(2_000_000);
    let second = lot("L2", monday() - Duration::days(1), 2_000, 0.75);
    situation.lots.push(second);
    situation.bakes[0] = Bake {
        most_lots: Some(1),
        ..bake("B1", monday() + Duration::hours(2), [800, 900, 1000])
    };
    let blended = Bake {
        most_lots: Some(2),
        ..situation.bakes[0].clone()
    };
    let advised = checked(&situation, &[candidate(Some(0), blended.clone(), 0)]);
    let found = &advised.advice[0];
    let grams = |kilograms: f64| (kilograms * 1000.0).round() as i64;
    assert_eq!((grams(found.saved), grams(found.filled)), (500, 300));
    // What keeps beyond the end is not saved, and the bake is filled all the same.
    situation.end = monday() + Duration::days(2);
    let advised = checked(&situation, &[candidate(Some(0), blended, 0)]);
    let found = &advised.advice[0];
    assert_eq!((grams(found.saved), grams(found.filled)), (0, 300));
}

#[test]
fn fewer_changes_are_planned_with_in_a_large_week() {
    let most = |lots: usize, bakes: usize| {
        let mut situation = simple();
        situation.lots = vec![situation.lots[0].clone(); lots];
        situation.bakes = vec![situation.bakes[0].clone(); bakes];
        most_candidates(&situation)
    };
    assert_eq!(
        [most(1, 0), most(8, 7), most(20, 14), most(200, 100)],
        [30, 30, 2, 2]
    );
}

#[test]
fn it_ends_when_it_is_told() {
    let situation = simple();
    let further = bake("N", monday() + Duration::hours(26), [100, 800, 900]);
    let candidates = vec![candidate(None, further, 1); 4];
    let base = plan(&situation).unwrap();
    let advised = check(&situation, &base, &candidates, &mut |looked_at| {
        looked_at < 2
    });
    assert!(advised.stopped);
    assert_eq!(advised.looked_at, 2);
}
