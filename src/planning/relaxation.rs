//! The program with fractions of choices allowed.
//!
//! A small one is solved by the tableau, which holds every factor of every row. A large one, whose factors are
//! mostly nothing, is left to a solver for sparse programs, which is also asked where the tableau fails. The only
//! file that knows that solver.

use super::program::{Program, Sense};
use super::tableau::{End, Tableau};
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, Variable};

/// Programs with more columns than this are large.
const LARGE: usize = 1500;

/// The best values where choices may be taken in part.
#[derive(Debug, Clone, PartialEq)]
pub struct Relaxation {
    /// One value for each column.
    pub values: Vec<f64>,
    /// The cost, which no plan goes below.
    pub cost: f64,
}

impl Relaxation {
    /// Solves it. Nothing where no values keep to the conditions, or the solver breaks down.
    pub fn of(program: &Program) -> Option<Self> {
        if program.columns.len() <= LARGE {
            let mut tableau = Tableau::of(program);
            match tableau.settle(f64::INFINITY) {
                End::Best => {
                    return Some(Self {
                        cost: tableau.bound(),
                        values: tableau.values().to_vec(),
                    });
                }
                End::Impossible => return None,
                End::Above | End::Steps => {}
            }
        }
        Self::sparse(program)
    }

    pub(super) fn sparse(program: &Program) -> Option<Self> {
        let (problem, variables) = translated(program);
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let value = |variable: &Variable| solution.var_value(*variable);
        Some(Self {
            values: variables.iter().map(value).collect(),
            cost: solution.objective(),
        })
    }
}

fn translated(program: &Program) -> (Problem, Vec<Variable>) {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let variables: Vec<Variable> = program
        .columns
        .iter()
        .map(|column| problem.add_var(column.cost, (column.lower, column.upper)))
        .collect();
    for row in &program.rows {
        let mut sum = LinearExpr::empty();
        for (column, factor) in &row.terms {
            sum.add(variables[*column], *factor);
        }
        let sense = match row.sense {
            Sense::AtMost => ComparisonOp::Le,
            Sense::AtLeast => ComparisonOp::Ge,
            Sense::Exactly => ComparisonOp::Eq,
        };
        problem.add_constraint(sum, sense, row.bound);
    }
    (problem, variables)
}
