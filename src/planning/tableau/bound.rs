//! What a corner proves, worked out from the conditions themselves.
//!
//! Whatever multipliers the tableau ends with, the conditions taken that many times and the bounds of the columns
//! give a cost below which nothing goes (Neumaier & Shcherbina 2004, Safe bounds in linear and mixed-integer linear
//! programming, Mathematical Programming 99; from memory). So no error of the tableau makes a bound too high.

use super::{End, FEASIBLE, Tableau};

/// The tableau is made anew where a row's sum, or the cost, is further than this from the program.
const STRAYED: f64 = 1e-7;
/// Steps for each row and column before a program counts as not to be solved.
const STEPS: usize = 50;
/// How often a tableau is made anew before a program counts as not to be solved.
const ANEW: usize = 3;

impl Tableau {
    /// Goes to the best corner of all conditions, or until everything costs more than `above`. An end that the
    /// conditions do not bear out is not believed: the tableau is made anew.
    pub fn settle(&mut self, above: f64) -> End {
        self.take_out_spare();
        let mut anew = 0;
        loop {
            let steps = STEPS * (self.rows.len() + self.columns);
            let above = if anew == 0 { above } else { f64::INFINITY };
            let end = self.go(above, steps);
            let sound = match end {
                End::Best if self.has_strayed() => false,
                End::Best if self.put_in_broken() => continue,
                End::Best => true,
                End::Impossible => self.is_impossible(),
                End::Above => self.bound() >= above,
                End::Steps => false,
            };
            if sound {
                return end;
            }
            if anew == ANEW {
                return End::Steps;
            }
            anew += 1;
            self.make_anew();
        }
    }

    /// The cost below which nothing goes under the bounds at hand.
    pub fn bound(&self) -> f64 {
        let parts = self.out.iter().copied().zip(self.reduced.iter().copied());
        self.least(self.cost.clone(), parts)
    }

    /// Whether a row shows that nothing keeps to the bounds and conditions.
    pub fn is_impossible(&self) -> bool {
        (0..self.basic.len()).any(|row| {
            let variable = self.basic[row];
            let [lower, upper] = [self.lower[variable], self.upper[variable]];
            let (sign, bound) = if self.value[variable] < lower {
                (-1.0, -lower)
            } else if self.value[variable] > upper {
                (1.0, upper)
            } else {
                return false;
            };
            let mut cost = vec![0.0; self.columns];
            if variable < self.columns {
                cost[variable] = sign;
            } else {
                for (column, factor) in self.terms(variable) {
                    cost[*column] += sign * factor;
                }
            }
            let factors = &self.factors[row * self.columns..][..self.columns];
            let parts = self.out.iter().zip(factors);
            let parts = parts.map(|(variable, factor)| (*variable, sign * factor));
            self.least(cost, parts) > bound + FEASIBLE
        })
    }

    /// The least cost that the bounds of the columns allow, with so many parts of each row's sum counted apart.
    fn least(&self, mut cost: Vec<f64>, parts: impl Iterator<Item = (usize, f64)>) -> f64 {
        let mut least = 0.0;
        for (variable, part) in parts.filter(|(variable, _)| *variable >= self.columns) {
            let bound = if part > 0.0 {
                self.lower[variable]
            } else {
                self.upper[variable]
            };
            if part != 0.0 && bound.is_finite() {
                least += part * bound;
                for (column, factor) in self.terms(variable) {
                    cost[*column] -= part * factor;
                }
            }
        }
        for (column, cost) in cost.iter().enumerate() {
            let [lower, upper] = self.bounds(column);
            least += (cost * lower).min(cost * upper);
        }
        least
    }

    /// Whether rounding has brought the tableau away from the program.
    fn has_strayed(&self) -> bool {
        let is_off = |row: usize| {
            let sum = self.conditions[self.rows[row]].sum(&self.value);
            (sum - self.value[self.columns + row]).abs() > STRAYED
        };
        let cost = self.cost();
        self.steps > 0
            && ((0..self.rows.len()).any(is_off)
                || cost - self.bound() > STRAYED * cost.abs().max(1.0))
    }
}
