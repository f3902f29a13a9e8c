//! Which conditions are rows of the tableau.

use super::Tableau;
use crate::planning::program::{Row, Sense};

/// A condition broken by more than this becomes a row.
const BROKEN: f64 = 1e-8;
/// Rows there may be beyond one and a half times those that bind.
const SPARE: usize = 20;

impl Tableau {
    /// Adds a condition.
    pub fn add(&mut self, condition: Row) {
        self.conditions.push(condition);
        self.is_row.push(false);
    }

    /// The conditions from this number on.
    pub fn conditions(&self, from: usize) -> &[Row] {
        &self.conditions[from..]
    }

    /// The columns of which a variable is the sum.
    pub(super) fn terms(&self, variable: usize) -> &[(usize, f64)] {
        &self.conditions[self.rows[variable - self.columns]].terms
    }

    /// Makes rows of the conditions that the values at hand break; says whether there were any.
    pub(super) fn put_in_broken(&mut self) -> bool {
        let is_broken = |row: &Row| {
            let sum = row.sum(&self.value);
            let over = sum - row.bound;
            match row.sense {
                Sense::AtMost => over > BROKEN,
                Sense::AtLeast => over < -BROKEN,
                Sense::Exactly => over.abs() > BROKEN,
            }
        };
        let broken: Vec<usize> = (0..self.conditions.len())
            .filter(|at| !self.is_row[*at] && is_broken(&self.conditions[*at]))
            .collect();
        for condition in &broken {
            self.put_in(*condition);
        }
        !broken.is_empty()
    }

    fn put_in(&mut self, condition: usize) {
        let row = &self.conditions[condition];
        let (lower, upper) = match row.sense {
            Sense::AtMost => (f64::NEG_INFINITY, row.bound),
            Sense::AtLeast => (row.bound, f64::INFINITY),
            Sense::Exactly => (row.bound, row.bound),
        };
        let variable = self.lower.len();
        self.lower.push(lower);
        self.upper.push(upper);
        self.value.push(row.sum(&self.value));
        self.is_basic.push(true);
        self.place.push(self.basic.len());
        self.basic.push(variable);
        self.weights.push(1.0);
        let start = self.factors.len();
        self.factors.resize(start + self.columns, 0.0);
        for (column, factor) in &row.terms {
            let place = self.place[*column];
            if self.is_basic[*column] {
                let (above, mine) = self.factors.split_at_mut(start);
                let theirs = &above[place * self.columns..][..self.columns];
                for (mine, theirs) in mine.iter_mut().zip(theirs) {
                    *mine += factor * theirs;
                }
            } else {
                self.factors[start + place] += factor;
            }
        }
        self.rows.push(condition);
        self.is_row[condition] = true;
    }

    /// Takes rows out that do not bind, where there are too many.
    pub(super) fn take_out_spare(&mut self) {
        if self.rows.len() > self.most_rows {
            self.take_out_slack();
            self.most_rows = self.rows.len() + self.rows.len() / 2 + SPARE;
        }
    }

    fn take_out_slack(&mut self) {
        let columns = self.columns;
        let binds = |variable: usize| {
            let inside = (self.value[variable] - self.lower[variable])
                .min(self.upper[variable] - self.value[variable]);
            variable < columns || !self.is_basic[variable] || inside < BROKEN
        };
        let stays: Vec<bool> = (0..self.lower.len()).map(binds).collect();
        let mut count = 0;
        let new: Vec<usize> = stays
            .iter()
            .map(|stays| {
                count += usize::from(*stays);
                count - usize::from(*stays)
            })
            .collect();
        let kept: Vec<usize> = (0..self.basic.len())
            .filter(|row| stays[self.basic[*row]])
            .collect();
        for (to, from) in kept.iter().enumerate() {
            let from = from * columns;
            self.factors.copy_within(from..from + columns, to * columns);
        }
        self.factors.truncate(kept.len() * columns);
        self.weights = kept.iter().map(|row| self.weights[*row]).collect();
        self.basic = kept.iter().map(|row| new[self.basic[*row]]).collect();
        for variable in &mut self.out {
            *variable = new[*variable];
        }
        for (condition, stays) in self.rows.iter().zip(&stays[columns..]) {
            self.is_row[*condition] = *stays;
        }
        retain(&mut self.rows, &stays[columns..]);
        retain(&mut self.lower, &stays);
        retain(&mut self.upper, &stays);
        retain(&mut self.value, &stays);
        self.place = vec![0; count];
        self.is_basic = vec![false; count];
        for (place, variable) in self.out.iter().enumerate() {
            self.place[*variable] = place;
        }
        for (row, variable) in self.basic.iter().enumerate() {
            self.place[*variable] = row;
            self.is_basic[*variable] = true;
        }
    }

    /// Drops conditions from this number on that do not bind.
    pub fn drop_slack(&mut self, from: usize) {
        self.take_out_slack();
        let stays: Vec<bool> = (0..self.conditions.len())
            .map(|at| at < from || self.is_row[at])
            .collect();
        for condition in &mut self.rows {
            *condition = stays[..*condition].iter().filter(|stays| **stays).count();
        }
        retain(&mut self.conditions, &stays);
        retain(&mut self.is_row, &stays);
    }
}

fn retain<T>(values: &mut Vec<T>, stays: &[bool]) {
    let mut stays = stays.iter();
    values.retain(|_| stays.next() == Some(&true));
}
