use super::{Effort, Solved, solve};
use crate::planning::cuts::{relaxed, tightened};
use crate::planning::program::{Program, Sense};
use crate::planning::tests::instances::Seeded;
use microlp::{ComparisonOp, OptimizationDirection, Problem};

const TO_THE_END: Effort = Effort {
    nodes: 100_000,
    work: u64::MAX,
    slice: 1,
    slack: 0.0,
};

fn solved(program: &Program, rounds: usize) -> Option<Solved> {
    solve(tightened(program, rounds)?, None, TO_THE_END, &mut |_| true).solved
}

/// Ten things, of which some fit: 309 is the most (J. Burkardt, data set KNAPSACK_01, problem P01; from memory).
/// Trying all says the same.
#[test]
fn a_knapsack_from_a_collection() {
    const WEIGHTS: [f64; 10] = [23.0, 31.0, 29.0, 44.0, 53.0, 38.0, 63.0, 85.0, 89.0, 82.0];
    const WORTHS: [f64; 10] = [92.0, 57.0, 49.0, 68.0, 60.0, 43.0, 67.0, 84.0, 87.0, 72.0];
    let mut program = Program::default();
    let choices: Vec<usize> = WORTHS.iter().map(|worth| program.choice(-worth)).collect();
    let terms = choices.into_iter().zip(WEIGHTS).collect();
    program.row(terms, Sense::AtMost, 165.0);
    let sum = |of: [f64; 10], chosen: u32| -> f64 {
        (0..10)
            .filter(|at| chosen >> at & 1 == 1)
            .map(|at| of[at])
            .sum()
    };
    let most = (0..1 << 10)
        .filter(|chosen| sum(WEIGHTS, *chosen) <= 165.0)
        .map(|chosen| sum(WORTHS, chosen))
        .fold(0.0, f64::max);
    assert_eq!(most, 309.0);
    let solved = solved(&program, 0).unwrap();
    assert!(solved.proven && (solved.cost + 309.0).abs() < 1e-6);
}

/// Choices, each with an amount that it allows, under conditions on both.
fn any(random: &mut Seeded, most: i64) -> Program {
    let mut program = Program::default();
    let count = random.whole(2, most) as usize;
    for _ in 0..count {
        let most = random.whole(2, 9) as f64;
        let choice = program.choice(random.whole(0, 9) as f64);
        let amount = program.amount(random.whole(-6, 2) as f64, most);
        program.row(vec![(amount, 1.0), (choice, -most)], Sense::AtMost, 0.0);
    }
    for _ in 0..random.whole(1, 5) {
        let terms: Vec<(usize, f64)> = (0..2 * count)
            .filter(|_| random.chance(50))
            .collect::<Vec<_>>()
            .into_iter()
            .map(|column| (column, random.whole(1, 7) as f64))
            .collect();
        let sense = if random.chance(70) {
            Sense::AtMost
        } else {
            Sense::AtLeast
        };
        program.row(terms, sense, random.whole(2, 30) as f64);
    }
    program
}

/// The same program solved by a library for such programs in general. It takes a choice for whole that is a millionth
/// off.
fn by_the_library(program: &Program) -> Option<f64> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let variables: Vec<_> = program
        .columns
        .iter()
        .map(|column| {
            if column.whole {
                problem.add_integer_var(column.cost, (0, 1))
            } else {
                problem.add_var(column.cost, (column.lower, column.upper))
            }
        })
        .collect();
    for row in &program.rows {
        let terms = row.terms.iter();
        let terms: Vec<_> = terms
            .map(|(at, factor)| (variables[*at], *factor))
            .collect();
        let sense = match row.sense {
            Sense::AtMost => ComparisonOp::Le,
            Sense::AtLeast => ComparisonOp::Ge,
            Sense::Exactly => ComparisonOp::Eq,
        };
        problem.add_constraint(&terms[..], sense, row.bound);
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    Some(solution.objective())
}

#[test]
fn random_programs_end_as_a_library_ends_them() {
    let mut random = Seeded::new(21);
    let (mut compared, mut without) = (0, 0);
    for round in 0..800 {
        let program = any(&mut random, 8);
        let theirs = by_the_library(&program);
        for rounds in [0, 3] {
            let ours = solved(&program, rounds);
            match (&ours, theirs) {
                (Some(ours), Some(cost)) => {
                    assert!(
                        ours.proven && (ours.cost - cost).abs() < 1e-5,
                        "{round} {rounds}: {ours:?} {cost}"
                    );
                    assert!(program.worst_breach(&ours.values) < 1e-6, "{round}");
                    compared += 1;
                }
                (None, None) => without += 1,
                _ => panic!("{round}: {ours:?} {theirs:?} {program:?}"),
            }
        }
    }
    assert!(compared > 400 && without > 20, "{compared} {without}");
}

#[test]
fn a_search_that_is_ended_states_a_bound_that_holds() {
    let mut random = Seeded::new(22);
    let mut ended = 0;
    for _ in 0..200 {
        let program = any(&mut random, 20);
        let Some(best) = solved(&program, 0) else {
            continue;
        };
        for nodes in 1..6 {
            let effort = Effort {
                nodes,
                ..TO_THE_END
            };
            let root = relaxed(&program).unwrap();
            let searched = solve(root, Some(&best.values), effort, &mut |_| true);
            let some = searched.solved.unwrap();
            assert!((some.cost - best.cost).abs() < 1e-6, "the start is kept");
            assert!(some.bound <= best.cost + 1e-6);
            assert!(!some.proven || some.bound >= best.cost - 1e-6);
            ended += usize::from(!some.proven);
        }
        let root = relaxed(&program).unwrap();
        let mut looks = 0;
        let stopped = solve(root, Some(&best.values), TO_THE_END, &mut |_| {
            looks += 1;
            false
        });
        assert!(looks == 1 && stopped.solved.is_some());
    }
    assert!(ended > 50, "{ended}");
}

#[test]
fn a_search_without_work_keeps_its_start_and_says_how_much_better_there_may_be() {
    let mut random = Seeded::new(24);
    let mut ended = 0;
    for _ in 0..200 {
        let program = any(&mut random, 20);
        let Some(best) = solved(&program, 0) else {
            continue;
        };
        let with = |work| {
            let effort = Effort { work, ..TO_THE_END };
            let root = relaxed(&program).unwrap();
            solve(root, Some(&best.values), effort, &mut |_| true)
        };
        let none = with(0).solved.unwrap();
        assert!((none.cost - best.cost).abs() < 1e-6);
        assert!(none.bound <= best.cost + 1e-6);
        // The same work each time, and all of it where that is enough.
        let all = with(u64::MAX);
        assert_eq!(with(all.work + 1), all);
        ended += usize::from(!none.proven);
    }
    assert!(ended > 10, "{ended}");
}

#[test]
fn slack_that_may_be_left_ends_the_search_within_it() {
    let mut random = Seeded::new(23);
    for _ in 0..100 {
        let program = any(&mut random, 20);
        let Some(best) = solved(&program, 0) else {
            continue;
        };
        let effort = Effort {
            slack: 0.1,
            ..TO_THE_END
        };
        let root = relaxed(&program).unwrap();
        let near = solve(root, None, effort, &mut |_| true).solved.unwrap();
        assert!(near.proven && near.bound <= best.cost + 1e-6);
        assert!(near.cost - near.bound <= 0.1 + 1e-6);
    }
}
