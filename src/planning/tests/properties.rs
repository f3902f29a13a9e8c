//! What has to hold of every plan: more room and more time never hurt, order does not matter, and the same
//! question has the same answer. Also a published transportation problem.

use super::instances::{self, Seeded, Week, bake, instance, lot, monday, with_blocks};
use crate::planning::aims::{Aim, Weights};
use crate::planning::cuts::relaxed;
use crate::planning::figures::Figures;
use crate::planning::model::{Choice, Facts, Held, Model};
use crate::planning::plan::{Fate, Plan, Status};
use crate::planning::problem::{PromisedDraw, Situation};
use crate::planning::reason::Reason;
use crate::planning::search::{Found, Patience, search};
use crate::planning::tree::{Effort, solve};
use crate::planning::windows::{State, Windows};
use crate::planning::{NoPlan, make, oldest_first};
use crate::quantity::Milligrams;
use chrono::Duration;

fn plan(situation: &Situation) -> Plan {
    make(situation, Patience::default(), &mut |_| true).unwrap()
}

fn found(situation: &Situation) -> Found {
    let windows = Windows::of(situation);
    let figures = Figures::of(situation, &windows);
    let facts = Facts {
        situation,
        windows: &windows,
        figures: &figures,
    };
    let start = oldest_first::plan(facts);
    let to_the_end = Patience {
        nodes: 100_000,
        rest_nodes: 100_000,
        exact: true,
        ..Patience::default()
    };
    search(facts, &start, to_the_end, &mut |_| true)
}

/// Whether the first aim in which two plans differ is better in this one.
fn is_better(one: &Found, other: &Found) -> bool {
    let both = one.reached.iter().zip(&other.reached);
    let apart = both.map(|(one, other)| other.value - one.value);
    let first = apart.into_iter().find(|apart| apart.abs() > 1e-5);
    first.is_some_and(|apart| apart > 0.0)
}

/// Small weeks of every kind.
fn weeks() -> impl Iterator<Item = Situation> {
    Week::ALL
        .into_iter()
        .flat_map(|week| (1..=8).map(move |seed| instance(week, 5, 4, seed)))
}

#[test]
fn more_room_in_the_freezer_never_hurts() {
    let mut helped = 0;
    for situation in weeks() {
        let mut roomier = situation.clone();
        roomier.capacity.freezer = None;
        let (before, after) = (found(&situation), found(&roomier));
        assert!(before.is_proven() && after.is_proven());
        helped += usize::from(is_better(&after, &before));
        assert!(!is_better(&before, &after), "{before:?} {after:?}");
    }
    assert!(helped > 5, "{helped}");
}

#[test]
fn fresher_grain_never_makes_a_bake_shorter() {
    for situation in weeks() {
        let mut fresher = situation.clone();
        let now = situation.now;
        for history in &mut fresher.lots[0].histories {
            let mash_out = history.mash_out.unwrap();
            // As old as grain can be that has just cooled.
            let by = (now - Duration::hours(4) - mash_out).max(Duration::zero());
            history.mash_out = Some(mash_out + by);
            for event in &mut history.events {
                event.at += by;
            }
        }
        let (before, after) = (plan(&situation).aims, plan(&fresher).aims);
        let steps = 1000 * situation.bakes.len() as i64;
        assert!(after.short.get() <= before.short.get() + steps);
    }
}

#[test]
fn a_further_lot_never_makes_a_bake_shorter() {
    for situation in weeks() {
        let mut richer = situation.clone();
        richer
            .lots
            .push(lot("L999", monday() - Duration::hours(12), 5_000, 0.77));
        let (before, after) = (plan(&situation).aims, plan(&richer).aims);
        let steps = 1000 * situation.bakes.len() as i64;
        assert!(after.short.get() <= before.short.get() + steps);
    }
}

#[test]
fn order_in_the_book_does_not_change_the_plan() {
    for (seed, situation) in weeks().enumerate() {
        let mut random = Seeded::new(seed as u64);
        let mut order: Vec<usize> = (0..situation.lots.len()).collect();
        for at in (1..order.len()).rev() {
            order.swap(at, random.whole(0, at as i64) as usize);
        }
        let mut shuffled = situation.clone();
        shuffled.lots = order.iter().map(|at| situation.lots[*at].clone()).collect();
        shuffled.bakes.reverse();
        let (one, other) = (plan(&situation), plan(&shuffled));
        assert_eq!(one.aims, other.aims);
        let named = |plan: &Plan, situation: &Situation| -> Vec<String> {
            let mut lines: Vec<String> = plan
                .bakes
                .iter()
                .zip(&situation.bakes)
                .flat_map(|(planned, bake)| {
                    planned.draws.iter().map(|draw| {
                        format!(
                            "{} {} {:?} {:?}",
                            bake.code, situation.lots[draw.lot].code, draw.state, draw.wet
                        )
                    })
                })
                .collect();
            lines.sort();
            lines
        };
        assert_eq!(named(&one, &situation), named(&other, &shuffled));
    }
}

#[test]
fn the_same_question_has_the_same_answer() {
    for situation in [
        instance(Week::Balanced, 8, 7, 1),
        instance(Week::Scarce, 8, 7, 4),
    ] {
        assert_eq!(plan(&situation), plan(&situation));
    }
}

/// Winston, Operations Research: Applications and Algorithms, chapter on transportation problems: three
/// power plants, four cities, least cost 1020. Numbers and optimum from memory.
#[test]
fn a_published_transportation_problem() {
    const SUPPLY: [i64; 3] = [35, 50, 40];
    const DEMAND: [i64; 4] = [45, 20, 30, 30];
    const COST: [[f64; 4]; 3] = [
        [8.0, 6.0, 10.0, 9.0],
        [9.0, 12.0, 13.0, 7.0],
        [14.0, 9.0, 16.0, 5.0],
    ];
    let mut situation = instances::empty();
    situation.end = monday() + Duration::days(2);
    for (index, supply) in SUPPLY.into_iter().enumerate() {
        let code = format!("L{index}");
        // A quarter of wet grain is dry.
        situation.lots.push(lot(
            &code,
            monday() - Duration::hours(12),
            supply * 4000,
            0.75,
        ));
    }
    for (index, demand) in DEMAND.into_iter().enumerate() {
        let mix = monday() + Duration::hours(10);
        situation
            .bakes
            .push(bake(&format!("B{index}"), mix, [demand * 1000; 3]));
    }
    let windows = Windows::of(&situation);
    assert!(
        windows.lots.iter().all(|lot| !lot.spoils),
        "nothing perishes"
    );
    let figures = Figures::of(&situation, &windows);
    let facts = Facts {
        situation: &situation,
        windows: &windows,
        figures: &figures,
    };
    let mut model = Model::build(
        facts,
        &Held::default(),
        Weights::only(Aim::Short),
        &|_, _| Choice::Open,
    );
    for column in &mut model.program.columns {
        column.cost *= 1000.0;
    }
    for (lot, bake, column) in model.amounts() {
        model.program.columns[column].cost = COST[lot][bake];
    }
    let effort = Effort {
        nodes: 100,
        work: u64::MAX,
        slice: 100,
        slack: 0.0,
    };
    let root = relaxed(&model.program).unwrap();
    let solved = solve(root, None, effort, &mut |_| true).solved.unwrap();
    assert!(
        solved.proven && (solved.cost - 1020.0).abs() < 1e-6,
        "{}",
        solved.cost
    );
}

/// One lot of 8 kg wet, a quarter of it dry: 2 kg of dry grain, good until Friday night.
fn simple() -> Situation {
    let mut situation = instances::empty();
    situation.end = monday() + Duration::days(7);
    situation
        .lots
        .push(lot("L1", monday() - Duration::days(2), 8_000, 0.75));
    situation
        .bakes
        .push(bake("B1", monday() + Duration::hours(2), [400, 500, 600]));
    situation
}

#[test]
fn what_no_bake_takes_is_named_with_its_date() {
    let plan = plan(&simple());
    assert_eq!(plan.proof.status, Status::Optimal);
    // The bake gets what it wants: the rest can be frozen.
    assert_eq!(plan.bakes[0].dry, Milligrams::new(500_000));
    let saved: i64 = plan
        .left
        .iter()
        .filter(|left| left.fate == Fate::Frozen)
        .map(|left| left.wet.get())
        .sum();
    assert_eq!(saved, 8_000_000 - 2_000_000);
    assert!(plan.left.iter().all(|left| left.until.is_some()));
}

#[test]
fn careful_takes_more_grain_for_the_same_bake() {
    let mut situation = simple();
    situation.capacity.has_freezer = false;
    situation.lots[0].histories = vec![instances::chilled(monday() - Duration::hours(12))];
    situation.end = monday() + Duration::days(3);
    let usual = plan(&situation);
    situation.careful = true;
    let careful = plan(&situation);
    assert!(careful.bakes[0].draws[0].wet > usual.bakes[0].draws[0].wet);
    assert!(careful.bakes[0].chance_below < usual.bakes[0].chance_below);
}

#[test]
fn promises_stay_and_those_that_cannot_are_told() {
    let mut situation = simple();
    situation
        .lots
        .push(lot("L2", monday() - Duration::days(1), 8_000, 0.75));
    // The older lot would go first.
    situation.promised = vec![PromisedDraw {
        lot: 1,
        bake: 0,
        wet: Milligrams::new(1_600_000),
    }];
    let kept = plan(&situation);
    let given: i64 = kept.bakes[0]
        .draws
        .iter()
        .filter(|draw| draw.lot == 1)
        .map(|draw| draw.wet.get())
        .sum();
    assert!(given >= 1_600_000 && kept.broken.is_empty());
    // More than the bake takes at all: what it takes stays.
    situation.promised[0].wet = Milligrams::new(6_000_000);
    let broken = plan(&situation);
    assert_eq!(broken.broken.len(), 1);
    assert_eq!(broken.broken[0].given, Milligrams::new(2_400_000));
}

#[test]
fn why_a_bake_lacks_grain_is_said() {
    use crate::dough::formula::Colour;
    let mut situation = simple();
    situation.bakes[0].colour = Some(Colour::Dark);
    let reason = |situation: &Situation| plan(situation).bakes[0].reason.clone();
    assert_eq!(
        reason(&situation),
        Some(Reason::OtherColours(vec![Some(Colour::Pale)]))
    );
    situation.bakes[0].colour = None;
    situation.bakes[0].free_of = vec!["barley".to_owned()];
    assert_eq!(
        reason(&situation),
        Some(Reason::MayHold(vec!["barley".to_owned()]))
    );
    let mut situation = simple();
    situation.capacity.has_freezer = false;
    situation.bakes[0] = bake("B1", monday() + Duration::days(6), [400, 500, 600]);
    assert_eq!(reason(&situation), Some(Reason::NothingInDate));
    let mut situation = simple();
    situation.bakes[0] = bake("B1", monday() + Duration::hours(2), [3_000, 3_000, 3_000]);
    assert_eq!(
        reason(&situation),
        Some(Reason::TooLittle {
            all: Milligrams::new(2_000_000),
            others: Vec::new(),
            is_gone: false,
        })
    );
    let mut situation = simple();
    situation.bakes.push(bake(
        "B2",
        monday() + Duration::hours(3),
        [1_900, 1_900, 1_900],
    ));
    let short = plan(&situation);
    let reasons: Vec<_> = short
        .bakes
        .iter()
        .filter_map(|bake| bake.reason.clone())
        .collect();
    assert!(
        matches!(reasons.as_slice(), [Reason::OtherBakes(_)]),
        "{reasons:?}"
    );
}

#[test]
fn grain_is_frozen_in_time_and_thawed_in_time() {
    let mut situation = simple();
    situation
        .bakes
        .push(bake("B2", monday() + Duration::days(6), [400, 500, 600]));
    let plan = plan(&situation);
    assert_eq!(plan.aims.short, Milligrams::ZERO);
    assert!(
        plan.bakes[1]
            .draws
            .iter()
            .all(|draw| draw.state == State::Thawed)
    );
    assert!(!plan.bakes[1].draws.is_empty());
}

#[test]
fn questions_without_a_plan_say_why() {
    let ask =
        |situation: &Situation| make(situation, Patience::default(), &mut |_| true).unwrap_err();
    let mut situation = simple();
    situation.bakes.clear();
    assert_eq!(ask(&situation), NoPlan::NoBakes);
    let mut situation = simple();
    situation.lots.clear();
    assert_eq!(ask(&situation), NoPlan::NoLots);
    let mut situation = simple();
    situation.lots[0] = lot("L1", monday() - Duration::days(9), 8_000, 0.75);
    assert_eq!(ask(&situation), NoPlan::NothingUsable);
    let mut situation = simple();
    situation.bakes[0] = bake("B1", monday() + Duration::hours(2), [500, 400, 600]);
    assert_eq!(ask(&situation), NoPlan::CrossedBounds(0));
    let mut situation = simple();
    situation.bakes[0].mix = monday() - Duration::hours(1);
    assert_eq!(ask(&situation), NoPlan::OutsideTheDays(0));
}

#[test]
fn a_search_that_is_stopped_at_once_still_has_a_plan() {
    // A week that is not proven best before anybody is asked whether to go on.
    let situation = instance(Week::Bulk, 20, 14, 1);
    let plan = make(&situation, Patience::default(), &mut |_| false).unwrap();
    assert_eq!(plan.proof.status, Status::Stopped);
    assert!(plan.aims.short <= plan.oldest_first.short);
}

#[test]
fn a_search_whose_work_is_used_up_has_a_plan_and_names_what_is_not_proven() {
    let situation = with_blocks((Week::Bulk, 20, 14, 1), 5);
    let little = Patience {
        work: 1,
        ..Patience::default()
    };
    let plan = make(&situation, little, &mut |_| true).unwrap();
    assert_eq!(plan.proof.status, Status::WithinGap);
    assert!(plan.proof.unproven.is_some());
    assert!(plan.aims.short <= plan.oldest_first.short);
    assert_eq!(make(&situation, little, &mut |_| true).unwrap(), plan);
}

#[test]
fn no_capacity_at_all_is_a_plan_too() {
    let mut situation = instance(Week::Glut, 5, 4, 1);
    situation.capacity.freezer = Some(Milligrams::ZERO);
    situation.capacity.dryer_water = Milligrams::ZERO;
    let plan = plan(&situation);
    assert!(plan.actions.is_empty());
}
