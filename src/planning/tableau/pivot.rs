//! One step from corner to corner, and the tableau made anew from the conditions.

use super::{NOTHING, Tableau};

/// A row with more than one factor in so many is gone through as a whole.
const DENSE: usize = 4;
/// A factor may divide if it is at least this part of the greatest in its column.
const PART: f64 = 0.1;

impl Tableau {
    /// The row's variable goes to its bound; the variable at this place takes up what that leaves.
    pub(super) fn step(&mut self, row: usize, place: usize, bound: f64) {
        let [leaving, entering] = [self.basic[row], self.out[place]];
        let factor = self.factors[row * self.columns + place];
        let by = (bound - self.value[leaving]) / factor;
        self.value[entering] += by;
        for (other, variable) in self.basic.iter().enumerate() {
            self.value[*variable] += self.factors[other * self.columns + place] * by;
        }
        self.value[leaving] = bound;
        self.exchange(row, place);
        for (reduced, variable) in self.reduced.iter_mut().zip(&self.out) {
            // What is left over from taking nearly equal ratios for one.
            let [lower, upper] = [self.lower[*variable], self.upper[*variable]];
            let at_lower = self.value[*variable] == lower;
            if lower < upper && at_lower == (*reduced < 0.0) {
                *reduced = 0.0;
            }
        }
    }

    /// Solves the row for the variable at this place and puts that into all other rows.
    fn exchange(&mut self, row: usize, place: usize) {
        let columns = self.columns;
        let start = row * columns;
        let inverse = 1.0 / self.factors[start + place];
        let mut terms: Vec<usize> = Vec::new();
        for (at, factor) in self.factors[start..start + columns].iter_mut().enumerate() {
            if at == place {
                *factor = inverse;
            } else if *factor != 0.0 {
                *factor *= -inverse;
                terms.push(at);
            }
        }
        let (above, rest) = self.factors.split_at_mut(start);
        let (pivot, below) = rest.split_at_mut(columns);
        let terms = (terms.len() * DENSE <= columns).then_some(&terms[..]);
        let each = terms.map_or(columns, <[usize]>::len);
        // The pivot row, the reduced costs and the values are gone through anyway.
        let mut worked_out = 2 * columns + self.basic.len();
        let weight = self.weights[row];
        let above = above.chunks_exact_mut(columns).enumerate();
        let below = below.chunks_exact_mut(columns).enumerate();
        for (other, factors) in above.chain(below.map(|(at, factors)| (row + 1 + at, factors))) {
            let factor = factors[place];
            if factor != 0.0 {
                let reference = (factor * inverse).powi(2) * weight;
                self.weights[other] = self.weights[other].max(reference);
                add(factors, pivot, place, terms);
                worked_out += each;
            }
        }
        self.work += worked_out as u64;
        if self.reduced[place] != 0.0 {
            add(&mut self.reduced, pivot, place, terms);
        }
        self.weights[row] = (weight * inverse * inverse).max(1.0);
        let [leaving, entering] = [self.basic[row], self.out[place]];
        self.basic[row] = entering;
        self.out[place] = leaving;
        self.place[entering] = row;
        self.place[leaving] = place;
        self.is_basic[entering] = true;
        self.is_basic[leaving] = false;
        self.steps += 1;
    }

    /// Makes the tableau anew from the conditions, at the same corner: what rounding added up is gone.
    pub(super) fn make_anew(&mut self) {
        let columns = self.columns;
        let mut inside: Vec<usize> = (0..columns)
            .filter(|column| self.is_basic[*column])
            .collect();
        let mut may_leave: Vec<bool> = (0..self.rows.len())
            .map(|row| !self.is_basic[columns + row])
            .collect();
        self.start_over();
        // Short columns and short rows first: what stands in between stays mostly empty.
        let lengths: Vec<usize> = (0..self.rows.len())
            .map(|row| self.terms(columns + row).len())
            .collect();
        inside.sort_by_cached_key(|column| {
            let filled = |row: &usize| self.factors[row * columns + column] != 0.0;
            (0..self.rows.len()).filter(filled).count()
        });
        for column in inside {
            let size = |row: &usize| self.factors[row * columns + column].abs();
            let rows = || (0..self.rows.len()).filter(|row| may_leave[*row]);
            let greatest = rows().map(|row| size(&row)).fold(0.0, f64::max);
            let chosen = rows()
                .filter(|row| size(row) >= PART * greatest && size(row) > NOTHING)
                .min_by_key(|row| lengths[*row]);
            if let Some(row) = chosen {
                may_leave[row] = false;
                self.exchange(row, column);
            }
        }
        self.weights.fill(1.0);
        self.steps = 0;
        self.find_values();
    }

    /// The tableau before the first step: every row gives its own sum.
    fn start_over(&mut self) {
        let columns = self.columns;
        self.factors.fill(0.0);
        for (row, condition) in self.rows.iter().enumerate() {
            for (column, factor) in &self.conditions[*condition].terms {
                self.factors[row * columns + column] += factor;
            }
        }
        self.reduced.clone_from(&self.cost);
        self.weights.fill(1.0);
        self.out = (0..columns).collect();
        self.basic = (columns..columns + self.rows.len()).collect();
        self.place = self.out.iter().copied().chain(0..self.rows.len()).collect();
        self.is_basic = (0..self.place.len())
            .map(|variable| variable >= columns)
            .collect();
    }

    /// Puts variables at the bounds where they belong, and the sums with them.
    fn find_values(&mut self) {
        for (place, variable) in self.out.clone().into_iter().enumerate() {
            self.value[variable] = self.belongs_at(variable);
            let free_side = if self.reduced[place] < 0.0 {
                self.upper[variable]
            } else {
                self.lower[variable]
            };
            if free_side.is_infinite() {
                // Rounding had left it on the wrong side of nothing.
                self.reduced[place] = 0.0;
            }
        }
        for (row, variable) in self.basic.iter().enumerate() {
            let factors = &self.factors[row * self.columns..][..self.columns];
            let parts = factors.iter().zip(&self.out);
            self.value[*variable] = parts.map(|(factor, out)| factor * self.value[*out]).sum();
        }
    }
}

/// Puts the pivot row in for the variable at this place; `terms` are its factors, where they are few.
fn add(factors: &mut [f64], pivot: &[f64], place: usize, terms: Option<&[usize]>) {
    let by = factors[place];
    let sum = |factor: &mut f64, pivot: f64| {
        let sum = *factor + by * pivot;
        *factor = if sum.abs() < NOTHING { 0.0 } else { sum };
    };
    match terms {
        Some(terms) => {
            for at in terms {
                sum(&mut factors[*at], pivot[*at]);
            }
        }
        None => {
            for (factor, pivot) in factors.iter_mut().zip(pivot) {
                sum(factor, *pivot);
            }
        }
    }
    factors[place] = by * pivot[place];
}
