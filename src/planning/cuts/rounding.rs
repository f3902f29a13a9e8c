//! One sum of rows, divided and rounded.

use super::{BROKEN_BY, Ground, Group, Row, Sense, Sum};
use std::collections::BTreeMap;

/// Fractions nearer than this to a whole number count as whole.
const WHOLE: f64 = 1e-6;
/// A bound whose fraction is smaller or greater gives a cut that only costs digits.
const FRACTION: std::ops::Range<f64> = 0.02..0.98;
/// The greatest factor of a cut over its smallest: beyond it digits are lost.
const SPREAD: f64 = 1e5;

/// An amount that is not negative, as columns and a constant.
struct Rest {
    factor: f64,
    terms: Vec<(usize, f64)>,
    constant: f64,
    value: f64,
}

/// One choice in the sum.
#[derive(Clone, Copy)]
struct Whole {
    column: usize,
    factor: f64,
    value: f64,
    turned: bool,
}

impl Whole {
    fn is_fraction(&self) -> bool {
        (WHOLE..1.0 - WHOLE).contains(&self.value)
    }
}

/// Choices and amounts of which the sum is at most the bound. Amounts with factors above nothing are left
/// out: without them the sum is only less.
pub(super) struct Mixed {
    wholes: Vec<Whole>,
    rests: Vec<Rest>,
    bound: f64,
}

impl Mixed {
    /// Takes the sum apart, the other way round if `turned`.
    pub(super) fn of(ground: &Ground<'_>, sum: &Sum, turned: bool, values: &[f64]) -> Self {
        let columns = &ground.program.columns;
        let sign = if turned { -1.0 } else { 1.0 };
        let mut mixed = Self {
            wholes: Vec::new(),
            rests: Vec::new(),
            bound: sum.bound * sign,
        };
        let mut wholes: BTreeMap<usize, f64> = BTreeMap::new();
        // Amounts that share a choice and a factor are one amount.
        let mut shared: BTreeMap<(usize, u64), (f64, Vec<usize>)> = BTreeMap::new();
        for (column, factor) in &sum.terms {
            let factor = factor * sign;
            if columns[*column].whole {
                *wholes.entry(*column).or_insert(0.0) += factor;
            } else if let Some(group) = ground.tightest(*column) {
                let entry = shared.entry((group, factor.to_bits()));
                entry.or_insert((factor, Vec::new())).1.push(*column);
            } else {
                mixed.plain(*column, factor, columns[*column].upper, values[*column]);
            }
        }
        for ((group, _), (factor, columns)) in shared {
            let Group { choice, most } = ground.group[group];
            let value: f64 = columns.iter().map(|column| values[*column]).sum();
            let left = most * values[choice] - value;
            // Whichever is nearer: nothing, or all that the choice allows.
            if left <= value {
                *wholes.entry(choice).or_insert(0.0) += factor * most;
                let mut terms: Vec<(usize, f64)> =
                    columns.iter().map(|column| (*column, -1.0)).collect();
                terms.push((choice, most));
                mixed.rest(-factor, terms, 0.0, left);
            } else {
                let terms = columns.iter().map(|column| (*column, 1.0)).collect();
                mixed.rest(factor, terms, 0.0, value);
            }
        }
        for (row, factor) in sum.slacks(ground.program, turned) {
            let row = &ground.program.rows[row];
            let sign = if row.sense == Sense::AtMost {
                1.0
            } else {
                -1.0
            };
            let terms = row.terms.iter();
            mixed.rest(
                factor,
                terms
                    .map(|(column, term)| (*column, -sign * term))
                    .collect(),
                sign * row.bound,
                sign * (row.bound - row.sum(values)),
            );
        }
        mixed.wholes = wholes
            .into_iter()
            .filter(|(_, factor)| factor.abs() > 1e-9)
            .map(|(column, factor)| Whole {
                column,
                factor,
                value: values[column],
                turned: false,
            })
            .collect();
        for at in 0..mixed.wholes.len() {
            if mixed.wholes[at].value > 0.5 {
                mixed.turn(at);
            }
        }
        mixed
    }

    /// An amount without a choice, from nothing or from its upper bound, whichever is nearer.
    fn plain(&mut self, column: usize, factor: f64, upper: f64, value: f64) {
        if upper.is_finite() && upper - value < value {
            self.bound -= factor * upper;
            self.rest(-factor, vec![(column, -1.0)], upper, upper - value);
        } else {
            self.rest(factor, vec![(column, 1.0)], 0.0, value);
        }
    }

    fn rest(&mut self, factor: f64, terms: Vec<(usize, f64)>, constant: f64, value: f64) {
        if factor < 0.0 {
            self.rests.push(Rest {
                factor,
                terms,
                constant,
                value: value.max(0.0),
            });
        }
    }

    /// Writes a choice as one less its opposite.
    fn turn(&mut self, at: usize) {
        let whole = &mut self.wholes[at];
        self.bound -= whole.factor;
        whole.factor = -whole.factor;
        whole.value = 1.0 - whole.value;
        whole.turned = !whole.turned;
    }

    /// By how much the values break the sum divided by this and rounded, for its length.
    fn broken(&self, divisor: f64) -> Option<f64> {
        let whole = self.bound / divisor;
        let part = whole - whole.floor();
        if !FRACTION.contains(&part) {
            return None;
        }
        let (mut left, mut length) = (-whole.floor(), 0.0);
        for whole in &self.wholes {
            let factor = rounded(whole.factor / divisor, part);
            left += factor * whole.value;
            length += factor * factor;
        }
        for rest in &self.rests {
            let factor = rest.factor / divisor / (1.0 - part);
            left += factor * rest.value;
            length += factor * factor * rest.terms.len() as f64;
        }
        Some(left / length.sqrt().max(1e-9))
    }

    /// The cut that the values break most, if they break any.
    pub(super) fn cut(mut self, values: &[f64]) -> Option<(f64, Row)> {
        let mut divisors: Vec<f64> = self
            .wholes
            .iter()
            .filter(|whole| whole.is_fraction())
            .map(|whole| whole.factor.abs())
            .filter(|divisor| *divisor > 1e-4)
            .collect();
        divisors.sort_by(f64::total_cmp);
        divisors.dedup_by(|one, other| (*one - *other).abs() < 1e-6 * *other);
        let best = |mixed: &Self, divisors: &[f64]| {
            divisors
                .iter()
                .filter_map(|divisor| mixed.broken(*divisor).map(|by| (by, *divisor)))
                .max_by(|one, other| one.0.total_cmp(&other.0))
        };
        let (_, divisor) = best(&self, &divisors)?;
        let (mut by, divisor) = best(&self, &[1.0, 2.0, 4.0, 8.0].map(|part| divisor / part))?;
        let mut order: Vec<usize> = (0..self.wholes.len())
            .filter(|at| self.wholes[*at].is_fraction())
            .collect();
        let from_half = |at: &usize| (self.wholes[*at].value - 0.5).abs();
        order.sort_by(|one, other| from_half(one).total_cmp(&from_half(other)));
        for at in order {
            let (before, bound) = (self.wholes[at], self.bound);
            self.turn(at);
            match self.broken(divisor) {
                Some(better) if better > by => by = better,
                _ => (self.wholes[at], self.bound) = (before, bound),
            }
        }
        if by < BROKEN_BY {
            return None;
        }
        let row = self.row(divisor)?;
        let length = row.terms.iter().map(|(_, factor)| factor * factor);
        let by = (row.sum(values) - row.bound) / length.sum::<f64>().sqrt();
        (by > BROKEN_BY).then_some((by, row))
    }

    /// The rounded sum in the columns of the program.
    fn row(&self, divisor: f64) -> Option<Row> {
        let whole = self.bound / divisor;
        let part = whole - whole.floor();
        let mut bound = whole.floor();
        let mut terms: BTreeMap<usize, f64> = BTreeMap::new();
        for whole in &self.wholes {
            let factor = rounded(whole.factor / divisor, part);
            let sign = if whole.turned { -1.0 } else { 1.0 };
            if whole.turned {
                bound -= factor;
            }
            *terms.entry(whole.column).or_insert(0.0) += sign * factor;
        }
        for rest in &self.rests {
            let factor = rest.factor / divisor / (1.0 - part);
            bound -= factor * rest.constant;
            for (column, term) in &rest.terms {
                *terms.entry(*column).or_insert(0.0) += factor * term;
            }
        }
        terms.retain(|_, factor| factor.abs() > 1e-12);
        let greatest = terms
            .values()
            .fold(0.0, |most: f64, term| most.max(term.abs()));
        let least = terms
            .values()
            .fold(f64::INFINITY, |least, term| least.min(term.abs()));
        let usable = !terms.is_empty() && greatest <= SPREAD * least;
        usable.then(|| Row {
            terms: terms
                .into_iter()
                .map(|(column, factor)| (column, factor / greatest))
                .collect(),
            sense: Sense::AtMost,
            bound: bound / greatest,
        })
    }
}

/// The factor of a choice after rounding, where the bound has this fraction.
fn rounded(factor: f64, part: f64) -> f64 {
    let floor = factor.floor();
    floor + ((factor - floor - part) / (1.0 - part)).max(0.0)
}
