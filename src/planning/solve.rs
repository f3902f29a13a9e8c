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
    /// Whether the search ended by itself, so that nothing is better.
    pub proven: bool,
}

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Nodes of the search tree at most.
    pub nodes: u64,
    /// Nodes between two looks.
    pub slice: u64,
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
    let mut nodes = effort.slice;
    loop {
        let found = outcome
            .solution()
            .map(|solution| read(solution, &variables, program));
        let ended = outcome.termination_reason() == TerminationReason::ProvenOptimal;
        let goes_on = found.as_ref().is_none_or(&mut *look);
        if ended || nodes >= effort.nodes || !goes_on {
            return found;
        }
        let mut more = ResumeOptions::default();
        more.node_limit = Some(effort.slice);
        nodes += effort.slice;
        // A search that breaks down keeps what it had found.
        outcome = match outcome.resume_with(more) {
            Ok(outcome) => outcome,
            Err(_) => return found,
        };
    }
}

/// Solves the program as if its choices could be made in part: no values of whole choices cost less.
pub fn relaxed(program: &Program) -> Option<Solved> {
    let mut parts = program.clone();
    for column in &mut parts.columns {
        column.whole = false;
    }
    let effort = Effort { nodes: 1, slice: 1 };
    solve(&parts, None, effort, &mut |_| false)
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
    let proven = solution.termination_reason() == TerminationReason::ProvenOptimal;
    let cost = solution.objective();
    let bound = if proven {
        cost
    } else {
        solution.stats().best_bound.unwrap_or(f64::NEG_INFINITY)
    };
    Solved {
        values,
        cost,
        bound: bound.min(cost),
        proven,
    }
}
