//! Decides the choices of a program: branch and bound (Land & Doig 1960, An automatic method of solving discrete
//! programming problems, Econometrica 28; from memory).
//!
//! Parts of the tree are searched depth first down to a plan or a dead end, then where the bound is least. Limits
//! are parts and work and not seconds, so that the same program ends with the same values on every machine.

use super::cuts::Tightened;
use super::program::Program;
use super::tableau::{End, Tableau};
use branching::{Chosen, History};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

mod branching;
#[cfg(test)]
mod tests;

/// Values for a program and how good they are.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// One value for each column.
    pub values: Vec<f64>,
    /// Their cost.
    pub cost: f64,
    /// No values cost less than this.
    pub bound: f64,
    /// Whether the search ended by itself, so that nothing is better by more than the slack asked for.
    pub proven: bool,
}

/// What a search came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Searched {
    /// The best values; nothing where none were found.
    pub solved: Option<Solved>,
    /// The work that it took, see [`Tableau::work`].
    pub work: u64,
}

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Nodes of the search tree at most.
    pub nodes: u64,
    /// No node is begun after so much work, see [`Tableau::work`].
    pub work: u64,
    /// Nodes between two looks.
    pub slice: u64,
    /// What may be left to save when the search ends by itself.
    pub slack: f64,
}

/// Looks now and then at the best values so far; says whether to go on.
pub type Look<'a> = dyn FnMut(&Solved) -> bool + 'a;

/// To save less than this part of the cost is to save nothing.
const NOTHING: f64 = 1e-9;
/// A choice nearer than this to a whole number is one.
const WHOLE: f64 = 1e-7;
/// Values may break a condition or a bound by this.
const BREACH: f64 = 1e-6;

/// A part of the tree still to be searched.
struct Node {
    /// Places of choices, and what is decided about them.
    decided: Vec<(usize, bool)>,
    bound: f64,
    /// Which decision made it out of the part before.
    from: Option<Step>,
    /// How many were made before it.
    number: u64,
}

/// One decision: of which choice, which way, over how much of a whole, from which cost.
struct Step {
    choice: usize,
    up: bool,
    part: f64,
    before: f64,
}

impl Ord for Node {
    /// The least bound comes first, of equals the newest.
    fn cmp(&self, other: &Self) -> Ordering {
        let by_bound = other.bound.total_cmp(&self.bound);
        by_bound.then(self.number.cmp(&other.number))
    }
}

impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Node {}

struct Tree {
    program: Program,
    slack: f64,
    /// The columns of the choices.
    choices: Vec<usize>,
    /// What holds of each choice everywhere in the tree.
    everywhere: Vec<[f64; 2]>,
    tableau: Tableau,
    /// Where trials start from.
    parent: Tableau,
    best: Option<(Vec<f64>, f64)>,
    open: BinaryHeap<Node>,
    next: Option<Node>,
    history: History,
    made: u64,
    /// The least bound of parts that could not be searched: nothing above it is proven.
    lost: f64,
}

/// Solves the program from known values, of which the choices are taken.
pub fn solve(
    root: Tightened,
    start: Option<&[f64]>,
    effort: Effort,
    look: &mut Look<'_>,
) -> Searched {
    let mut tree = Tree::of(root, effort.slack);
    let before = tree.tableau.work();
    if let Some(start) = start {
        tree.try_choices(start);
    }
    let mut nodes = 0;
    let mut ended = false;
    while !ended && nodes < effort.nodes && tree.tableau.work() - before < effort.work {
        match tree.take_next() {
            Some(node) => tree.search(node),
            None => ended = true,
        }
        nodes += 1;
        if (nodes % effort.slice == 0 || ended)
            && let Some(found) = tree.found()
            && !look(&found)
        {
            break;
        }
    }
    Searched {
        solved: tree.found(),
        work: tree.tableau.work() - before,
    }
}

impl Tree {
    fn of(root: Tightened, slack: f64) -> Self {
        let columns = &root.program.columns;
        let choices: Vec<usize> = (0..columns.len())
            .filter(|column| columns[*column].whole)
            .collect();
        let bounds = |choice: &usize| [columns[*choice].lower, columns[*choice].upper];
        Self {
            slack,
            everywhere: choices.iter().map(bounds).collect(),
            parent: root.tableau.clone(),
            tableau: root.tableau,
            best: None,
            open: BinaryHeap::new(),
            next: Some(Node {
                decided: Vec::new(),
                bound: root.bound,
                from: None,
                number: 0,
            }),
            history: History::of(choices.len()),
            made: 0,
            lost: f64::INFINITY,
            program: root.program,
            choices,
        }
    }

    /// The cost from which on a part of the tree is of no use.
    fn cutoff(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |(_, cost)| {
            cost - self.slack.max(NOTHING * cost.abs().max(1.0))
        })
    }

    /// The best so far. What was left out costs at least the cutoff.
    fn found(&self) -> Option<Solved> {
        let (values, cost) = self.best.as_ref()?;
        let parts = self.open.peek().into_iter().chain(&self.next);
        let bound = parts.map(|node| node.bound).fold(self.lost, f64::min);
        Some(Solved {
            values: values.clone(),
            cost: *cost,
            bound: bound.min(self.cutoff()),
            proven: bound >= self.cutoff(),
        })
    }

    /// The next part to search; nothing where none is of use.
    fn take_next(&mut self) -> Option<Node> {
        let cutoff = self.cutoff();
        let next = self.next.take().filter(|next| next.bound < cutoff);
        next.or_else(|| self.open.pop().filter(|node| node.bound < cutoff))
    }

    /// Takes these choices, and the best amounts with them.
    fn try_choices(&mut self, values: &[f64]) {
        let chosen = self.choices.iter();
        let chosen = chosen.map(|choice| (*choice, [values[*choice].round(); 2]));
        self.tableau.set_bounds(chosen);
        if self.tableau.settle(f64::INFINITY) == End::Best {
            self.keep();
        }
    }

    /// Keeps the values at hand where they are better than the best; says whether they are values at all.
    fn keep(&mut self) -> bool {
        let mut values = self.tableau.values().to_vec();
        for choice in &self.choices {
            values[*choice] = values[*choice].round();
        }
        if self.program.worst_breach(&values) > BREACH {
            return false;
        }
        let cost = self.program.cost(&values);
        if self.best.as_ref().is_none_or(|(_, best)| cost < *best) {
            self.best = Some((values, cost));
        }
        true
    }

    /// Brings the tableau to a part of the tree.
    fn enter(&mut self, node: &Node) {
        let mut bounds = self.everywhere.clone();
        for (at, up) in &node.decided {
            bounds[*at] = decided(*up);
        }
        let changes: Vec<(usize, [f64; 2])> = self
            .choices
            .iter()
            .copied()
            .zip(bounds)
            .filter(|(choice, bounds)| self.tableau.bounds(*choice) != *bounds)
            .collect();
        self.tableau.set_bounds(changes);
    }

    fn search(&mut self, mut node: Node) {
        self.enter(&node);
        let cutoff = self.cutoff();
        loop {
            match self.tableau.settle(cutoff) {
                End::Impossible | End::Above => return,
                End::Steps => {
                    self.lost = self.lost.min(node.bound);
                    return;
                }
                End::Best => {}
            }
            let bound = self.tableau.bound();
            if let Some(step) = node.from.take() {
                self.history.record(&step, bound);
            }
            node.bound = node.bound.max(bound);
            if node.bound >= cutoff {
                return;
            }
            self.decide_by_reduced_costs(&mut node, cutoff - bound);
            let open = self.open_choices();
            match self.choose(&open, cutoff - bound) {
                None => {
                    if !self.keep() {
                        self.lost = self.lost.min(node.bound);
                    }
                    return;
                }
                Some(Chosen::Decided(choices)) => {
                    for (at, up) in choices {
                        self.decide(&mut node, at, up);
                    }
                }
                Some(Chosen::Branch { at, value, up }) => {
                    self.branch(node, at, value, up);
                    return;
                }
            }
        }
    }

    /// Choices that are neither yes nor no.
    fn open_choices(&self) -> Vec<usize> {
        let values = self.tableau.values();
        let is_open = |at: &usize| {
            let value = values[self.choices[*at]];
            (value - value.round()).abs() > WHOLE
        };
        (0..self.choices.len()).filter(is_open).collect()
    }

    fn decide(&mut self, node: &mut Node, at: usize, up: bool) {
        node.decided.push((at, up));
        self.tableau.set_bounds([(self.choices[at], decided(up))]);
    }

    /// Decides choices of which the other side would cost more than is left to save.
    fn decide_by_reduced_costs(&mut self, node: &mut Node, left: f64) {
        let is_root = node.decided.is_empty();
        for at in 0..self.choices.len() {
            let choice = self.choices[at];
            let [lower, upper] = self.tableau.bounds(choice);
            let reduced = self.tableau.reduced_cost(choice);
            if lower < upper && reduced.abs() >= left {
                let up = reduced < 0.0;
                self.decide(node, at, up);
                if is_root {
                    self.everywhere[at] = decided(up);
                }
            }
        }
    }

    fn branch(&mut self, node: Node, at: usize, value: f64, likely: bool) {
        let mut side = |up: bool| {
            self.made += 1;
            Node {
                decided: node.decided.iter().copied().chain([(at, up)]).collect(),
                bound: node.bound,
                from: Some(Step {
                    choice: at,
                    up,
                    part: if up { 1.0 - value } else { value },
                    before: node.bound,
                }),
                number: self.made,
            }
        };
        let other = side(!likely);
        self.next = Some(side(likely));
        self.open.push(other);
    }
}

/// The bounds of a choice that is decided.
fn decided(up: bool) -> [f64; 2] {
    [f64::from(u8::from(up)); 2]
}
