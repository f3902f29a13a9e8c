//! Every assignment of tiny instances, tried one by one.
//!
//! Lots hold one to three kilograms of dry grain, bakes want whole kilograms and the smallest portion is
//! one. With the choices made, the rest is a transport of whole kilograms, whose best plan is whole
//! (Dantzig 1951, Application of the simplex method to a transportation problem), so trying all whole
//! amounts finds the best of all amounts.

use super::instances::{self, Seeded, monday};
use crate::dough::formula::Colour;
use crate::planning::figures::Figures;
use crate::planning::model::{DISTANCE, EACH_LOT, FRESHNESS, Facts};
use crate::planning::oldest_first;
use crate::planning::problem::Situation;
use crate::planning::search::{Patience, search};
use crate::planning::windows::{State, Windows};
use crate::quantity::Milligrams;
use chrono::Duration;

fn tiny(seed: u64) -> Situation {
    let mut random = Seeded::new(seed);
    let mut situation = instances::empty();
    situation.end = monday() + Duration::days(9);
    situation.capacity.portion = Milligrams::new(4_000_000);
    situation.capacity.has_freezer = random.chance(70);
    if random.chance(40) {
        situation.capacity.dryer_water = Milligrams::new(1_000_000_000);
    }
    let lots = random.whole(1, 2);
    for index in 0..lots {
        let mash_out = monday() - Duration::minutes(random.whole(720, 6 * 1440));
        let mut lot = instances::lot(
            &format!("L{index}"),
            mash_out,
            4000 * random.whole(1, 3),
            0.75,
        );
        if random.chance(30) {
            lot.colour = Some(Colour::Dark);
        }
        situation.lots.push(lot);
    }
    for index in 0..random.whole(1, 3) {
        let mix = monday() + Duration::minutes(random.whole(60, 9 * 1440 - 1));
        let lowest = random.whole(1, 2);
        let wanted = lowest + random.whole(0, 1);
        let bounds =
            [lowest, wanted, wanted + random.whole(0, 1)].map(|kilograms| kilograms * 1000);
        let mut bake = instances::bake(&format!("B{index}"), mix, bounds);
        bake.firm = random.chance(70);
        bake.most_lots = random.chance(40).then_some(1);
        if random.chance(30) {
            bake.colour = Some(Colour::Pale);
        }
        situation.bakes.push(bake);
    }
    situation
}

/// One place to which a kilogram of a lot can go: a bake in a state, or no bake.
#[derive(Clone, Copy)]
enum Goes {
    Into(usize, State),
    Frozen,
    Dried,
    Nowhere,
}

/// The cheapest of all assignments of whole kilograms.
fn best(situation: &Situation, windows: &Windows) -> f64 {
    let ways: Vec<Vec<Goes>> = windows
        .lots
        .iter()
        .map(|window| {
            let mut ways = vec![Goes::Nowhere];
            for (bake, fit) in window.bakes.iter().enumerate() {
                ways.extend(
                    State::ALL
                        .into_iter()
                        .filter(|state| fit.allows(*state))
                        .map(|state| Goes::Into(bake, state)),
                );
            }
            ways.extend(window.freeze_by.map(|_| Goes::Frozen));
            ways.extend(window.dry_by.map(|_| Goes::Dried));
            ways
        })
        .collect();
    let kilograms: Vec<i64> = situation
        .lots
        .iter()
        .map(|lot| lot.wet.get() / 4_000_000)
        .collect();
    let mut amounts: Vec<Vec<i64>> = ways.iter().map(|ways| vec![0; ways.len()]).collect();
    let mut cheapest = f64::INFINITY;
    every(
        &kilograms,
        &mut amounts,
        0,
        0,
        kilograms[0],
        &mut |amounts| {
            if let Some(cost) = cost(situation, windows, &ways, amounts) {
                cheapest = cheapest.min(cost);
            }
        },
    );
    cheapest
}

/// Calls back with every way to give out each lot's kilograms.
fn every(
    kilograms: &[i64],
    amounts: &mut Vec<Vec<i64>>,
    lot: usize,
    way: usize,
    left: i64,
    call: &mut dyn FnMut(&[Vec<i64>]),
) {
    if way + 1 == amounts[lot].len() {
        amounts[lot][way] = left;
        match kilograms.get(lot + 1) {
            Some(next) => every(kilograms, amounts, lot + 1, 0, *next, call),
            None => call(amounts),
        }
        return;
    }
    for amount in 0..=left {
        amounts[lot][way] = amount;
        every(kilograms, amounts, lot, way + 1, left - amount, call);
    }
}

/// What an assignment costs, or nothing where it breaks a condition.
fn cost(
    situation: &Situation,
    windows: &Windows,
    ways: &[Vec<Goes>],
    amounts: &[Vec<i64>],
) -> Option<f64> {
    let mut got = vec![0; situation.bakes.len()];
    let mut lots = vec![0; situation.bakes.len()];
    let mut cost = 0.0;
    for (lot, window) in windows.lots.iter().enumerate() {
        let mut into = vec![0; situation.bakes.len()];
        for (way, amount) in ways[lot].iter().zip(&amounts[lot]) {
            let dry = *amount as f64;
            let water = 4.0 - 1.0 / (1.0 - situation.capacity.dried_moisture);
            let freezing = 4.0 * situation.costs.freezing_per_kg;
            let drying = water * situation.costs.drying_per_kg;
            let unused = if window.spoils {
                10.0 * situation.costs.unused_counts
            } else {
                10.0
            };
            cost += dry
                * match way {
                    Goes::Nowhere if window.spoils => 10.0,
                    Goes::Nowhere => 0.0,
                    Goes::Frozen => unused + freezing,
                    Goes::Dried => unused + drying,
                    Goes::Into(bake, state) => {
                        into[*bake] += amount;
                        match state {
                            State::Thawed => freezing,
                            State::Dried => drying,
                            State::AsItLies => {
                                let until = window.until.unwrap();
                                let hours = (until - situation.bakes[*bake].mix).num_minutes()
                                    as f64
                                    / 60.0;
                                FRESHNESS * hours / 6.0
                            }
                        }
                    }
                };
        }
        for (bake, kilograms) in into
            .into_iter()
            .enumerate()
            .filter(|(_, kilograms)| *kilograms > 0)
        {
            got[bake] += kilograms;
            lots[bake] += 1;
            cost += EACH_LOT;
        }
    }
    for (bake, wishes) in situation.bakes.iter().enumerate() {
        let [lowest, wanted, highest] =
            [wishes.lowest, wishes.wanted, wishes.highest].map(|mass| mass.get() / 1_000_000);
        if got[bake] > highest || wishes.most_lots.is_some_and(|most| lots[bake] > most) {
            return None;
        }
        if wishes.firm {
            cost += 1000.0 * (lowest - got[bake]).max(0) as f64;
        } else if got[bake] == 0 {
            continue;
        } else if got[bake] < lowest {
            return None;
        }
        cost += DISTANCE * (got[bake] - wanted).abs() as f64;
    }
    Some(cost)
}

#[test]
fn five_hundred_tiny_instances_are_planned_as_well_as_by_trying_everything() {
    let mut with_freezing = 0;
    for seed in 0..500 {
        let situation = tiny(seed);
        let windows = Windows::of(&situation);
        let figures = Figures::of(&situation, &windows);
        let facts = Facts {
            situation: &situation,
            windows: &windows,
            figures: &figures,
        };
        let found = search(
            facts,
            &oldest_first::plan(facts),
            Patience::default(),
            &mut |_, _| true,
        );
        let expected = best(&situation, &windows);
        assert!(found.proven, "seed {seed}");
        assert!(
            (found.cost - expected).abs() < 1e-6 * expected.abs().max(1.0),
            "seed {seed}: {} instead of {expected}",
            found.cost
        );
        with_freezing += usize::from(
            found
                .draft
                .draws
                .iter()
                .any(|draw| draw.state == State::Thawed),
        );
    }
    // The instances are no toys in which nothing is frozen.
    assert!(with_freezing > 50, "{with_freezing}");
}
