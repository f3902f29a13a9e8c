use super::{End, Tableau};
use crate::planning::program::{Program, Sense};
use crate::planning::relaxation::Relaxation;
use crate::planning::tests::instances::Seeded;

/// Three amounts to ten, in whole factors, under conditions that half of the time cannot be met all.
fn any(random: &mut Seeded) -> Program {
    let mut program = Program::default();
    for _ in 0..random.whole(2, 9) {
        let upper = random.whole(1, 10) as f64;
        program.amount(random.whole(-9, 9) as f64, upper);
    }
    for _ in 0..random.whole(1, 9) {
        let terms: Vec<(usize, f64)> = (0..program.columns.len())
            .filter_map(|column| {
                let factor = random.whole(-5, 5) as f64;
                (random.chance(60) && factor != 0.0).then_some((column, factor))
            })
            .collect();
        let sense = [Sense::AtMost, Sense::AtLeast, Sense::Exactly][random.whole(0, 2) as usize];
        program.row(terms, sense, random.whole(-15, 25) as f64);
    }
    program
}

/// A product mix of two: at most 4 of one, 2 hours of 12 for each of the other, 3 and 2 hours of 18; they bring 3 and
/// 5. Two of the one and six of the other bring 36 (Hillier & Lieberman, Introduction to Operations Research, the
/// Wyndor Glass example; from memory).
#[test]
fn a_textbook_example() {
    let mut program = Program::default();
    let doors = program.amount(-3.0, 100.0);
    let windows = program.amount(-5.0, 100.0);
    program.row(vec![(doors, 1.0)], Sense::AtMost, 4.0);
    program.row(vec![(windows, 2.0)], Sense::AtMost, 12.0);
    program.row(vec![(doors, 3.0), (windows, 2.0)], Sense::AtMost, 18.0);
    let mut tableau = Tableau::of(&program);
    assert_eq!(tableau.settle(f64::INFINITY), End::Best);
    assert_eq!(tableau.values(), [2.0, 6.0]);
    assert!((tableau.bound() + 36.0).abs() < 1e-9);
    // It is not known that everything costs more than the best does.
    assert_eq!(tableau.settle(-35.0), End::Best);
    program.columns[doors].lower = 3.0;
    program.columns[windows].lower = 5.0;
    let mut tableau = Tableau::of(&program);
    assert_eq!(tableau.settle(f64::INFINITY), End::Impossible);
}

/// The library is one for linear programs in general.
#[test]
fn random_programs_end_as_a_library_ends_them() {
    let mut random = Seeded::new(11);
    let (mut solved, mut impossible) = (0, 0);
    for round in 0..2000 {
        let program = any(&mut random);
        let mut tableau = Tableau::of(&program);
        let end = tableau.settle(f64::INFINITY);
        match Relaxation::sparse(&program) {
            Some(other) => {
                assert_eq!(end, End::Best, "{round}: {program:?}");
                let bound = tableau.bound();
                assert!(
                    (bound - other.cost).abs() < 1e-6,
                    "{round}: {bound} {other:?}"
                );
                assert!(program.worst_breach(tableau.values()) < 1e-6, "{round}");
                assert!(
                    (program.cost(tableau.values()) - bound).abs() < 1e-6,
                    "{round}"
                );
                solved += 1;
            }
            None => {
                assert_eq!(end, End::Impossible, "{round}: {program:?}");
                impossible += 1;
            }
        }
    }
    assert!(solved > 100 && impossible > 100, "{solved} {impossible}");
}

/// One tableau through many bounds, with trials that are taken back, beside a new tableau for each.
#[test]
fn where_it_came_from_does_not_matter() {
    let mut random = Seeded::new(12);
    let mut compared = 0;
    for _ in 0..200 {
        let mut program = any(&mut random);
        let mut tableau = Tableau::of(&program);
        let mut other = tableau.clone();
        for _ in 0..20 {
            let column = random.whole(0, program.columns.len() as i64 - 1) as usize;
            let upper = random.whole(0, 8) as f64;
            let lower = random.whole(0, upper as i64) as f64;
            program.columns[column].lower = lower;
            program.columns[column].upper = upper;
            tableau.set_bounds([(column, [lower, upper])]);
            let mut new = Tableau::of(&program);
            let end = new.settle(f64::INFINITY);
            other.go_to(&tableau);
            other.set_bounds([(column, [lower, lower])]);
            other.go(f64::INFINITY, 3);
            assert_eq!(tableau.settle(f64::INFINITY), end);
            if end == End::Best {
                assert!((tableau.bound() - new.bound()).abs() < 1e-6);
                compared += 1;
            }
        }
    }
    assert!(compared > 200, "{compared}");
}

/// Until the best corner is reached, and whatever the multipliers, the bound is one.
#[test]
fn no_bound_is_above_the_best() {
    let mut random = Seeded::new(13);
    let mut below = 0;
    for _ in 0..500 {
        let program = any(&mut random);
        let Some(best) = Relaxation::sparse(&program) else {
            continue;
        };
        let mut tableau = Tableau::of(&program);
        for steps in 0..4 {
            tableau.put_in_broken();
            tableau.go(f64::INFINITY, steps);
            let bound = tableau.bound();
            assert!(bound <= best.cost + 1e-6, "{bound} {best:?}");
            below += usize::from(bound < best.cost - 1e-3);
            tableau
                .reduced
                .iter_mut()
                .for_each(|reduced| *reduced += 0.5);
            assert!(tableau.bound() <= best.cost + 1e-6);
            tableau
                .reduced
                .iter_mut()
                .for_each(|reduced| *reduced -= 0.5);
        }
    }
    assert!(below > 100, "{below}");
}

/// What a choice costs more at least is never more than it does.
#[test]
fn a_rise_is_not_foreseen_too_high() {
    let mut random = Seeded::new(14);
    let mut foreseen = 0;
    for _ in 0..500 {
        let program = any(&mut random);
        let mut tableau = Tableau::of(&program);
        if tableau.settle(f64::INFINITY) != End::Best {
            continue;
        }
        let before = tableau.bound();
        for column in 0..program.columns.len() {
            let value = tableau.values()[column];
            if (value - value.round()).abs() < 1e-6 {
                continue;
            }
            let [lower, upper] = tableau.bounds(column);
            for (up, bounds) in [
                (false, [lower, value.floor()]),
                (true, [value.ceil(), upper]),
            ] {
                let rise = tableau.rise(column, up);
                let mut side = tableau.clone();
                side.set_bounds([(column, bounds)]);
                match side.settle(f64::INFINITY) {
                    End::Best => assert!(side.bound() >= before + rise - 1e-6, "{rise}"),
                    end => assert_eq!(end, End::Impossible),
                }
                if rise.is_infinite() {
                    assert_eq!(side.settle(f64::INFINITY), End::Impossible);
                }
                foreseen += usize::from(rise > 1e-3);
            }
        }
    }
    assert!(foreseen > 50, "{foreseen}");
}

#[test]
fn conditions_that_bind_nothing_are_no_rows_and_may_be_dropped() {
    let mut program = Program::default();
    let one = program.amount(-1.0, 10.0);
    let other = program.amount(-2.0, 10.0);
    program.row(vec![(one, 1.0), (other, 1.0)], Sense::AtMost, 12.0);
    program.row(vec![(one, 1.0), (other, 1.0)], Sense::AtMost, 30.0);
    let mut tableau = Tableau::of(&program);
    assert_eq!(tableau.settle(f64::INFINITY), End::Best);
    assert_eq!(tableau.rows, [0]);
    for bound in [14.0, 8.0] {
        tableau.add(crate::planning::program::Row {
            terms: vec![(one, 1.0), (other, 1.0)],
            sense: Sense::AtMost,
            bound,
        });
    }
    assert_eq!(tableau.settle(f64::INFINITY), End::Best);
    assert_eq!(tableau.values(), [0.0, 8.0]);
    tableau.drop_slack(2);
    let left: Vec<f64> = tableau.conditions(0).iter().map(|row| row.bound).collect();
    assert_eq!(left, [12.0, 30.0, 8.0]);
    assert_eq!(tableau.settle(f64::INFINITY), End::Best);
    assert_eq!(tableau.bound(), -16.0);
}
