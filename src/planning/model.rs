//! The task as a mixed-integer program. `docs/planner.md` writes it in symbols.
//!
//! Freezing has no column for its day: nothing limits freezing by the day, so the last good evening does
//! as well as any before it. Drying is limited by the day and has one.

use super::aims::{Aim, Weights};
use super::draft::{Draft, DraftDraw};
use super::figures::{Figures, kilograms};
use super::problem::Situation;
use super::program::{Program, Sense};
use super::windows::{State, Windows};
use crate::quantity::Instant;

mod cuts;
mod held;
mod limits;
mod meaning;

pub use held::{Held, keeps_wet, optional_worth};

/// Cost of weighing one lot out for one bake.
pub const EACH_LOT: f64 = 0.05;
/// Cost of a kilogram, for each other lot that expires sooner.
pub const FRESHNESS: f64 = 0.005;
/// Cost of a kilogram of a lot that a reading has yet to show to be good: more than that of any age.
const UNPROVEN: f64 = 0.04;

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
    bakes: Vec<BakeColumns>,
    /// For each lot, what spoils of it, what is frozen and what is dried for no bake.
    spoiled: Vec<usize>,
    /// For each lot, what spoils of a block that is taken out of the freezer.
    thawed_rest: Vec<Option<usize>>,
    blocks_out: Vec<BlockOut>,
    frozen_unused: Vec<Option<usize>>,
    dried_unused: Vec<Option<usize>>,
    drying: Vec<Vec<(usize, usize)>>,
    /// Lot, bake, column of what a promise lacks, and what was promised.
    missing: Vec<(usize, usize, usize, f64)>,
    /// The largest shortfall of a firm bake, and the largest distance of any.
    worst: [Option<usize>; 2],
    /// Lot, column and cost of each amount's work and age.
    rest: Vec<(usize, f64)>,
}

/// Columns of a bake; none where it is decided that it is not baked.
#[derive(Debug, Clone, Copy, Default)]
struct BakeColumns {
    happens: Option<usize>,
    short: Option<usize>,
    risk: Option<usize>,
    over_under: Option<[usize; 2]>,
}

#[derive(Debug, Clone)]
struct Pair {
    lot: usize,
    bake: usize,
    chosen: usize,
    amounts: Vec<(State, usize)>,
}

/// Whether a block is out of the freezer by the end of a day.
#[derive(Debug, Clone)]
struct BlockOut {
    lot: usize,
    day: usize,
    /// Number of bakes that could have it out by then.
    bakes: usize,
    column: usize,
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
    /// Writes the program. `choice` says what is decided already about a lot and a bake, `held` what the aims before
    /// have come to.
    pub fn build(
        facts: Facts<'_>,
        held: &Held,
        weights: Weights,
        choice: &dyn Fn(usize, usize) -> Choice,
    ) -> Self {
        let mut model = Self {
            program: Program::default(),
            pairs: Vec::new(),
            bakes: Vec::new(),
            spoiled: Vec::new(),
            thawed_rest: Vec::new(),
            blocks_out: Vec::new(),
            frozen_unused: Vec::new(),
            dried_unused: Vec::new(),
            drying: Vec::new(),
            missing: Vec::new(),
            worst: [None; 2],
            rest: Vec::new(),
        };
        model.add_pairs(facts, held, choice);
        model.add_bakes(facts, held);
        model.add_lots(facts);
        model.add_blocks(facts);
        model.add_freezer(facts);
        model.add_dryer(facts);
        model.add_promises(facts);
        model.add_worst(facts, weights);
        model.hold(facts, held);
        model.price(facts, weights);
        model
    }

    fn add_pairs(
        &mut self,
        facts: Facts<'_>,
        held: &Held,
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
                if held.is_out(bake) || !may_go(facts, lot, bake) {
                    continue;
                }
                let choice = choice(lot, bake);
                if choice == Choice::Out {
                    continue;
                }
                let states = State::ALL.into_iter().filter(|state| fit.allows(*state));
                let chosen = self.program.choice(0.0);
                self.rest.push((chosen, EACH_LOT));
                if choice == Choice::In {
                    self.program.columns[chosen].lower = 1.0;
                }
                let mut amounts = Vec::new();
                for state in states {
                    let column = self.program.amount(0.0, most);
                    let work = figures.work(situation, windows, lot, state);
                    self.rest
                        .push((column, work + freshness(facts, lot, state)));
                    amounts.push((state, column));
                }
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

    fn add_bakes(&mut self, facts: Facts<'_>, held: &Held) {
        for index in 0..facts.situation.bakes.len() {
            let columns = if held.is_out(index) {
                BakeColumns::default()
            } else {
                self.add_bake(facts, held, index)
            };
            self.bakes.push(columns);
        }
    }

    fn add_bake(&mut self, facts: Facts<'_>, held: &Held, index: usize) -> BakeColumns {
        let bake = &facts.situation.bakes[index];
        let [lowest, wanted, highest] = facts.figures.bakes[index];
        let is_open = !bake.firm && !held.is_in(index);
        let happens = is_open.then(|| self.program.choice(0.0));
        let short = bake.firm.then(|| self.program.amount(0.0, lowest));
        let over = self.program.amount(0.0, (highest - wanted).max(0.0));
        let under = self.program.amount(0.0, wanted);
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
        let water: Vec<(usize, f64)> = mine
            .iter()
            .flat_map(|pair| {
                pair.amounts.iter().filter_map(|(state, column)| {
                    let of = (pair.lot, index, *state);
                    let water = facts.figures.water_in_bake(facts.situation, of)?;
                    Some((*column, water))
                })
            })
            .collect();
        // The same grain as it is where its lots are as wet as they may be.
        let at_the_wet_end: Vec<(usize, f64)> = mine
            .iter()
            .flat_map(|pair| {
                let part = facts.figures.wet_end[pair.lot];
                pair.amounts.iter().map(move |(_, column)| (*column, part))
            })
            .collect();
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
        let is_risky = bake.firm && facts.figures.is_at_risk(index);
        let risk = is_risky.then(|| self.program.amount(0.0, lowest));
        if let Some(risk) = risk {
            let mut terms = at_the_wet_end;
            terms.push((risk, 1.0));
            self.program.row(terms, Sense::AtLeast, lowest);
        }
        let (terms, bound) = against(amounts.clone(), highest);
        self.program.row(terms, Sense::AtMost, bound);
        if let Some(room) = facts.figures.water_room[index] {
            self.program.row(water, Sense::AtMost, room);
        }
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
        BakeColumns {
            happens,
            short,
            risk,
            over_under: Some([over, under]),
        }
    }

    fn add_lots(&mut self, facts: Facts<'_>) {
        let Facts {
            situation,
            windows,
            figures,
        } = facts;
        for (lot, window) in windows.lots.iter().enumerate() {
            let spoiled = self.program.amount(0.0, figures.dry[lot]);
            let mut preserved = |state: State, is_a_way: bool| {
                // What keeps as it lies is neither frozen nor dried for no bake.
                (is_a_way && window.spoils).then(|| {
                    let column = self.program.amount(0.0, figures.dry[lot]);
                    let work = figures.work(situation, windows, lot, state);
                    self.rest.push((column, work));
                    column
                })
            };
            let frozen = preserved(State::Thawed, !window.freezing.is_empty());
            let dried = preserved(State::Dried, window.dry_by.is_some());
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

    /// Says anew what a kilogram costs that a bake lacks.
    pub fn weigh_short(&mut self, bake: usize, weight: f64) {
        if let Some(short) = self.bakes[bake].short {
            self.program.columns[short].cost = weight;
        }
    }
}

/// Whether any of a lot may go into a bake: enough to weigh out, in some state.
pub fn may_go(facts: Facts<'_>, lot: usize, bake: usize) -> bool {
    let most = facts.figures.dry[lot].min(facts.figures.bakes[bake][2]);
    let fit = &facts.windows.lots[lot].bakes[bake];
    most > 0.0
        && most >= facts.figures.portion[lot]
        && State::ALL.iter().any(|state| fit.allows(*state))
}

/// Whether grain of a lot that is not yet shown cold would go into a firm bake.
pub fn is_unshown(facts: Facts<'_>, lot: usize, bake: usize) -> bool {
    let situation = facts.situation;
    situation.bakes[bake].firm && !situation.lots[lot].conditions.is_empty()
}

/// What using grain costs before other grain that expires first, or that is known to be good.
pub fn freshness(facts: Facts<'_>, lot: usize, state: State) -> f64 {
    let window = &facts.windows.lots[lot];
    let unproven = if facts.situation.lots[lot].conditions.is_empty() {
        0.0
    } else {
        UNPROVEN
    };
    // Frozen or dried it has no date, and counts as newer than its own fresh grain: what lies frozen already goes first.
    let stays_so = state == State::AsItLies || window.frozen;
    let mine = if stays_so {
        expires(facts, lot)
    } else {
        (true, oldest_mash_out(facts, lot))
    };
    let lots = 0..facts.windows.lots.len();
    let earlier = lots.filter(|other| expires(facts, *other) < mine).count();
    unproven + FRESHNESS * earlier as f64
}

/// When a lot expires; one without a date after all that have one, the oldest first.
pub fn expires(facts: Facts<'_>, lot: usize) -> (bool, Instant) {
    match facts.windows.lots[lot].until {
        Some(until) => (false, until),
        None => (true, oldest_mash_out(facts, lot)),
    }
}

fn oldest_mash_out(facts: Facts<'_>, lot: usize) -> Instant {
    let mash_outs = facts.situation.lots[lot].histories.iter();
    let oldest = mash_outs.filter_map(|history| history.mash_out).min();
    oldest.unwrap_or(Instant::MIN_UTC)
}
