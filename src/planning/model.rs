//! The task as a mixed-integer program. `docs/planner.md` writes it in symbols.
//!
//! Freezing has no column for its day: nothing limits freezing by the day, so the last good evening does
//! as well as any before it. Drying is limited by the day and has one.

use super::draft::{Draft, DraftDraw};
use super::figures::{Figures, kilograms};
use super::problem::{PromiseRule, Situation};
use super::program::{Program, Sense};
use super::windows::{State, Windows};

mod cuts;
mod limits;
mod meaning;

/// How much a unit of each aim weighs; the greater ones come first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// A kilogram of dry grain that a firm bake lacks.
    pub short: f64,
    /// A kilogram of dry grain spoiled.
    pub spoiled: f64,
    /// All aims below: money, distance, lots, age.
    pub rest: f64,
}

impl Weights {
    /// As plans are made.
    pub const ALL: Self = Self {
        short: 1000.0,
        spoiled: 10.0,
        rest: 1.0,
    };
    /// The first aim by itself.
    pub const SHORT: Self = Self {
        short: 1.0,
        spoiled: 0.0,
        rest: 0.0,
    };
    /// The second aim by itself.
    pub const SPOILED: Self = Self {
        short: 0.0,
        spoiled: 1.0,
        rest: 0.0,
    };
}

/// A kilogram away from the wanted share.
pub const DISTANCE: f64 = 0.5;
/// One lot in one bake.
pub const EACH_LOT: f64 = 0.05;
/// A kilogram used six hours before it is past.
pub const FRESHNESS: f64 = 0.002;
/// A promised kilogram that stays, where promises hold: more than a kilogram short.
const PROMISE_HOLDS: f64 = 5000.0;
/// The same where they hold only if no aim suffers: less than the distance of a kilogram.
const PROMISE_IF_FREE: f64 = 0.1;

/// Whether a lot goes into a bake, where the search has decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// To be decided.
    Open,
    /// Decided: with as much as the other conditions say.
    In,
    /// Decided: not at all.
    Out,
}

/// The program, and what its columns mean.
#[derive(Debug, Clone)]
pub struct Model {
    /// The program.
    pub program: Program,
    pairs: Vec<Pair>,
    happens: Vec<Option<usize>>,
    short: Vec<Option<usize>>,
    over_under: Vec<[usize; 2]>,
    spoiled: Vec<usize>,
    frozen_unused: Vec<Option<usize>>,
    dried_unused: Vec<Option<usize>>,
    drying: Vec<Vec<(usize, usize)>>,
    kept: Vec<(usize, usize, usize, f64)>,
}

#[derive(Debug, Clone)]
struct Pair {
    lot: usize,
    bake: usize,
    chosen: usize,
    amounts: Vec<(State, usize)>,
}

/// What a model is built from.
#[derive(Debug, Clone, Copy)]
pub struct Facts<'a> {
    /// The situation.
    pub situation: &'a Situation,
    /// Its windows.
    pub windows: &'a Windows,
    /// Its figures.
    pub figures: &'a Figures,
}

impl Model {
    /// Writes the program. `choice` says what is decided already about a lot and a bake.
    pub fn build(
        facts: Facts<'_>,
        weights: Weights,
        choice: &dyn Fn(usize, usize) -> Choice,
    ) -> Self {
        let mut model = Self {
            program: Program::default(),
            pairs: Vec::new(),
            happens: Vec::new(),
            short: Vec::new(),
            over_under: Vec::new(),
            spoiled: Vec::new(),
            frozen_unused: Vec::new(),
            dried_unused: Vec::new(),
            drying: Vec::new(),
            kept: Vec::new(),
        };
        model.add_pairs(facts, weights, choice);
        model.add_bakes(facts, weights);
        model.add_lots(facts, weights);
        model.add_freezer(facts);
        model.add_dryer(facts);
        model.add_promises(facts, weights);
        model
    }

    fn add_pairs(
        &mut self,
        facts: Facts<'_>,
        weights: Weights,
        choice: &dyn Fn(usize, usize) -> Choice,
    ) {
        let Facts {
            situation,
            windows,
            figures,
        } = facts;
        for (lot, window) in windows.lots.iter().enumerate() {
            for (bake, fit) in window.bakes.iter().enumerate() {
                let most = figures.dry[lot].min(figures.bakes[bake][2]);
                let choice = choice(lot, bake);
                if choice == Choice::Out || most < figures.portion[lot] || most <= 0.0 {
                    continue;
                }
                let states: Vec<State> = State::ALL
                    .into_iter()
                    .filter(|state| fit.allows(*state))
                    .filter(|state| {
                        *state != State::Thawed || window.frozen || window.freeze_by.is_some()
                    })
                    .collect();
                if states.is_empty() {
                    continue;
                }
                let chosen = self.program.choice(weights.rest * EACH_LOT);
                if choice == Choice::In {
                    self.program.columns[chosen].lower = 1.0;
                }
                let amounts: Vec<(State, usize)> = states
                    .into_iter()
                    .map(|state| {
                        let work = figures.work(situation, windows, lot, state);
                        let cost = weights.rest * (work + freshness(facts, lot, bake, state));
                        (state, self.program.amount(cost, most))
                    })
                    .collect();
                let sum = |factor: f64| {
                    let mut terms: Vec<_> =
                        amounts.iter().map(|(_, column)| (*column, 1.0)).collect();
                    terms.push((chosen, -factor));
                    terms
                };
                self.program.row(sum(most), Sense::AtMost, 0.0);
                self.program
                    .row(sum(figures.portion[lot]), Sense::AtLeast, 0.0);
                self.pairs.push(Pair {
                    lot,
                    bake,
                    chosen,
                    amounts,
                });
            }
        }
    }

    fn add_bakes(&mut self, facts: Facts<'_>, weights: Weights) {
        for (index, bake) in facts.situation.bakes.iter().enumerate() {
            let [lowest, wanted, highest] = facts.figures.bakes[index];
            // Whether a bake happens weighs most of all choices, and the solver decides first what costs most.
            // So the distance is written as wanted − given + 2 · over where it may not happen: the same sum,
            // but with a cost at the choice.
            let distance = weights.rest * DISTANCE;
            let moved = if bake.firm { 0.0 } else { distance };
            let happens = (!bake.firm).then(|| self.program.choice(moved * wanted));
            let short = bake
                .firm
                .then(|| self.program.amount(weights.short, lowest));
            let over = self
                .program
                .amount(distance + moved, (highest - wanted).max(0.0));
            let under = self.program.amount(distance - moved, wanted);
            let mine: Vec<&Pair> = self
                .pairs
                .iter()
                .filter(|pair| pair.bake == index)
                .collect();
            let amounts: Vec<(usize, f64)> = mine
                .iter()
                .flat_map(|pair| pair.amounts.iter().map(|(_, column)| (*column, 1.0)))
                .collect();
            let chosen: Vec<usize> = mine.iter().map(|pair| pair.chosen).collect();
            for (column, _) in &amounts {
                self.program.columns[*column].cost -= moved;
            }
            // A sum against a bound, or against a bound that holds only where the bake happens.
            let against = |mut terms: Vec<(usize, f64)>, bound: f64| match happens {
                Some(happens) => {
                    terms.push((happens, -bound));
                    (terms, 0.0)
                }
                None => (terms, bound),
            };
            let mut least = amounts.clone();
            least.extend(short.map(|short| (short, 1.0)));
            let (terms, bound) = against(least, lowest);
            self.program.row(terms, Sense::AtLeast, bound);
            let (terms, bound) = against(amounts.clone(), highest);
            self.program.row(terms, Sense::AtMost, bound);
            let mut distance = amounts;
            distance.extend([(over, -1.0), (under, 1.0)]);
            let (terms, bound) = against(distance, wanted);
            self.program.row(terms, Sense::Exactly, bound);
            if let Some(most) = bake.most_lots.filter(|most| *most < chosen.len()) {
                let (terms, bound) = against(
                    chosen.iter().map(|column| (*column, 1.0)).collect(),
                    most as f64,
                );
                self.program.row(terms, Sense::AtMost, bound);
            }
            if bake.most_lots == Some(1) {
                self.add_single(index, [lowest, wanted], under, short);
            }
            self.add_cuts(facts, index, [over, under], short, happens);
            if let Some(happens) = happens {
                for column in &chosen {
                    self.program
                        .row(vec![(*column, 1.0), (happens, -1.0)], Sense::AtMost, 0.0);
                }
            }
            self.happens.push(happens);
            self.short.push(short);
            self.over_under.push([over, under]);
        }
    }

    fn add_lots(&mut self, facts: Facts<'_>, weights: Weights) {
        let Facts {
            situation,
            windows,
            figures,
        } = facts;
        for (lot, window) in windows.lots.iter().enumerate() {
            let preserved = |work: f64| {
                let half = if window.spoils {
                    situation.costs.unused_counts
                } else {
                    1.0
                };
                weights.spoiled * half + weights.rest * work
            };
            let spoiled = self.program.amount(
                if window.spoils { weights.spoiled } else { 0.0 },
                figures.dry[lot],
            );
            let frozen = window.freeze_by.map(|_| {
                let work = figures.work(situation, windows, lot, State::Thawed);
                self.program.amount(preserved(work), figures.dry[lot])
            });
            let dried = window.dry_by.map(|_| {
                let work = figures.work(situation, windows, lot, State::Dried);
                self.program.amount(preserved(work), figures.dry[lot])
            });
            let mut terms: Vec<(usize, f64)> = self
                .of_lot(lot)
                .map(|(_, _, column)| (column, 1.0))
                .collect();
            terms.push((spoiled, 1.0));
            terms.extend(frozen.into_iter().chain(dried).map(|column| (column, 1.0)));
            self.program.row(terms, Sense::Exactly, figures.dry[lot]);
            self.spoiled.push(spoiled);
            self.frozen_unused.push(frozen);
            self.dried_unused.push(dried);
        }
    }

    /// The bakes, states and columns of a lot.
    fn of_lot(&self, lot: usize) -> impl Iterator<Item = (usize, State, usize)> + '_ {
        self.pairs
            .iter()
            .filter(move |pair| pair.lot == lot)
            .flat_map(|pair| {
                pair.amounts
                    .iter()
                    .map(|(state, column)| (pair.bake, *state, *column))
            })
    }

    /// Lot, bake and column of every amount.
    #[cfg(test)]
    pub fn amounts(&self) -> Vec<(usize, usize, usize)> {
        self.pairs
            .iter()
            .flat_map(|pair| {
                let of_pair = |(_, column): &(State, usize)| (pair.lot, pair.bake, *column);
                pair.amounts.iter().map(of_pair)
            })
            .collect()
    }

    /// Says anew what a kilogram weighs that a bake lacks.
    pub fn weigh_short(&mut self, bake: usize, weight: f64) {
        if let Some(short) = self.short[bake] {
            self.program.columns[short].cost = weight;
        }
    }

    /// Holds the first aim at what was reached.
    pub fn hold_short(&mut self, most: f64) {
        let terms = self
            .short
            .iter()
            .flatten()
            .map(|column| (*column, 1.0))
            .collect();
        self.program.row(terms, Sense::AtMost, most);
    }
}

/// What using grain long before it is past costs: the oldest goes first.
fn freshness(facts: Facts<'_>, lot: usize, bake: usize, state: State) -> f64 {
    let window = &facts.windows.lots[lot];
    if state != State::AsItLies && !window.frozen {
        return 0.0;
    }
    let situation = facts.situation;
    let until = window
        .until
        .unwrap_or(situation.end + chrono::Duration::days(7));
    let hours = (until - situation.bakes[bake].mix).num_minutes() as f64 / 60.0;
    FRESHNESS * hours.max(0.0) / 6.0
}
