//! Solves a program. The only file that knows the solver.
//!
//! The solver works in slices of so many nodes of its search tree: between two of them the caller sees how
//! far it is and may stop it. Nodes and not seconds, so that the same program ends with the same values on
//! every machine.

use super::program::{Program, Sense};
use microlp::{
    ComparisonOp, LinearExpr, OptimizationDirection, Problem, ResumeOptions, Solution,
    SolveOptions, TerminationReason, Variable,
};

/// Values for a program and how good they are.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// One value for each column.
    pub values: Vec<f64>,
    /// Their cost.
    pub cost: f64,
    /// No values cost less than this.
    pub bound: f64,
    /// Whether the search ended by itself, so that nothing is better by more than the gap asked for.
    pub proven: bool,
}

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Nodes of the search tree at most.
    pub nodes: u64,
    /// Nodes between two looks.
    pub slice: u64,
    /// Part of the cost that may be left to save when the search ends by itself.
    pub gap: f64,
}

/// Looks between two slices at the best values so far; says whether to go on.
pub type Look<'a> = dyn FnMut(&Solved) -> bool + 'a;

/// Solves the program from a known start. Nothing where the solver ends without values.
pub fn solve(
    program: &Program,
    start: Option<&[f64]>,
    effort: Effort,
    look: &mut Look<'_>,
) -> Option<Solved> {
    let (problem, variables) = translated(program);
    let mut options = SolveOptions::default();
    options.mip_gap = effort.gap;
    options.node_limit = Some(effort.slice.min(effort.nodes));
    // A start as the values of the choices alone: the solver completes the amounts, and no rounding of
    // theirs can make it refuse the start.
    options.warm_start = start.map(|values| {
        variables
            .iter()
            .zip(values)
            .zip(&program.columns)
            .filter(|(_, column)| column.whole)
            .map(|((variable, value), _)| (*variable, value.round()))
            .collect()
    });
    let mut outcome = match problem.solve_with(options.clone()) {
        Ok(outcome) => outcome,
        Err(_) => {
            options.presolve = false;
            problem.solve_with(options).ok()?
        }
    };
    let ends = |reason| {
        matches!(
            reason,
            TerminationReason::ProvenOptimal | TerminationReason::MipGap
        )
    };
    let mut nodes = effort.slice;
    loop {
        let found = outcome
            .solution()
            .map(|solution| read(solution, &variables, program));
        let ended = ends(outcome.termination_reason());
        let goes_on = found.as_ref().is_none_or(&mut *look);
        if ended || nodes >= effort.nodes || !goes_on {
            return found;
        }
        let mut more = ResumeOptions::default();
        more.node_limit = Some(effort.slice);
        more.mip_gap = Some(effort.gap);
        nodes += effort.slice;
        // A search that breaks down keeps what it had found.
        outcome = match outcome.resume_with(more) {
            Ok(outcome) => outcome,
            Err(_) => return found,
        };
    }
}

/// The program with fractions of choices allowed, solved.
pub struct Relaxation {
    solution: Solution,
    variables: Vec<Variable>,
}

impl Relaxation {
    /// Solves it. Nothing where the solver breaks down.
    pub fn of(program: &Program) -> Option<Self> {
        let mut program = program.clone();
        for column in &mut program.columns {
            column.whole = false;
        }
        let (problem, variables) = translated(&program);
        let solution = problem.solve().ok()?.into_solution().ok()?;
        Some(Self {
            solution,
            variables,
        })
    }

    /// The cost, which no plan goes below.
    pub fn cost(&self) -> f64 {
        self.solution.objective()
    }

    /// The values of the columns.
    pub fn values(&self) -> Vec<f64> {
        let value = |variable: &Variable| self.solution.var_value(*variable);
        self.variables.iter().map(value).collect()
    }
}

fn translated(program: &Program) -> (Problem, Vec<Variable>) {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let variables: Vec<Variable> = program
        .columns
        .iter()
        .map(|column| {
            if column.whole {
                problem.add_integer_var(column.cost, (column.lower as i32, column.upper as i32))
            } else {
                problem.add_var(column.cost, (column.lower, column.upper))
            }
        })
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

fn read(solution: &Solution, variables: &[Variable], program: &Program) -> Solved {
    let values: Vec<f64> = variables
        .iter()
        .zip(&program.columns)
        .map(|(variable, column)| {
            let value = solution.var_value(*variable);
            if column.whole { value.round() } else { value }
        })
        .collect();
    let proven = matches!(
        solution.termination_reason(),
        TerminationReason::ProvenOptimal | TerminationReason::MipGap
    );
    let cost = solution.objective();
    let bound = solution.stats().best_bound.unwrap_or(f64::NEG_INFINITY);
    Solved {
        values,
        cost,
        bound: bound.min(cost),
        proven,
    }
}
