//! Every choice of tiny instances, tried one by one.
//!
//! Lots hold one to three kilograms of dry grain, bakes want whole kilograms and the smallest portion is one. For
//! each way to choose which lots go into which bakes, what is left to decide is a linear program, written here from
//! docs/planner.md and solved by a library that the planner does not use for programs of this size. Aim after aim,
//! the choices that come to the least stay.

use super::instances::{self, Seeded, monday};
use crate::dough::formula::Colour;
use crate::planning::aims::{Aim, order};
use crate::planning::figures::Figures;
use crate::planning::model::{EACH_LOT, FRESHNESS, Facts};
use crate::planning::oldest_first;
use crate::planning::problem::{PromisedDraw, Situation};
use crate::planning::search::{Patience, search};
use crate::planning::windows::{State, Windows};
use crate::quantity::Milligrams;
use chrono::Duration;
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, Variable};

fn tiny(seed: u64) -> Situation {
    let mut random = Seeded::new(seed);
    let mut situation = instances::empty();
    situation.end = monday() + Duration::days(9);
    situation.capacity.portion = Milligrams::new(4_000_000);
    // Only the likeliest moisture counts.
    situation.capacity.risk = 0.5;
    situation.costs.even_first = random.chance(30);
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
    if random.chance(40) {
        situation.promised.push(PromisedDraw {
            lot: random.whole(0, lots - 1) as usize,
            bake: random.whole(0, situation.bakes.len() as i64 - 1) as usize,
            wet: Milligrams::new(4_000_000 * random.whole(1, 2)),
        });
    }
    situation
}

/// A sum of variables with a constant.
#[derive(Clone, Default)]
struct Sum(Vec<(usize, f64)>, f64);

/// A condition: terms, their sense, the bound.
type Row = (Vec<(usize, f64)>, ComparisonOp, f64);

/// What is left to decide once it is known which lots go into which bakes.
struct Rest {
    variables: usize,
    rows: Vec<Row>,
    aims: Vec<(Aim, Sum)>,
}

impl Rest {
    fn variable(&mut self) -> usize {
        self.variables += 1;
        self.variables - 1
    }

    fn row(&mut self, terms: Vec<(usize, f64)>, sense: ComparisonOp, bound: f64) {
        self.rows.push((terms, sense, bound));
    }

    /// The least that an aim comes to, those before it held; nothing where the choice cannot be.
    fn least(&self, aim: Aim, held: &[(Aim, f64)]) -> Option<f64> {
        let sum = |wanted: Aim| &self.aims.iter().find(|(aim, _)| *aim == wanted).unwrap().1;
        let mut costs = vec![0.0; self.variables];
        for (variable, part) in &sum(aim).0 {
            costs[*variable] += part;
        }
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let variables: Vec<Variable> = costs
            .iter()
            .map(|cost| problem.add_var(*cost, (0.0, 1000.0)))
            .collect();
        let mut slack = 1e-7 / 2.5;
        let limits = held.iter().map(|(aim, limit)| {
            let sum = sum(*aim);
            slack *= 2.5;
            (sum.0.clone(), ComparisonOp::Le, limit + slack - sum.1)
        });
        for (terms, sense, bound) in self.rows.iter().cloned().chain(limits) {
            if terms.is_empty() {
                let holds = match sense {
                    ComparisonOp::Le => bound >= -1e-9,
                    ComparisonOp::Ge => bound <= 1e-9,
                    ComparisonOp::Eq => bound.abs() <= 1e-9,
                };
                if !holds {
                    return None;
                }
                continue;
            }
            let mut expression = LinearExpr::empty();
            for (variable, part) in terms {
                expression.add(variables[variable], part);
            }
            problem.add_constraint(expression, sense, bound);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        Some(solution.objective() + sum(aim).1)
    }
}

/// What is left to decide with these lots in these bakes; nothing where that may not be.
fn rest(situation: &Situation, windows: &Windows, chosen: &[(usize, usize)]) -> Option<Rest> {
    let mut rest = Rest {
        variables: 0,
        rows: Vec::new(),
        aims: Vec::new(),
    };
    let kilograms = |mass: Milligrams| mass.get() as f64 / 1e6;
    let mut of_lot: Vec<Vec<(usize, f64)>> = vec![Vec::new(); situation.lots.len()];
    let mut of_bake: Vec<Vec<(usize, f64)>> = vec![Vec::new(); situation.bakes.len()];
    let mut lots = vec![0; situation.bakes.len()];
    let mut work = Sum(Vec::new(), EACH_LOT * chosen.len() as f64);
    let freezing = 4.0 * situation.costs.freezing_per_kg;
    let water = 4.0 - 1.0 / (1.0 - situation.capacity.dried_moisture);
    let drying = water * situation.costs.drying_per_kg;
    let mut given = Vec::new();
    for (lot, bake) in chosen.iter().copied() {
        let mut amounts = Vec::new();
        for state in State::ALL {
            if !windows.lots[lot].bakes[bake].allows(state) {
                continue;
            }
            let amount = rest.variable();
            amounts.push((amount, 1.0));
            let until = |lot: usize| windows.lots[lot].until.unwrap();
            let lots = 0..situation.lots.len();
            let earlier = lots.filter(|other| until(*other) < until(lot)).count();
            // Every lot that lies fresh expires before what is frozen or dried.
            let fresh = situation.lots.len();
            let each = match state {
                State::AsItLies => FRESHNESS * earlier as f64,
                State::Thawed => freezing + FRESHNESS * fresh as f64,
                State::Dried => drying + FRESHNESS * fresh as f64,
            };
            work.0.push((amount, each));
        }
        if amounts.is_empty() {
            return None;
        }
        rest.row(amounts.clone(), ComparisonOp::Ge, 1.0);
        of_lot[lot].extend(&amounts);
        of_bake[bake].extend(&amounts);
        lots[bake] += 1;
        given.push((lot, bake, amounts));
    }
    let (mut spoiled, mut unused) = (Sum::default(), Sum::default());
    for (lot, window) in windows.lots.iter().enumerate() {
        let left = rest.variable();
        of_lot[lot].push((left, 1.0));
        if window.spoils {
            spoiled.0.push((left, 1.0));
            let ways = [
                (!window.freezing.is_empty(), freezing),
                (window.dry_by.is_some(), drying),
            ];
            for (_, each) in ways.into_iter().filter(|(is_a_way, _)| *is_a_way) {
                let kept = rest.variable();
                of_lot[lot].push((kept, 1.0));
                unused.0.push((kept, 1.0));
                work.0.push((kept, each));
            }
        } else {
            unused.0.push((left, 1.0));
        }
        let dry = kilograms(situation.lots[lot].wet) / 4.0;
        rest.row(of_lot[lot].clone(), ComparisonOp::Eq, dry);
    }
    let [mut short, mut firm_under, mut uneven] = [(); 3].map(|()| Sum::default());
    let [firm_worst, worst] = [(); 2].map(|()| rest.variable());
    let mut optional = Sum::default();
    let mut by_time: Vec<usize> = (0..situation.bakes.len()).collect();
    by_time.sort_by_key(|bake| (situation.bakes[*bake].mix, *bake));
    let mut rank = 0;
    for bake in by_time {
        let wishes = &situation.bakes[bake];
        if wishes.most_lots.is_some_and(|most| lots[bake] > most) {
            return None;
        }
        let [lowest, wanted, highest] =
            [wishes.lowest, wishes.wanted, wishes.highest].map(kilograms);
        let got = &of_bake[bake];
        rest.row(got.clone(), ComparisonOp::Le, highest);
        rank += i32::from(!wishes.firm);
        if !wishes.firm && lots[bake] == 0 {
            continue;
        }
        if !wishes.firm {
            optional.1 -= 1.0 + 0.5_f64.powi(rank + 1);
        }
        let mut least = got.clone();
        if wishes.firm {
            let lacks = rest.variable();
            least.push((lacks, 1.0));
            short.0.push((lacks, 1.0));
        }
        rest.row(least, ComparisonOp::Ge, lowest);
        let [over, under] = [(); 2].map(|()| rest.variable());
        let mut distance = got.clone();
        distance.extend([(over, -1.0), (under, 1.0)]);
        rest.row(distance, ComparisonOp::Eq, wanted);
        let each = 1.0 / wanted;
        uneven.0.extend([(over, each), (under, each)]);
        rest.row(
            vec![(over, each), (under, each), (worst, -1.0)],
            ComparisonOp::Le,
            0.0,
        );
        if wishes.firm {
            firm_under.0.push((under, each));
            rest.row(
                vec![(under, each), (firm_worst, -1.0)],
                ComparisonOp::Le,
                0.0,
            );
        }
    }
    let mut promises = Sum::default();
    for promised in &situation.promised {
        let fits = &windows.lots[promised.lot].bakes[promised.bake];
        if !State::ALL.iter().any(|state| fits.allows(*state)) {
            continue;
        }
        let missing = rest.variable();
        let mut terms = vec![(missing, 1.0)];
        for (lot, bake, amounts) in &given {
            if (*lot, *bake) == (promised.lot, promised.bake) {
                terms.extend(amounts);
            }
        }
        let dry = kilograms(promised.wet) / 4.0;
        rest.row(terms, ComparisonOp::Ge, dry);
        promises.0.push((missing, 1.0));
    }
    rest.aims = vec![
        (Aim::Short, short),
        (Aim::Promises, promises),
        (Aim::Risk, Sum::default()),
        (Aim::FirmWorst, Sum(vec![(firm_worst, 1.0)], 0.0)),
        (Aim::FirmUnder, firm_under),
        (Aim::Optional, optional),
        (Aim::Spoiled, spoiled),
        (Aim::Worst, Sum(vec![(worst, 1.0)], 0.0)),
        (Aim::Uneven, uneven),
        (Aim::Unused, unused),
        (Aim::Rest, work),
    ];
    Some(rest)
}

/// What the aims come to, each with the choices that are best in those before it.
fn best(situation: &Situation, windows: &Windows) -> Vec<f64> {
    let pairs: Vec<(usize, usize)> = (0..situation.lots.len())
        .flat_map(|lot| (0..situation.bakes.len()).map(move |bake| (lot, bake)))
        .collect();
    let mut choices: Vec<Rest> = (0..1_u32 << pairs.len())
        .filter_map(|set| {
            let chosen = (0..pairs.len()).filter(|at| set >> at & 1 == 1);
            let chosen: Vec<_> = chosen.map(|at| pairs[at]).collect();
            rest(situation, windows, &chosen)
        })
        .collect();
    let mut held = Vec::new();
    for aim in order(situation) {
        let all: Vec<(f64, Rest)> = choices
            .into_iter()
            .filter_map(|choice| Some((choice.least(aim, &held)?, choice)))
            .collect();
        let least = all
            .iter()
            .map(|(value, _)| *value)
            .fold(f64::INFINITY, f64::min);
        held.push((aim, least));
        let slack = 1e-7 * 2.5_f64.powi(held.len() as i32 - 1);
        let stay = all.into_iter().filter(|(value, _)| *value <= least + slack);
        choices = stay.map(|(_, choice)| choice).collect();
    }
    held.into_iter().map(|(_, value)| value).collect()
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
        let exact = Patience {
            exact: true,
            rest_nodes: 3000,
            ..Patience::default()
        };
        let found = search(facts, &oldest_first::plan(facts), exact, &mut |_| true);
        assert!(found.is_proven(), "seed {seed}");
        let expected = best(&situation, &windows);
        for (reached, expected) in found.reached.iter().zip(&expected) {
            let aim = reached.aim;
            assert!(
                (reached.value - expected).abs() < 1e-3,
                "seed {seed} {aim:?}: {} instead of {expected}",
                reached.value
            );
        }
        let is_thawed = |draw: &crate::planning::draft::DraftDraw| draw.state == State::Thawed;
        with_freezing += usize::from(found.draft.draws.iter().any(is_thawed));
    }
    // The instances are no toys in which nothing is frozen.
    assert!(with_freezing > 50, "{with_freezing}");
}
