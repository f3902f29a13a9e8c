//! Takes the aims one after the other: each is brought as far as it goes while those before it stay as they came out.
//!
//! An aim that cannot be better, by its nature or by the relaxation, takes no search. Small programs are solved as a
//! whole. Large ones are bettered a few bakes at a time: the choices of a neighbourhood of bakes are freed, all others are
//! held as they are, every amount is decided anew, and what is better is kept.

use super::aims::{Aim, Weights, order};
use super::cuts::{Tightened, relaxed, tightened};
use super::draft::Draft;
use super::model::{Choice, Facts, Held, Model, may_go};
use super::relaxation::Relaxation;
use super::tree::{Effort, Solved, solve};
use std::collections::HashSet;

mod neighbourhoods;

/// How long to look for a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patience {
    /// Nodes for all aims of a program that is solved as a whole.
    pub nodes: u64,
    /// Of them, nodes for the last aim, which only weighs work, lots and age.
    pub rest_nodes: u64,
    /// Work for all aims, that of neighbourhoods included: factors of tableaus worked out or copied. A node of a large week
    /// with frozen blocks takes far more of it than one of a small week.
    pub work: u64,
    /// Nodes for one neighbourhood of bakes.
    pub neighbourhood_nodes: u64,
    /// Neighbourhoods for one aim at most.
    pub neighbourhoods: usize,
    /// Every aim is brought to its end, and not to a step of the scale.
    pub exact: bool,
}

/// About the work of 20 s: our choice.
const WORK: u64 = 10_000_000_000;

impl Default for Patience {
    /// A week is proven, a month of a large bakery is planned within a few seconds: our choice.
    fn default() -> Self {
        Self {
            nodes: 3000,
            rest_nodes: 100,
            work: WORK,
            neighbourhood_nodes: 100,
            neighbourhoods: 40,
            exact: false,
        }
    }
}

/// Is told the aim at hand now and then; says whether to go on.
pub type Watch<'a> = dyn FnMut(Aim) -> bool + 'a;

/// What an aim came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reached {
    /// The aim.
    pub aim: Aim,
    /// What it came to.
    pub value: f64,
    /// No plan is below this while the aims before are as good; nothing where nobody looked.
    pub bound: Option<f64>,
    /// No plan is better by what counts.
    pub proven: bool,
}

/// The best draft found.
#[derive(Debug, Clone)]
pub struct Found {
    /// The draft.
    pub draft: Draft,
    /// What each aim came to, in their order.
    pub reached: Vec<Reached>,
    /// The watch ended the search.
    pub stopped: bool,
    /// The work that it took, as [`Patience::work`] counts it.
    pub work: u64,
}

impl Found {
    /// Whether every aim is proven.
    pub fn is_proven(&self) -> bool {
        self.reached.iter().all(|reached| reached.proven)
    }
}

/// Programs with more open choices than this are not solved as a whole: proof would be luck.
const LARGE: usize = 700;
/// Rounds of cuts before a program is solved.
const ROUNDS: usize = 12;
/// Nodes for a program as a whole before its choices are freed a few at a time, and neighbourhoods for that.
const FIRST_NODES: u64 = 60;
const FIRST_NEIGHBOURHOODS: usize = 20;
/// Nodes for the choices that the relaxation leans to.
const LEANING_NODES: u64 = 100;
/// What may be left to save of the weighed rest when its search ends.
const REST: f64 = 1e-3;
/// Nodes between two looks.
const SLICE: u64 = 5;

/// Searches from a known plan.
pub fn search(facts: Facts<'_>, start: &Draft, patience: Patience, watch: &mut Watch<'_>) -> Found {
    let mut search = Search {
        facts,
        patience,
        watch,
        held: Held::default(),
        found: Found {
            draft: start.clone(),
            reached: Vec::new(),
            stopped: false,
            work: 0,
        },
        nodes: patience.nodes,
    };
    search.start();
    for aim in order(facts.situation) {
        search.reach(aim);
    }
    search.found
}

struct Search<'a> {
    facts: Facts<'a>,
    patience: Patience,
    watch: &'a mut Watch<'a>,
    held: Held,
    found: Found,
    /// Nodes that are left.
    nodes: u64,
}

/// One aim while it is searched for.
struct Stage {
    aim: Aim,
    value: f64,
    bound: Option<f64>,
    /// What may be left to save where it counts as proven.
    tolerance: f64,
    /// What may be left to save when the search ends: of the weighed rest less, since its parts are small.
    slack: f64,
}

impl Stage {
    fn is_within(&self, what: f64) -> bool {
        self.bound
            .is_some_and(|bound| self.value - bound <= what + 1e-9)
    }

    fn is_done(&self) -> bool {
        self.is_within(self.slack)
    }

    fn raise(&mut self, bound: f64) {
        self.bound = Some(self.bound.map_or(bound, |known| known.max(bound)));
    }
}

impl Search<'_> {
    /// A start that breaks a condition is no plan: then nothing goes anywhere.
    fn start(&mut self) {
        let facts = self.facts;
        let model = self.model(Aim::Optional, &|_, _| Choice::Open);
        let values = model.values(facts, &self.found.draft);
        if model.program.worst_breach(&values) > 1e-6 {
            let firm = facts.situation.bakes.iter().map(|bake| bake.firm);
            self.found.draft = Draft::empty(facts.situation.lots.len(), firm);
        }
    }

    /// Which bakes the aim leaves open: before it is their turn, those that wait are left out.
    fn baked(&self, aim: Aim) -> Vec<Option<bool>> {
        if !self.held.baked.is_empty() {
            return self.held.baked.clone();
        }
        let bakes = 0..self.facts.situation.bakes.len();
        bakes
            .map(|bake| (aim < Aim::Optional && self.waits(bake)).then_some(false))
            .collect()
    }

    /// Optional bakes could only take what others lack, but for those to which something is promised, or that make
    /// room in a freezer.
    fn waits(&self, bake: usize) -> bool {
        let situation = self.facts.situation;
        let is_promised = situation.promised.iter().any(|one| one.bake == bake);
        !situation.bakes[bake].firm && !is_promised && !self.makes_room(bake)
    }

    /// Whether a block comes out for the bake and leaves room where room is limited.
    fn makes_room(&self, bake: usize) -> bool {
        let Facts {
            windows, figures, ..
        } = self.facts;
        figures.freezer.is_some()
            && (0..windows.lots.len()).any(|lot| {
                windows.lots[lot].frozen
                    && figures.frozen_now[lot] > 0.0
                    && may_go(self.facts, lot, bake)
            })
    }

    fn leave_optional_bakes(&mut self) {
        let waiting: Vec<bool> = (0..self.found.draft.happens.len())
            .map(|bake| self.waits(bake))
            .collect();
        let draft = &mut self.found.draft;
        draft.draws.retain(|draw| !waiting[draw.bake]);
        for (happens, waits) in draft.happens.iter_mut().zip(&waiting) {
            *happens &= !waits;
        }
    }

    fn model(&self, aim: Aim, choice: &dyn Fn(usize, usize) -> Choice) -> Model {
        let held = Held {
            limits: self.held.limits.clone(),
            baked: self.baked(aim),
        };
        Model::build(self.facts, &held, Weights::only(aim), choice)
    }

    fn work_left(&self) -> u64 {
        self.patience.work.saturating_sub(self.found.work)
    }

    fn goes_on(&mut self, aim: Aim) -> bool {
        self.found.stopped = self.found.stopped || !(self.watch)(aim);
        !self.found.stopped
    }

    /// Brings one aim as far as it goes, and holds it there.
    fn reach(&mut self, aim: Aim) {
        let value = self.found.draft.value(self.facts, aim);
        let tolerance = if self.patience.exact {
            1e-7
        } else {
            aim.tolerance(self.facts.situation, value)
        };
        let mut stage = Stage {
            aim,
            value,
            bound: Some(self.least(aim)),
            tolerance,
            slack: tolerance.min(if aim == Aim::Rest { REST } else { tolerance }),
        };
        if aim == Aim::Rest {
            self.nodes = self.nodes.min(self.patience.rest_nodes);
        }
        if !stage.is_done() && self.goes_on(aim) {
            if aim < Aim::Optional {
                self.leave_optional_bakes();
            }
            let open = self.model(aim, &|_, _| Choice::Open);
            if open.program.choices() > LARGE {
                self.better_a_large_one(&mut stage, &open);
            } else {
                self.solve_as_a_whole(&mut stage, open);
            }
        }
        stage.value = self.found.draft.value(self.facts, aim);
        self.found.reached.push(Reached {
            aim,
            value: stage.value,
            bound: stage.bound,
            proven: stage.is_within(stage.tolerance),
        });
        self.held.limits.push((aim, stage.value));
        if aim == Aim::Optional {
            let happens = &self.found.draft.happens;
            self.held.baked = happens.iter().copied().map(Some).collect();
        }
    }

    /// What an aim comes to at least by its nature.
    fn least(&self, aim: Aim) -> f64 {
        match aim {
            Aim::Optional => {
                let worth = super::model::optional_worth(self.facts);
                -worth.iter().sum::<f64>()
            }
            _ => 0.0,
        }
    }

    fn solve_as_a_whole(&mut self, stage: &mut Stage, model: Model) {
        // Without work left the plain relaxation still says how much better the aim may be.
        let rounds = if self.work_left() == 0 { 0 } else { ROUNDS };
        let Some(root) = tightened(&model.program, rounds) else {
            return;
        };
        self.found.work += root.tableau.work();
        stage.raise(root.bound);
        if stage.is_done() || self.work_left() == 0 {
            return;
        }
        let first = self.nodes.min(FIRST_NODES);
        self.solve(stage, &model, root.clone(), first);
        if stage.is_done() || self.found.stopped || self.nodes == 0 {
            return;
        }
        let tried = self.patience.neighbourhoods.min(FIRST_NEIGHBOURHOODS);
        self.improve(stage, tried);
        if !stage.is_done() && !self.found.stopped && self.work_left() > 0 {
            self.solve(stage, &model, root, self.nodes);
        }
    }

    /// Solves the whole program, until nothing is better or its nodes are used up.
    fn solve(&mut self, stage: &mut Stage, model: &Model, root: Tightened, nodes: u64) {
        let facts = self.facts;
        let values = model.values(facts, &self.found.draft);
        let effort = Effort {
            nodes,
            work: self.work_left(),
            slice: SLICE,
            slack: stage.slack,
        };
        let (aim, mut looks) = (stage.aim, 0);
        let mut stopped = false;
        let watch = &mut *self.watch;
        let searched = solve(root, Some(&values), effort, &mut |_| {
            looks += 1;
            stopped |= !watch(aim);
            !stopped
        });
        self.nodes = self.nodes.saturating_sub(looks * SLICE);
        self.found.stopped |= stopped;
        self.found.work += searched.work;
        if let Some(solved) = searched.solved {
            stage.raise(solved.bound);
            if solved.cost < stage.value {
                self.take(stage, model, &solved);
            }
            if solved.proven {
                stage.raise(stage.value - stage.slack);
            }
        }
    }

    fn take(&mut self, stage: &mut Stage, model: &Model, solved: &Solved) {
        self.found.draft = model.draft(self.facts, &solved.values);
        stage.value = self.found.draft.value(self.facts, stage.aim);
    }

    fn better_a_large_one(&mut self, stage: &mut Stage, model: &Model) {
        // One relaxation tells the bound, and which choices to look at; it takes long.
        let is_first = self.found.reached.iter().all(|reached| reached.proven);
        if is_first && let Some(relaxation) = Relaxation::of(&model.program) {
            stage.raise(relaxation.cost);
            if stage.is_within(stage.tolerance) {
                return;
            }
            let leaning = model.leaning(&relaxation.values);
            let used = used(&self.found.draft);
            let nodes = if stage.aim == Aim::Rest {
                SLICE
            } else {
                LEANING_NODES
            };
            self.decide_anew(stage, nodes, &|lot, bake| {
                if leaning.contains(&(lot, bake)) || used.contains(&(lot, bake)) {
                    Choice::Open
                } else {
                    Choice::Out
                }
            });
        }
        // Nobody waits long for a little less work.
        let most = match stage.aim {
            Aim::Rest => self.patience.neighbourhoods / 4,
            _ => self.patience.neighbourhoods,
        };
        self.improve(stage, most);
    }

    /// Solves the program with these choices from the draft at hand and keeps what is better.
    fn decide_anew(
        &mut self,
        stage: &mut Stage,
        nodes: u64,
        choice: &dyn Fn(usize, usize) -> Choice,
    ) -> bool {
        if self.work_left() == 0 || !self.goes_on(stage.aim) {
            return false;
        }
        let model = self.model(stage.aim, choice);
        let Some(root) = relaxed(&model.program) else {
            return false;
        };
        self.found.work += root.tableau.work();
        let before = stage.value;
        if root.bound >= before - stage.slack {
            return false;
        }
        let values = model.values(self.facts, &self.found.draft);
        let effort = Effort {
            nodes,
            work: self.work_left(),
            slice: SLICE,
            slack: stage.slack,
        };
        let aim = stage.aim;
        let mut stopped = false;
        let watch = &mut *self.watch;
        let searched = solve(root, Some(&values), effort, &mut |_| {
            stopped |= !watch(aim);
            !stopped
        });
        self.found.stopped |= stopped;
        self.found.work += searched.work;
        match searched.solved {
            Some(solved) if solved.cost < before - 1e-7 => {
                self.take(stage, &model, &solved);
                true
            }
            _ => false,
        }
    }
}

fn used(draft: &Draft) -> HashSet<(usize, usize)> {
    let of_draw = |draw: &super::draft::DraftDraw| (draw.lot, draw.bake);
    draft.draws.iter().map(of_draw).collect()
}
