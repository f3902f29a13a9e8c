//! Finds a good plan: proves small ones best, and improves large ones a few bakes at a time.
//!
//! First only choices that the relaxation leans to are open. Then the choices of a neighbourhood of bakes are
//! freed, all others are held as they are, and every amount is decided anew; what is better is kept. Between a
//! few such neighbourhoods and the rest of them, small programs are solved as a whole. The bound stays the one
//! of the whole program, so the stated gap is true.

use super::cuts::{Tightened, relaxed, tightened};
use super::draft::Draft;
use super::model::{Choice, Facts, Model, Weights};
use super::program::Program;
use super::relaxation::Relaxation;
use super::tree::{Effort, Solved, solve};
use std::collections::HashSet;

/// How long to look for a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patience {
    /// Nodes for the whole program.
    pub nodes: u64,
    /// Nodes for the whole program where nothing is short or spoiled any more, or at most 20 g of what is could be
    /// saved, so that only the aims below could gain.
    pub lower_nodes: u64,
    /// Nodes for one neighbourhood of bakes.
    pub neighbourhood_nodes: u64,
    /// Neighbourhoods at most.
    pub neighbourhoods: usize,
    /// Part of the cost that may be left to save for a plan to count as proven.
    pub gap: f64,
}

impl Default for Patience {
    /// A week is proven, a month of a large bakery comes near it in about ten seconds: our choice.
    fn default() -> Self {
        Self {
            nodes: 3000,
            lower_nodes: 150,
            neighbourhood_nodes: 150,
            neighbourhoods: 400,
            gap: 0.0,
        }
    }
}

/// Says whether to go on, at the best cost and bound so far.
pub type Watch<'a> = dyn FnMut(f64, f64) -> bool + 'a;

/// The best draft found.
#[derive(Debug, Clone)]
pub struct Found {
    /// The draft.
    pub draft: Draft,
    /// Its cost in the whole program.
    pub cost: f64,
    /// No plan costs less.
    pub bound: f64,
    /// Nothing is better.
    pub proven: bool,
    /// The watch ended the search.
    pub stopped: bool,
}

/// Programs with more open choices than this are not given many nodes as a whole: proof would be luck.
const LARGE: usize = 700;
/// Programs with fewer open choices are solved as a whole at once: there is little to prepare for.
const TINY: usize = 120;
/// Choices freed at a time at first.
const FIRST_NEIGHBOURHOOD: usize = 60;
/// Choices freed at a time at most.
const WIDEST_NEIGHBOURHOOD: usize = 480;
/// Rounds of cuts before a small program is solved. A relaxation of a large one costs more than they gain.
const ROUNDS: usize = 12;
/// Nodes for the choices that the relaxation leans to, in a small program and in a large one.
const LEANING_NODES: [u64; 2] = [200, 600];
/// Nodes for a small program as a whole, and neighbourhoods after them, before it is solved to the end.
const FIRST_NODES: u64 = 100;
const FIRST_NEIGHBOURHOODS: usize = 100;
/// Nodes between two looks.
const SLICE: u64 = 5;

/// Whether a program has too many open choices to be solved as a whole.
pub(super) fn is_large(program: &Program) -> bool {
    program.choices() > LARGE
}

/// Searches from a known plan.
pub fn search(facts: Facts<'_>, start: &Draft, patience: Patience, watch: &mut Watch<'_>) -> Found {
    let model = Model::build(facts, Weights::ALL, &|_, _| Choice::Open);
    let values = model.values(facts, start);
    // A start that breaks a condition is no plan; anything found is better.
    let holds = model.program.worst_breach(&values) < 1e-6;
    let mut found = Found {
        draft: start.clone(),
        cost: if holds {
            model.program.cost(&values)
        } else {
            f64::INFINITY
        },
        bound: f64::NEG_INFINITY,
        proven: false,
        stopped: false,
    };
    let large = is_large(&model.program);
    let root = if large {
        None
    } else {
        tightened(&model.program, ROUNDS)
    };
    let leaning = match &root {
        Some(root) => {
            found.bound = root.bound;
            model.leaning(root.tableau.values())
        }
        None => {
            let Some(relaxation) = Relaxation::of(&model.program) else {
                return found;
            };
            found.bound = relaxation.cost;
            model.leaning(&relaxation.values)
        }
    };
    let nodes = LEANING_NODES[usize::from(large)].min(patience.nodes);
    look(&mut found, watch);
    let tiny = model.program.choices() < TINY;
    if !tiny {
        decide_leaning(facts, &mut found, &leaning, nodes, watch);
    }
    if let Some(root) = root {
        if !tiny {
            // Most are proven at once; for the others a better plan leaves less of the tree.
            let at_first = Patience {
                nodes: patience.nodes.min(FIRST_NODES),
                neighbourhoods: patience.neighbourhoods.min(FIRST_NEIGHBOURHOODS),
                ..patience
            };
            as_a_whole(facts, &mut found, (&model, root.clone()), at_first, watch);
            improve(facts, &mut found, at_first, watch);
        }
        if !found.proven {
            as_a_whole(facts, &mut found, (&model, root), patience, watch);
        }
    }
    if !found.proven {
        improve(facts, &mut found, patience, watch);
    }
    found
}

fn look(found: &mut Found, watch: &mut Watch<'_>) {
    found.stopped = found.stopped || !watch(found.cost, found.bound);
}

/// Solves the whole program, until nothing is better or its nodes are used up.
fn as_a_whole(
    facts: Facts<'_>,
    found: &mut Found,
    (model, root): (&Model, Tightened),
    patience: Patience,
    watch: &mut Watch<'_>,
) {
    if found.stopped {
        return;
    }
    let values = model.values(facts, &found.draft);
    let effort = Effort {
        nodes: patience.nodes,
        slice: SLICE,
        gap: patience.gap,
    };
    let (mut stopped, mut looks) = (false, 0);
    let (cost, bound) = (found.cost, found.bound);
    let solved = solve(root, Some(&values), effort, &mut |solved| {
        stopped |= !watch(solved.cost.min(cost), solved.bound.max(bound));
        looks += 1;
        let enough = looks * effort.slice >= patience.lower_nodes
            && (is_near(solved.cost.min(cost), solved.bound.max(bound)) || {
                let (short, spoiled) = first_two(facts, &model.draft(facts, &solved.values));
                short + spoiled < 1e-6
            });
        !stopped && !enough
    });
    if let Some(solved) = solved {
        found.proven = solved.proven;
        found.bound = found.bound.max(solved.bound);
        if solved.cost < found.cost {
            found.cost = solved.cost;
            found.draft = model.draft(facts, &solved.values);
        }
    }
    found.stopped = stopped;
}

/// Decides among the choices that the relaxation leans to and those already taken.
fn decide_leaning(
    facts: Facts<'_>,
    found: &mut Found,
    leaning: &HashSet<(usize, usize)>,
    nodes: u64,
    watch: &mut Watch<'_>,
) {
    let used = used(&found.draft);
    let choice = |lot: usize, bake: usize| {
        if leaning.contains(&(lot, bake)) || used.contains(&(lot, bake)) {
            Choice::Open
        } else {
            Choice::Out
        }
    };
    take_better(facts, found, nodes, &choice, watch);
}

/// What is left to save at most where only the aims below the first two could gain: 20 g of dry grain spoiled, or
/// 0.2 g short. Nobody waits half a minute for that.
const NEAR: f64 = 0.2;

fn is_near(cost: f64, bound: f64) -> bool {
    cost - bound <= NEAR
}

/// Frees the choices of a few bakes at a time.
fn improve(facts: Facts<'_>, found: &mut Found, patience: Patience, watch: &mut Watch<'_>) {
    let bakes = by_time(facts);
    let choices: Vec<usize> = bakes
        .iter()
        .map(|bake| {
            facts
                .windows
                .lots
                .iter()
                .filter(|lot| lot_fits(lot, *bake))
                .count()
        })
        .collect();
    // A neighbourhood as wide as half of everything is the whole program once more.
    let widest = WIDEST_NEIGHBOURHOOD.min(choices.iter().sum::<usize>() / 2);
    let mut width = FIRST_NEIGHBOURHOOD.min(widest.max(1));
    let mut at = 0;
    let mut without_gain = 0;
    for turn in 0..patience.neighbourhoods {
        // The bound reached: nothing better is left to look for.
        let slack = patience.gap.max(1e-9) * found.cost.abs().max(1.0);
        found.proven = found.proven || found.cost - found.bound <= slack;
        if bakes.is_empty() || found.stopped || found.proven {
            return;
        }
        let free = if turn % 3 == 2 {
            around_a_shortage(facts, found, turn, width)
        } else {
            let mut free = Vec::new();
            let mut open = 0;
            while open < width && free.len() < bakes.len() {
                let next = (at + free.len()) % bakes.len();
                free.push(bakes[next]);
                open += choices[next];
            }
            at = (at + free.len().div_ceil(2)) % bakes.len();
            free
        };
        // A wider neighbourhood has more to try.
        let nodes = patience.neighbourhood_nodes * width.div_ceil(FIRST_NEIGHBOURHOOD) as u64;
        let gain = decide_anew(facts, found, &free, nodes, watch);
        without_gain = if gain { 0 } else { without_gain + 1 };
        if without_gain > 2 * bakes.len().div_ceil(free.len().max(1)) + 3 {
            if width >= widest || is_near(found.cost, found.bound) {
                return;
            }
            width *= 2;
            without_gain = 0;
        }
    }
}

fn by_time(facts: Facts<'_>) -> Vec<usize> {
    let mut bakes: Vec<usize> = (0..facts.situation.bakes.len()).collect();
    bakes.sort_by_key(|bake| (facts.situation.bakes[*bake].mix, *bake));
    bakes
}

fn lot_fits(lot: &super::windows::LotWindow, bake: usize) -> bool {
    super::windows::State::ALL
        .iter()
        .any(|state| lot.bakes[bake].allows(*state))
}

/// A bake that lacks grain, or is far from what it wants, and bakes that use lots which it could use.
fn around_a_shortage(facts: Facts<'_>, found: &Found, turn: usize, width: usize) -> Vec<usize> {
    let lacks = |bake: usize| facts.figures.bakes[bake][1] - found.draft.got(bake);
    let mut lacking: Vec<usize> = by_time(facts);
    lacking.sort_by(|one, other| lacks(*other).total_cmp(&lacks(*one)));
    let Some(chosen) = lacking.get(turn / 3 % lacking.len().max(1)).copied() else {
        return Vec::new();
    };
    let mut free = vec![chosen];
    let mut open = 0;
    for draw in &found.draft.draws {
        if open >= width {
            break;
        }
        if lot_fits(&facts.windows.lots[draw.lot], chosen) && !free.contains(&draw.bake) {
            free.push(draw.bake);
            open += facts
                .windows
                .lots
                .iter()
                .filter(|lot| lot_fits(lot, draw.bake))
                .count();
        }
    }
    free
}

/// Decides the choices of these bakes and all amounts anew; returns whether that was better.
fn decide_anew(
    facts: Facts<'_>,
    found: &mut Found,
    free: &[usize],
    nodes: u64,
    watch: &mut Watch<'_>,
) -> bool {
    let used = used(&found.draft);
    let choice = |lot: usize, bake: usize| {
        if free.contains(&bake) {
            Choice::Open
        } else if used.contains(&(lot, bake)) {
            Choice::In
        } else {
            Choice::Out
        }
    };
    take_better(facts, found, nodes, &choice, watch)
}

fn used(draft: &Draft) -> HashSet<(usize, usize)> {
    let of_draw = |draw: &super::draft::DraftDraw| (draw.lot, draw.bake);
    draft.draws.iter().map(of_draw).collect()
}

/// Solves the program with these choices from the draft at hand and keeps what is better.
fn take_better(
    facts: Facts<'_>,
    found: &mut Found,
    nodes: u64,
    choice: &dyn Fn(usize, usize) -> Choice,
    watch: &mut Watch<'_>,
) -> bool {
    if found.stopped {
        return false;
    }
    let model = Model::build(facts, Weights::ALL, choice);
    let values = model.values(facts, &found.draft);
    let effort = Effort {
        nodes,
        slice: SLICE,
        gap: 0.0,
    };
    let (mut stopped, cost, bound) = (false, found.cost, found.bound);
    let Some(root) = relaxed(&model.program) else {
        return false;
    };
    let better = solve(root, Some(&values), effort, &mut |solved| {
        stopped |= !watch(solved.cost.min(cost), bound);
        !stopped
    })
    .filter(|solved: &Solved| {
        // Whatever costs something is better than a start that is no plan.
        cost.is_infinite() || solved.cost < cost - 1e-7 * cost.abs().max(1.0)
    });
    found.stopped = stopped;
    match better {
        Some(solved) => {
            found.cost = solved.cost;
            found.draft = model.draft(facts, &solved.values);
            true
        }
        None => false,
    }
}

/// Kilograms short and kilograms spoiled, preserved unused grain in its part.
pub(super) fn first_two(facts: Facts<'_>, draft: &Draft) -> (f64, f64) {
    let Facts {
        situation,
        windows,
        figures,
    } = facts;
    let firm = (0..situation.bakes.len()).filter(|bake| situation.bakes[*bake].firm);
    let short = firm
        .map(|bake| (figures.bakes[bake][0] - draft.got(bake)).max(0.0))
        .sum();
    let spoiled = (0..situation.lots.len())
        .map(|lot| {
            let unused = draft.frozen_unused[lot] + draft.dried_unused[lot];
            if windows.lots[lot].spoils {
                figures.dry[lot] - draft.taken(lot) + situation.costs.unused_counts * unused
            } else {
                unused
            }
        })
        .sum();
    (short, spoiled)
}
