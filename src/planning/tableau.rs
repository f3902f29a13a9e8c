//! A linear program at one of its corners, and the dual simplex method on it.
//!
//! A search tree solves thousands of programs that differ in a few bounds. Here the whole tableau is kept, so that
//! the next one starts where the last one ended, wherever in the tree that was: what is dual feasible stays so
//! under other bounds. Every column has finite bounds, so that a start is at hand. A condition becomes a row of the
//! tableau only once something breaks it, and is none any more when too many rows do not bind.
//!
//! The method is the bounded dual simplex with flips of bounds in the ratio test and reference weights for the
//! leaving row (Forrest & Goldfarb 1992, Steepest-edge simplex algorithms for linear programming, Mathematical
//! Programming 57; Maros 2003, Computational Techniques of the Simplex Method; both from memory). What it ends
//! with is checked against the conditions themselves (`bound`).
//!
//! Errors: none; an [`End`] that could not be reached is [`End::Steps`]. Large programs, of which the relaxation is
//! solved but once, are left to a solver for sparse ones ([`super::relaxation`]).

use super::program::{Program, Row};

mod bound;
mod pivot;
mod rows;
#[cfg(test)]
mod tests;

/// A value may lie this far outside its bounds.
const FEASIBLE: f64 = 1e-9;
/// A factor below this is what cancelling left over.
const NOTHING: f64 = 1e-11;
/// A factor below this is too small to divide by.
const DIVISOR: f64 = 1e-8;
/// A factor below this divides only in a tableau just made, which rounding has not touched.
const SMALL: f64 = 1e-5;
/// A reduced cost may lie this far on the wrong side of nothing.
const WRONG_SIDE: f64 = 1e-9;
/// Candidates that miss a bound by less may reach it all the same.
const GRANTED: f64 = 1e-6;
/// Steps after which the tableau is made anew.
const AGE: usize = 400;

/// How solving ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// At the best corner.
    Best,
    /// Nothing keeps to the bounds and conditions.
    Impossible,
    /// Everything costs more than what was asked about.
    Above,
    /// So many steps were taken.
    Steps,
}

/// The program at a corner. Variables are its columns, then the sum of each row of the tableau.
#[derive(Debug, Clone)]
pub struct Tableau {
    columns: usize,
    conditions: Vec<Row>,
    is_row: Vec<bool>,
    /// The condition behind each variable that is a sum.
    rows: Vec<usize>,
    /// As many rows as there may be before those that do not bind are taken out.
    most_rows: usize,
    cost: Vec<f64>,
    lower: Vec<f64>,
    upper: Vec<f64>,
    value: Vec<f64>,
    /// The variable that each row of the tableau gives.
    basic: Vec<usize>,
    /// The variables at their bounds, of which the others are sums.
    out: Vec<usize>,
    /// For each variable its row, or its place among those at their bounds.
    place: Vec<usize>,
    is_basic: Vec<bool>,
    /// Row after row, the factors of the variables at their bounds.
    factors: Vec<f64>,
    /// What one unit of each variable at its bound adds to the cost.
    reduced: Vec<f64>,
    weights: Vec<f64>,
    /// Steps since the tableau was made from the conditions.
    steps: usize,
    work: u64,
}

/// A variable that may enter, by the ratio at which its reduced cost vanishes.
#[derive(Clone, Copy)]
struct Candidate {
    place: usize,
    factor: f64,
    ratio: f64,
}

impl Tableau {
    /// The program with fractions of choices allowed, before the first step. Its columns must have finite bounds.
    pub fn of(program: &Program) -> Self {
        let columns = program.columns.len();
        let mut tableau = Self {
            columns,
            conditions: program.rows.clone(),
            is_row: vec![false; program.rows.len()],
            rows: Vec::new(),
            most_rows: columns,
            cost: program.columns.iter().map(|column| column.cost).collect(),
            lower: program.columns.iter().map(|column| column.lower).collect(),
            upper: program.columns.iter().map(|column| column.upper).collect(),
            value: vec![0.0; columns],
            basic: Vec::new(),
            out: (0..columns).collect(),
            place: (0..columns).collect(),
            is_basic: vec![false; columns],
            factors: Vec::new(),
            reduced: program.columns.iter().map(|column| column.cost).collect(),
            weights: Vec::new(),
            steps: 0,
            work: 0,
        };
        for column in 0..columns {
            tableau.value[column] = tableau.belongs_at(column);
        }
        tableau
    }

    /// Factors that were worked out or copied so far: what takes time, counted without a clock. A copy of a tableau has the
    /// work of the first in it.
    pub fn work(&self) -> u64 {
        self.work
    }

    /// Becomes the other corner of the same program.
    pub fn go_to(&mut self, other: &Self) {
        self.work += other.factors.len() as u64;
        self.is_row.clone_from(&other.is_row);
        self.rows.clone_from(&other.rows);
        self.most_rows = other.most_rows;
        self.lower.clone_from(&other.lower);
        self.upper.clone_from(&other.upper);
        self.value.clone_from(&other.value);
        self.basic.clone_from(&other.basic);
        self.out.clone_from(&other.out);
        self.place.clone_from(&other.place);
        self.is_basic.clone_from(&other.is_basic);
        self.factors.clone_from(&other.factors);
        self.reduced.clone_from(&other.reduced);
        self.weights.clone_from(&other.weights);
        self.steps = other.steps;
    }

    /// The values of the columns.
    pub fn values(&self) -> &[f64] {
        &self.value[..self.columns]
    }

    /// The lower and the upper bound of a column.
    pub fn bounds(&self, column: usize) -> [f64; 2] {
        [self.lower[column], self.upper[column]]
    }

    /// What one unit of a column adds to the cost; nothing where it lies between its bounds.
    pub fn reduced_cost(&self, column: usize) -> f64 {
        if self.is_basic[column] {
            0.0
        } else {
            self.reduced[self.place[column]]
        }
    }

    /// The cost of the corner, by the tableau.
    fn cost(&self) -> f64 {
        let values = self.out.iter().map(|variable| self.value[*variable]);
        let each = self.reduced.iter().zip(values);
        each.map(|(reduced, value)| reduced * value).sum()
    }

    /// Sets the bounds of columns; what lies at a bound goes with it.
    pub fn set_bounds(&mut self, changes: impl IntoIterator<Item = (usize, [f64; 2])>) {
        let mut moves = Vec::new();
        for (column, [lower, upper]) in changes {
            self.lower[column] = lower;
            self.upper[column] = upper;
            if !self.is_basic[column] {
                let bound = self.belongs_at(column);
                if bound != self.value[column] {
                    moves.push((self.place[column], bound));
                }
            }
        }
        self.shift(&moves);
    }

    /// The bound at which a variable that is none of the sums belongs by its reduced cost.
    fn belongs_at(&self, variable: usize) -> f64 {
        let [lower, upper] = [self.lower[variable], self.upper[variable]];
        if lower.is_infinite() {
            upper
        } else if upper.is_infinite() || self.reduced[self.place[variable]] >= 0.0 {
            lower
        } else {
            upper
        }
    }

    /// Moves variables from bound to bound, and the sums with them.
    fn shift(&mut self, moves: &[(usize, f64)]) {
        if moves.is_empty() {
            return;
        }
        let by: Vec<f64> = moves
            .iter()
            .map(|(place, bound)| bound - self.value[self.out[*place]])
            .collect();
        for (row, variable) in self.basic.iter().enumerate() {
            let factors = &self.factors[row * self.columns..][..self.columns];
            let moved = moves.iter().zip(&by);
            let moved = moved.map(|((place, _), by)| factors[*place] * by);
            self.value[*variable] += moved.sum::<f64>();
        }
        self.work += (moves.len() * self.basic.len()) as u64;
        for (place, bound) in moves {
            self.value[self.out[*place]] = *bound;
        }
    }

    /// Goes from corner to corner until the best one, or a cost above `above`, or so many steps. Conditions that are
    /// no rows are not looked at, and an end is as good as the tableau: [`Tableau::settle`] sees to both.
    pub fn go(&mut self, above: f64, steps: usize) -> End {
        let mut candidates = Vec::new();
        for _ in 0..steps {
            if above.is_finite() && self.cost() >= above {
                return End::Above;
            }
            let Some((row, bound)) = self.furthest_out() else {
                return End::Best;
            };
            if self.steps > AGE {
                self.make_anew();
                continue;
            }
            self.find_candidates(row, bound, &mut candidates);
            let missing = (bound - self.value[self.basic[row]]).abs();
            let Some((chosen, flips)) = self.entering(&candidates, missing) else {
                return End::Impossible;
            };
            let chosen = candidates[chosen];
            if self.steps > 0 && chosen.factor < SMALL {
                self.make_anew();
                continue;
            }
            let flipped = |candidate: &Candidate| {
                let variable = self.out[candidate.place];
                let [lower, upper] = [self.lower[variable], self.upper[variable]];
                let at_lower = self.value[variable] == lower;
                (candidate.place, if at_lower { upper } else { lower })
            };
            let moves: Vec<(usize, f64)> = candidates[..flips].iter().map(flipped).collect();
            self.shift(&moves);
            self.step(row, chosen.place, bound);
        }
        End::Steps
    }

    /// The row whose variable is furthest outside its bounds, for its weight, and the bound it has to come to.
    fn furthest_out(&self) -> Option<(usize, f64)> {
        let mut found = None;
        let mut furthest = 0.0;
        for (row, variable) in self.basic.iter().enumerate() {
            let value = self.value[*variable];
            let [lower, upper] = [self.lower[*variable], self.upper[*variable]];
            let (out, bound) = if value < lower {
                (lower - value, lower)
            } else {
                (value - upper, upper)
            };
            if out > FEASIBLE && out * out > furthest * self.weights[row] {
                furthest = out * out / self.weights[row];
                found = Some((row, bound));
            }
        }
        found
    }

    /// Variables at their bounds that can bring the row's variable towards this bound, by ratio.
    fn find_candidates(&self, row: usize, bound: f64, candidates: &mut Vec<Candidate>) {
        candidates.clear();
        let rises = bound > self.value[self.basic[row]];
        let sign = if rises { 1.0 } else { -1.0 };
        let factors = &self.factors[row * self.columns..][..self.columns];
        for (place, factor) in factors.iter().enumerate() {
            if *factor == 0.0 {
                continue;
            }
            let variable = self.out[place];
            let [lower, upper] = [self.lower[variable], self.upper[variable]];
            let factor = factor * sign;
            let helps = if self.value[variable] == lower {
                factor > DIVISOR
            } else {
                factor < -DIVISOR
            };
            if helps && lower < upper {
                candidates.push(Candidate {
                    place,
                    factor: factor.abs(),
                    ratio: (self.reduced[place] / factor).max(0.0),
                });
            }
        }
        candidates.sort_unstable_by(|one, other| {
            let by_ratio = one.ratio.total_cmp(&other.ratio);
            by_ratio.then(one.place.cmp(&other.place))
        });
    }

    /// How much a candidate changes the row's variable on the way to its other bound.
    fn reach(&self, candidate: &Candidate) -> f64 {
        let variable = self.out[candidate.place];
        (self.upper[variable] - self.lower[variable]) * candidate.factor
    }

    /// Which candidate enters, and how many of the first ones flip to their other bound. Nothing where all of them
    /// together leave something missing.
    fn entering(&self, candidates: &[Candidate], missing: f64) -> Option<(usize, usize)> {
        let mut left = missing;
        let turning = candidates.iter().position(|candidate| {
            left -= self.reach(candidate);
            left <= 0.0
        });
        let turning = match turning {
            Some(at) => at,
            None if left > FEASIBLE => return None,
            None => candidates.len().checked_sub(1)?,
        };
        // Of those whose ratios are nearly the same the greatest factor enters: dividing by a small one loses digits
        // (Harris 1973, Pivot selection methods of the Devex LP code, Mathematical Programming 5; from memory).
        let ratio = |at: usize| candidates[at].ratio;
        let mut from = turning;
        while from > 0 && ratio(turning) - ratio(from - 1) < WRONG_SIDE {
            from -= 1;
        }
        let most = |at: usize| ratio(at) + WRONG_SIDE / candidates[at].factor;
        let mut to = turning + 1;
        let mut limit = most(turning);
        while to < candidates.len() && ratio(to) <= limit {
            limit = limit.min(most(to));
            to += 1;
        }
        let factor = |at: &usize| candidates[*at].factor;
        let greatest = |range: std::ops::Range<usize>| {
            range.max_by(|one, other| factor(one).total_cmp(&factor(other)))
        };
        let chosen = greatest(from..to)?;
        if factor(&chosen) < SMALL && from > 0 {
            // An earlier one may enter just as well, for a shorter step.
            return greatest(0..from).map(|chosen| (chosen, chosen));
        }
        Some((chosen, from))
    }

    /// How much the cost rises at least where a column that lies between its bounds goes down, or up, to the next
    /// whole number (Driebeek 1966, An algorithm for the solution of mixed integer programming problems, Management
    /// Science 12; from memory). Infinite where it cannot.
    pub fn rise(&self, column: usize, up: bool) -> f64 {
        let value = self.value[column];
        let bound = if up { value.ceil() } else { value.floor() };
        let mut candidates = Vec::new();
        self.find_candidates(self.place[column], bound, &mut candidates);
        let mut left = (bound - value).abs();
        let (mut rise, mut ratio) = (0.0, 0.0);
        for candidate in &candidates {
            rise += left * (candidate.ratio - ratio);
            ratio = candidate.ratio;
            left -= self.reach(candidate);
            if left <= 0.0 {
                return rise;
            }
        }
        // What factors too small to count could still do is granted.
        if left > GRANTED { f64::INFINITY } else { rise }
    }
}
