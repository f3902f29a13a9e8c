//! Conditions that every plan keeps to and that fractions of choices do not: they bring the relaxation near the
//! best plan, so that less has to be tried.
//!
//! Complemented mixed-integer rounding (Marchand & Wolsey 2001, Aggregation and mixed integer rounding to solve
//! MIPs, Operations Research 49; from memory): rows are added up so that an amount drops out, amounts are
//! written as what their choice allows less what is left of it, choices near one are turned round, and the
//! whole is divided and rounded. Only what the relaxation at hand breaks is kept.

use super::program::{Program, Row, Sense};
use super::solve::Relaxation;

/// Rows added up at most.
const DEPTH: usize = 5;
/// A condition that the relaxation breaks by less, for its length, is not worth a row.
const BROKEN_BY: f64 = 1e-3;

/// An amount, or several that share one choice: together at most `most` where it is chosen.
struct Group {
    choice: usize,
    most: f64,
}

/// What separation needs to know of a program.
struct Ground<'a> {
    program: &'a Program,
    /// For each column, the groups it is in.
    groups: Vec<Vec<usize>>,
    group: Vec<Group>,
    /// Rows for adding up: those that are not a group's own.
    rows: Vec<usize>,
    /// For each amount, the rows of `rows` it is in.
    of_column: Vec<Vec<usize>>,
}

impl<'a> Ground<'a> {
    fn of(program: &'a Program) -> Self {
        let columns = &program.columns;
        let mut ground = Self {
            program,
            groups: vec![Vec::new(); columns.len()],
            group: Vec::new(),
            rows: Vec::new(),
            of_column: vec![Vec::new(); columns.len()],
        };
        for (at, row) in program.rows.iter().enumerate() {
            let mut choices = row
                .terms
                .iter()
                .filter(|(column, _)| columns[*column].whole);
            let one = match (choices.next(), choices.next()) {
                (Some(one), None) => Some(*one),
                _ => None,
            };
            let amounts = || {
                row.terms
                    .iter()
                    .filter(|(column, _)| !columns[*column].whole)
            };
            if let Some((choice, factor)) = one
                && row.bound == 0.0
                && row.sense != Sense::Exactly
                && amounts().count() > 0
                && amounts().all(|(_, factor)| *factor == 1.0)
            {
                if row.sense == Sense::AtMost && factor < 0.0 {
                    let group = ground.group.len();
                    ground.group.push(Group {
                        choice,
                        most: -factor,
                    });
                    for (column, _) in amounts() {
                        ground.groups[*column].push(group);
                    }
                    continue;
                }
                if amounts().all(|(column, _)| !ground.groups[*column].is_empty()) {
                    continue;
                }
            }
            if amounts().count() == 0 {
                continue;
            }
            ground.rows.push(at);
            for (column, _) in amounts() {
                ground.of_column[*column].push(at);
            }
        }
        ground
    }
}

/// Rows added up: factors of columns, and of what each inequality leaves free.
#[derive(Clone)]
struct Sum {
    terms: Vec<(usize, f64)>,
    /// Rows and the factor at which each went in.
    parts: Vec<(usize, f64)>,
    bound: f64,
}

impl Sum {
    fn of(program: &Program, row: usize) -> Self {
        let mut terms = program.rows[row].terms.clone();
        terms.sort_by_key(|(column, _)| *column);
        Self {
            terms,
            parts: vec![(row, 1.0)],
            bound: program.rows[row].bound,
        }
    }

    fn add(&mut self, program: &Program, row: usize, factor: f64) {
        for (column, term) in &program.rows[row].terms {
            match self.terms.binary_search_by_key(column, |(at, _)| *at) {
                Ok(at) => self.terms[at].1 += term * factor,
                Err(at) => self.terms.insert(at, (*column, term * factor)),
            }
        }
        self.terms.retain(|(_, factor)| factor.abs() > 1e-9);
        self.parts.push((row, factor));
        self.bound += program.rows[row].bound * factor;
    }

    /// The sum as at-most, the other way round if `turned`: columns, and slacks by their row.
    fn slacks(&self, program: &Program, turned: bool) -> Vec<(usize, f64)> {
        let sign = if turned { -1.0 } else { 1.0 };
        self.parts
            .iter()
            .filter_map(|(row, factor)| match program.rows[*row].sense {
                Sense::AtMost => Some((*row, factor * sign)),
                Sense::AtLeast => Some((*row, -factor * sign)),
                Sense::Exactly => None,
            })
            .filter(|(_, factor)| *factor < 0.0)
            .collect()
    }
}

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

/// Cuts of one sum that `values` break, the most broken one.
fn rounded(ground: &Ground<'_>, sum: &Sum, turned: bool, values: &[f64]) -> Option<(f64, Row)> {
    let program = ground.program;
    let sign = if turned { -1.0 } else { 1.0 };
    let mut bound = sum.bound * sign;
    let mut rests: Vec<Rest> = Vec::new();
    let mut wholes: std::collections::BTreeMap<usize, f64> = std::collections::BTreeMap::new();
    let mut grouped: std::collections::BTreeMap<(usize, u64), (f64, Vec<usize>)> =
        std::collections::BTreeMap::new();
    for (column, factor) in &sum.terms {
        let factor = factor * sign;
        if program.columns[*column].whole {
            *wholes.entry(*column).or_insert(0.0) += factor;
            continue;
        }
        // The group that allows least.
        let best = ground.groups[*column].iter().copied().min_by(|one, other| {
            ground.group[*one]
                .most
                .total_cmp(&ground.group[*other].most)
        });
        match best {
            Some(group) => grouped
                .entry((group, factor.to_bits()))
                .or_insert((factor, Vec::new()))
                .1
                .push(*column),
            None => {
                let upper = program.columns[*column].upper;
                let value = values[*column];
                if upper.is_finite() && upper - value < value {
                    bound -= factor * upper;
                    rests.push(Rest {
                        factor: -factor,
                        terms: vec![(*column, -1.0)],
                        constant: upper,
                        value: (upper - value).max(0.0),
                    });
                } else {
                    rests.push(Rest {
                        factor,
                        terms: vec![(*column, 1.0)],
                        constant: 0.0,
                        value: value.max(0.0),
                    });
                }
            }
        }
    }
    for ((group, _), (factor, columns)) in grouped {
        let Group { choice, most } = ground.group[group];
        let value: f64 = columns.iter().map(|column| values[*column]).sum();
        let left = most * values[choice] - value;
        let mut terms: Vec<(usize, f64)> = columns.iter().map(|column| (*column, 1.0)).collect();
        if left <= value + 1e-9 {
            *wholes.entry(choice).or_insert(0.0) += factor * most;
            for (_, factor) in &mut terms {
                *factor = -1.0;
            }
            terms.push((choice, most));
            rests.push(Rest {
                factor: -factor,
                terms,
                constant: 0.0,
                value: left.max(0.0),
            });
        } else {
            rests.push(Rest {
                factor,
                terms,
                constant: 0.0,
                value: value.max(0.0),
            });
        }
    }
    for (row, factor) in sum.slacks(program, turned) {
        let row = &program.rows[row];
        let sign = if row.sense == Sense::AtMost {
            1.0
        } else {
            -1.0
        };
        let used: f64 = row
            .terms
            .iter()
            .map(|(column, factor)| values[*column] * factor)
            .sum();
        rests.push(Rest {
            factor,
            terms: row
                .terms
                .iter()
                .map(|(column, term)| (*column, -sign * term))
                .collect(),
            constant: sign * row.bound,
            value: (sign * (row.bound - used)).max(0.0),
        });
    }
    rests.retain(|rest| rest.factor < 0.0);
    let mut wholes: Vec<Whole> = wholes
        .into_iter()
        .filter(|(_, factor)| factor.abs() > 1e-9)
        .map(|(column, factor)| Whole {
            column,
            factor,
            value: values[column],
            turned: false,
        })
        .collect();
    for whole in &mut wholes {
        if whole.value > 0.5 {
            turn(whole, &mut bound);
        }
    }
    let fraction = |value: f64| value > 1e-6 && value < 1.0 - 1e-6;
    let mut divisors: Vec<f64> = wholes
        .iter()
        .filter(|whole| fraction(whole.value))
        .map(|whole| whole.factor.abs())
        .collect();
    divisors.sort_by(f64::total_cmp);
    divisors.dedup_by(|one, other| (*one - *other).abs() < 1e-6 * *other);
    divisors.retain(|divisor| *divisor > 1e-4);
    if divisors.is_empty() {
        return None;
    }
    let rest_sum: f64 = rests.iter().map(|rest| rest.factor * rest.value).sum();
    let broken = |wholes: &[Whole], bound: f64, divisor: f64| -> Option<f64> {
        let whole = bound / divisor;
        let part = whole - whole.floor();
        if !(0.02..0.98).contains(&part) {
            return None;
        }
        let mut left = -whole.floor();
        let mut length = 0.0;
        for w in wholes {
            let factor = rounded_factor(w.factor / divisor, part);
            left += factor * w.value;
            length += factor * factor;
        }
        left += rest_sum / divisor / (1.0 - part);
        for rest in &rests {
            let f = rest.factor / divisor / (1.0 - part);
            length += f * f * rest.terms.len() as f64;
        }
        Some(left / length.sqrt().max(1e-9))
    };
    let mut best: Option<(f64, f64)> = None;
    for divisor in &divisors {
        if let Some(by) = broken(&wholes, bound, *divisor)
            && best.is_none_or(|(so_far, _)| by > so_far)
        {
            best = Some((by, *divisor));
        }
    }
    let (_, divisor) = best?;
    for part in [2.0, 4.0, 8.0] {
        let divisor = divisor / part;
        if let Some(by) = broken(&wholes, bound, divisor)
            && best.is_none_or(|(so_far, _)| by > so_far)
        {
            best = Some((by, divisor));
        }
    }
    let (mut by, divisor) = best?;
    let mut order: Vec<usize> = (0..wholes.len())
        .filter(|at| fraction(wholes[*at].value))
        .collect();
    order.sort_by(|one, other| {
        (wholes[*one].value - 0.5)
            .abs()
            .total_cmp(&(wholes[*other].value - 0.5).abs())
    });
    for at in order {
        let (before, bound_before) = (wholes[at], bound);
        turn(&mut wholes[at], &mut bound);
        match broken(&wholes, bound, divisor) {
            Some(better) if better > by => by = better,
            _ => (wholes[at], bound) = (before, bound_before),
        }
    }
    if by < BROKEN_BY {
        return None;
    }
    // Back to the columns.
    let whole = bound / divisor;
    let part = whole - whole.floor();
    let mut right = whole.floor();
    let mut terms: std::collections::BTreeMap<usize, f64> = std::collections::BTreeMap::new();
    for w in &wholes {
        let factor = rounded_factor(w.factor / divisor, part);
        if w.turned {
            right -= factor;
            *terms.entry(w.column).or_insert(0.0) -= factor;
        } else {
            *terms.entry(w.column).or_insert(0.0) += factor;
        }
    }
    for rest in &rests {
        let factor = rest.factor / divisor / (1.0 - part);
        right -= factor * rest.constant;
        for (column, term) in &rest.terms {
            *terms.entry(*column).or_insert(0.0) += factor * term;
        }
    }
    let terms: Vec<(usize, f64)> = terms
        .into_iter()
        .filter(|(_, factor)| factor.abs() > 1e-12)
        .collect();
    let (least, most) = terms
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(least, most), (_, factor)| {
            (least.min(factor.abs()), most.max(factor.abs()))
        });
    if most > 1e5 * least || terms.is_empty() {
        return None;
    }
    let scale = 1.0 / most;
    let terms: Vec<(usize, f64)> = terms.into_iter().map(|(c, f)| (c, f * scale)).collect();
    let bound = right * scale;
    let left: f64 = terms.iter().map(|(c, f)| values[*c] * f).sum();
    let length: f64 = terms.iter().map(|(_, f)| f * f).sum::<f64>().sqrt();
    let by = (left - bound) / length;
    (by > BROKEN_BY).then_some((
        by,
        Row {
            terms,
            sense: Sense::AtMost,
            bound: bound,
        },
    ))
}

fn turn(whole: &mut Whole, bound: &mut f64) {
    *bound -= whole.factor;
    whole.factor = -whole.factor;
    whole.value = 1.0 - whole.value;
    whole.turned = !whole.turned;
}

fn rounded_factor(factor: f64, part: f64) -> f64 {
    let floor = factor.floor();
    floor + ((factor - floor - part) / (1.0 - part)).max(0.0)
}

fn separated(ground: &Ground<'_>, values: &[f64]) -> Vec<(f64, Row)> {
    let program = ground.program;
    let mut found = Vec::new();
    for row in &ground.rows {
        let mut sum = Sum::of(program, *row);
        for depth in 0..DEPTH {
            let before = found.len();
            for turned in [false, true] {
                found.extend(rounded(ground, &sum, turned, values));
            }
            if found.len() > before || depth + 1 == DEPTH {
                break;
            }
            // The amount furthest inside its bounds drops out.
            let inside = |column: usize| {
                let group = ground.groups[column]
                    .iter()
                    .map(|group| {
                        ground.group[*group].most * values[ground.group[*group].choice]
                            - values[column]
                    })
                    .fold(program.columns[column].upper - values[column], f64::min);
                values[column].min(group)
            };
            let next = sum
                .terms
                .iter()
                .filter(|(column, _)| !program.columns[*column].whole && inside(*column) > 1e-6)
                .filter_map(|(column, factor)| {
                    let row = ground.of_column[*column]
                        .iter()
                        .copied()
                        .filter(|row| sum.parts.iter().all(|(part, _)| part != row))
                        .min_by_key(|row| (program.rows[*row].sense != Sense::Exactly, *row))?;
                    Some((*column, *factor, row))
                })
                .max_by(|one, other| inside(one.0).total_cmp(&inside(other.0)));
            let Some((column, factor, row)) = next else {
                break;
            };
            let term = program.rows[row]
                .terms
                .iter()
                .find(|(at, _)| *at == column)
                .map_or(1.0, |(_, term)| *term);
            sum.add(program, row, -factor / term);
        }
    }
    found.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut kept: Vec<(f64, Row)> = Vec::new();
    for (by, row) in found {
        if kept.iter().all(|(_, other)| alike(&row, other) < 0.9) {
            kept.push((by, row));
        }
    }
    kept
}

fn alike(one: &Row, other: &Row) -> f64 {
    let length = |row: &Row| row.terms.iter().map(|(_, f)| f * f).sum::<f64>().sqrt();
    let mut at = 0;
    let mut product = 0.0;
    for (column, factor) in &one.terms {
        while at < other.terms.len() && other.terms[at].0 < *column {
            at += 1;
        }
        if at < other.terms.len() && other.terms[at].0 == *column {
            product += factor * other.terms[at].1;
        }
    }
    product / length(one) / length(other)
}

/// A program with what its relaxation broke.
pub struct Tightened {
    /// The program.
    pub program: Program,
    /// The values of its relaxation.
    pub values: Vec<f64>,
    /// Their cost, which no plan goes below.
    pub bound: f64,
}

/// A round that raises the bound by less than this part of it gains too little to go on.
const GAIN: f64 = 1e-5;

/// Adds, in so many rounds at most, conditions that the relaxation breaks. Nothing where the solver breaks
/// down on the program as it is.
pub fn tightened(program: &Program, rounds: usize) -> Option<Tightened> {
    let ground = Ground::of(program);
    let relaxation = Relaxation::of(program)?;
    let mut best = Tightened {
        program: program.clone(),
        values: relaxation.values(),
        bound: relaxation.cost(),
    };
    for _ in 0..rounds {
        let cuts = separated(&ground, &best.values);
        if cuts.is_empty() {
            break;
        }
        let mut with = best.program.clone();
        with.rows.extend(cuts.into_iter().map(|(_, row)| row));
        let Some(relaxation) = Relaxation::of(&with) else {
            break;
        };
        let (values, bound) = (relaxation.values(), relaxation.cost());
        // What no longer binds only costs time.
        let mut at = 0;
        with.rows.retain(|row| {
            at += 1;
            at <= program.rows.len() || row.bound - row.sum(&values) < 1e-7
        });
        let gain = bound - best.bound;
        best = Tightened {
            program: with,
            values,
            bound,
        };
        if gain < GAIN * bound.abs() {
            break;
        }
    }
    Some(best)
}
