//! Conditions that every plan keeps to and that fractions of choices do not: they bring the relaxation near the
//! best plan, so that less has to be tried.
//!
//! Complemented mixed-integer rounding (Marchand & Wolsey 2001, Aggregation and mixed integer rounding to solve
//! MIPs, Operations Research 49; from memory): rows are added up so that an amount drops out, amounts are
//! written as what their choice allows less what is left of it, choices near one are turned round, and the
//! whole is divided and rounded. Only what the relaxation at hand breaks is kept.

use super::program::{Program, Row, Sense};
use super::tableau::{End, Tableau};
use rounding::Mixed;

mod rounding;

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

impl Ground<'_> {
    /// Of the groups that a column is in, the one that allows least.
    fn tightest(&self, column: usize) -> Option<usize> {
        let most = |group: &usize| self.group[*group].most;
        let groups = self.groups[column].iter().copied();
        groups.min_by(|one, other| most(one).total_cmp(&most(other)))
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

/// What the values break, the most broken first, each unlike those before it.
fn separated(ground: &Ground<'_>, values: &[f64]) -> Vec<(f64, Row)> {
    let program = ground.program;
    let mut found = Vec::new();
    for row in &ground.rows {
        let mut sum = Sum::of(program, *row);
        for depth in 0..DEPTH {
            let before = found.len();
            for turned in [false, true] {
                found.extend(Mixed::of(ground, &sum, turned, values).cut(values));
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

/// How alike two rows are: the cosine of the angle between them.
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

/// A program with what its relaxation broke, and the relaxation solved.
#[derive(Clone)]
pub struct Tightened {
    /// The program.
    pub program: Program,
    /// Its relaxation at the best corner.
    pub tableau: Tableau,
    /// The cost of that corner, which no plan goes below.
    pub bound: f64,
}

/// A round that raises the bound by less than this part of it gains too little to go on.
const GAIN: f64 = 1e-5;

/// The program as it is, with its relaxation solved. Nothing where it cannot be solved.
pub fn relaxed(program: &Program) -> Option<Tightened> {
    let mut tableau = Tableau::of(program);
    (tableau.settle(f64::INFINITY) == End::Best).then(|| Tightened {
        program: program.clone(),
        bound: tableau.bound(),
        tableau,
    })
}

/// Adds, in so many rounds at most, conditions that the relaxation breaks. Nothing where it cannot be solved.
pub fn tightened(program: &Program, rounds: usize) -> Option<Tightened> {
    let mut best = relaxed(program)?;
    let ground = Ground::of(program);
    for _ in 0..rounds {
        let cuts = separated(&ground, best.tableau.values());
        if cuts.is_empty() {
            break;
        }
        let mut with = best.tableau.clone();
        for (_, row) in cuts {
            with.add(row);
        }
        if with.settle(f64::INFINITY) != End::Best {
            break;
        }
        // What no longer binds only costs time.
        with.drop_slack(program.rows.len());
        let bound = with.bound();
        let gain = bound - best.bound;
        best.tableau = with;
        best.bound = bound;
        if gain < GAIN * bound.abs() {
            break;
        }
    }
    let cuts = best.tableau.conditions(program.rows.len());
    best.program.rows.extend_from_slice(cuts);
    Some(best)
}
