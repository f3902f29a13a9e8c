//! What of the promises of the accepted plan the rounding keeps to the step.

use crate::planning::draft::{Draft, DraftDraw};
use crate::planning::figures::kilograms;
use crate::planning::model::Facts;
use crate::quantity::Milligrams;

/// As near as this the draft keeps a promise, in steps: what it is off by says nothing.
const PROMISE: f64 = 2.0;

/// For each draw, the steps that were promised, where the draft keeps its promise but for a few. What a bake is promised of a
/// lot may go in in several states. No bake leaves its bounds for it.
pub(super) fn kept(facts: Facts<'_>, draft: &Draft, exact: &[f64], least: i64) -> Vec<Option<i64>> {
    let Facts {
        situation, figures, ..
    } = facts;
    let step = situation.capacity.step.get().max(1);
    let mut found = vec![None; exact.len()];
    for one in &situation.promised {
        let is_its = |draw: &DraftDraw| (draw.lot, draw.bake) == (one.lot, one.bake);
        let mine: Vec<usize> = (0..exact.len())
            .filter(|at| is_its(&draft.draws[*at]))
            .collect();
        let all = one.wet.get() / step;
        let drawn: f64 = mine.iter().map(|at| exact[*at]).sum();
        if mine.is_empty() || (drawn - all as f64).abs() > PROMISE {
            continue;
        }
        let mut parts: Vec<i64> = mine.iter().map(|at| exact[*at].floor() as i64).collect();
        let lacking = |parts: &[i64], part: usize| exact[mine[part]] - parts[part] as f64;
        let by_lacking = |parts: &[i64], one: &usize, other: &usize| {
            lacking(parts, *one).total_cmp(&lacking(parts, *other))
        };
        for _ in parts.iter().sum::<i64>()..all {
            let most = (0..mine.len()).max_by(|one, other| by_lacking(&parts, one, other));
            parts[most.unwrap_or(0)] += 1;
        }
        for _ in all..parts.iter().sum::<i64>() {
            let fewest = (0..mine.len()).min_by(|one, other| by_lacking(&parts, one, other));
            parts[fewest.unwrap_or(0)] -= 1;
        }
        if all >= least && parts.iter().all(|part| *part >= 0) {
            for (at, part) in mine.into_iter().zip(parts) {
                found[at] = Some(part);
            }
        }
    }
    let step_kg = kilograms(Milligrams::new(step));
    for (index, bake) in situation.bakes.iter().enumerate() {
        let (mut drawn, mut fewest, mut most) = (0.0_f64, 0.0_f64, 0.0_f64);
        for (at, draw) in draft.draws.iter().enumerate() {
            if draw.bake == index {
                let each = step_kg / figures.wet_per_dry[draw.lot];
                let promised = found[at].map_or(exact[at], |steps| steps as f64);
                drawn += exact[at] * each;
                fewest += exact[at].min(promised) * each;
                most += exact[at].max(promised) * each;
            }
        }
        let lowest = drawn.min(kilograms(bake.lowest)) - step_kg / 2.0;
        let highest = drawn.max(kilograms(bake.highest)) + step_kg / 2.0;
        if fewest < lowest || most > highest {
            for (found, draw) in found.iter_mut().zip(&draft.draws) {
                if draw.bake == index {
                    *found = None;
                }
            }
        }
    }
    found
}
