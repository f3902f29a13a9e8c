//! Brings a draft to the scale: every draw a whole number of the steps that it shows.
//!
//! Each draw stays within one step of the draft's, or within two where it keeps a promise, and a bake's sum too where
//! nothing else is in the way, so whole steps never cost a bake more than the scale can show; a bake within one step of
//! its least or greatest amount counts as keeping to it. Every draw is rounded down first, and raised again only where
//! water and the dryer still have room. Of a lot that the draft deals out to the last step the largest remainders are
//! raised, so that its parts add up to it. A draw that the accepted plan promised comes to what it promised where the
//! draft is within two steps of it: a plan that is accepted again moves nothing by what the solver's tolerance leaves
//! open.

use super::draft::{Draft, DraftDraw};
use super::figures::kilograms;
use super::model::Facts;
use super::windows::State;
use crate::quantity::Milligrams;

/// Draws and leftovers in whole scale steps of wet grain.
#[derive(Debug, Clone, PartialEq)]
pub struct Rounded {
    /// What goes into bakes.
    pub draws: Vec<RoundedDraw>,
    /// For each lot, what is frozen and no bake takes.
    pub frozen_unused: Vec<Milligrams>,
    /// For each lot, what is dried and no bake takes.
    pub dried_unused: Vec<Milligrams>,
    /// For each bake, whether it is baked.
    pub happens: Vec<bool>,
}

/// One amount of one lot for one bake.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoundedDraw {
    /// Position of the lot.
    pub lot: usize,
    /// Position of the bake.
    pub bake: usize,
    /// In which state it goes in.
    pub state: State,
    /// Wet grain, as the lot is now.
    pub wet: Milligrams,
}

impl Rounded {
    /// As kilograms of dry grain.
    pub fn draft(&self, facts: Facts<'_>) -> Draft {
        let dry = |lot: usize, wet: Milligrams| kilograms(wet) / facts.figures.wet_per_dry[lot];
        let kept = |unused: &[Milligrams]| -> Vec<f64> {
            let lots = unused.iter().enumerate();
            lots.map(|(lot, wet)| dry(lot, *wet)).collect()
        };
        let draws = self.draws.iter().map(|draw| DraftDraw {
            lot: draw.lot,
            bake: draw.bake,
            state: draw.state,
            dry: dry(draw.lot, draw.wet),
        });
        Draft {
            draws: draws.collect(),
            frozen_unused: kept(&self.frozen_unused),
            dried_unused: kept(&self.dried_unused),
            happens: self.happens.clone(),
        }
    }
}

/// What the solver's tolerance can move a number of steps by.
const SLACK: f64 = 1e-3;

/// As near as this the draft keeps a promise, in steps: what it is off by says nothing.
const PROMISE: f64 = 2.0;

/// Rounds a draft.
pub fn round(facts: Facts<'_>, draft: &Draft) -> Rounded {
    let Facts {
        situation, figures, ..
    } = facts;
    let step = situation.capacity.step.get().max(1);
    let step_kg = kilograms(Milligrams::new(step));
    let mut left: Vec<i64> = situation
        .lots
        .iter()
        .map(|lot| lot.wet.get() / step)
        .collect();
    let least = (situation.capacity.portion.get() + step - 1) / step;
    let exact: Vec<f64> = draft
        .draws
        .iter()
        .map(|draw| draw.dry * figures.wet_per_dry[draw.lot] / step_kg)
        .collect();
    let mut steps: Vec<i64> = exact
        .iter()
        .map(|exact| (exact + SLACK).floor() as i64)
        .collect();
    let promised = promised(facts, draft, &exact, least);
    for (at, draw) in draft.draws.iter().enumerate() {
        let most = promised[at].map_or(steps[at], |promised| promised.min(steps[at]));
        steps[at] = most.min(left[draw.lot]);
        left[draw.lot] -= steps[at];
    }
    let or_promised = |at: usize| promised[at].map_or(exact[at], |all| exact[at].max(all as f64));
    let each = |at: usize| step_kg / figures.wet_per_dry[draft.draws[at].lot];
    let is_dried_in_a_day = {
        let draws = draft.draws.iter().enumerate();
        let dried = draws.filter(|(_, draw)| draw.state == State::Dried);
        let for_bakes: f64 = dried
            .map(|(at, draw)| or_promised(at) * each(at) * figures.water_per_dry[draw.lot])
            .sum();
        let unused = draft.dried_unused.iter().zip(&figures.water_per_dry);
        let unused: f64 = unused.map(|(dry, water)| dry * water).sum();
        for_bakes + unused + step_kg <= figures.dryer
    };
    // Steps that the dryer still has time for: no more is dried of a lot than the draft dries, or was promised where a day has
    // the time for all.
    let mut to_dry: Vec<i64> = (0..situation.lots.len())
        .map(|lot| {
            let mine = || {
                let draws = draft.draws.iter().enumerate();
                draws.filter(|(_, draw)| draw.lot == lot && draw.state == State::Dried)
            };
            let unused = draft.dried_unused[lot] * figures.wet_per_dry[lot] / step_kg;
            let dried = |at: usize| {
                if is_dried_in_a_day {
                    or_promised(at)
                } else {
                    exact[at]
                }
            };
            let all = mine().map(|(at, _)| dried(at)).sum::<f64>() + unused;
            (all + SLACK).floor() as i64 - mine().map(|(at, _)| steps[at]).sum::<i64>()
        })
        .collect();
    // Kilograms of water that a step brings into its dough, and that each dough still takes.
    let water: Vec<f64> = draft
        .draws
        .iter()
        .map(|draw| {
            let of_dry = figures.water_in_bake(situation, (draw.lot, draw.bake, draw.state));
            of_dry.unwrap_or(0.0) * step_kg / figures.wet_per_dry[draw.lot]
        })
        .collect();
    let mut takes: Vec<f64> = figures
        .water_room
        .iter()
        .map(|room| room.unwrap_or(f64::INFINITY))
        .collect();
    for ((draw, steps), water) in draft.draws.iter().zip(&steps).zip(&water) {
        takes[draw.bake] -= *steps as f64 * water;
    }
    let mut raise = |at: usize, steps: &mut Vec<i64>| {
        let DraftDraw {
            lot, bake, state, ..
        } = draft.draws[at];
        let is_dried = state == State::Dried;
        let free = left[lot] > 0 && water[at] <= takes[bake] && (!is_dried || to_dry[lot] > 0);
        if free {
            left[lot] -= 1;
            to_dry[lot] -= i64::from(is_dried);
            takes[bake] -= water[at];
            steps[at] += 1;
        }
        free
    };
    for (at, promised) in promised.iter().enumerate() {
        while promised.is_some_and(|promised| steps[at] < promised) && raise(at, &mut steps) {}
    }
    let is_kept: Vec<bool> = steps
        .iter()
        .zip(&promised)
        .map(|(steps, promised)| *promised == Some(*steps))
        .collect();
    for at in 0..steps.len() {
        while steps[at] < least && exact[at] + 1.0 > least as f64 && raise(at, &mut steps) {}
    }
    // Those whose remainder is largest come first, and what keeps a promise last.
    let by_lacking = |mut mine: Vec<usize>, steps: &[i64]| {
        let lacking = |at: usize| exact[at] - steps[at] as f64;
        mine.sort_by(|one, other| lacking(*other).total_cmp(&lacking(*one)));
        mine.sort_by_key(|at| is_kept[*at]);
        mine
    };
    let mut lacks = vec![0.0_f64; situation.bakes.len()];
    for (at, draw) in draft.draws.iter().enumerate() {
        lacks[draw.bake] += (exact[at] - steps[at] as f64) * each(at);
    }
    for (bake, lack) in lacks.iter_mut().enumerate() {
        let mine = (0..steps.len()).filter(|at| draft.draws[*at].bake == bake && !is_kept[*at]);
        for at in by_lacking(mine.collect(), &steps) {
            if *lack > each(at) / 2.0 && raise(at, &mut steps) {
                *lack -= each(at);
            }
        }
    }
    for (lot, all) in situation.lots.iter().enumerate() {
        let mine: Vec<usize> = (0..steps.len())
            .filter(|at| draft.draws[*at].lot == lot)
            .collect();
        let drawn: f64 = mine.iter().map(|at| exact[*at]).sum();
        if drawn + 1.0 <= (all.wet.get() / step) as f64 {
            continue;
        }
        for at in by_lacking(mine, &steps) {
            let lack = &mut lacks[draft.draws[at].bake];
            let is_short = exact[at] > steps[at] as f64 && *lack > 0.0;
            if is_short && raise(at, &mut steps) {
                *lack -= each(at);
            }
        }
    }
    let draws = draft
        .draws
        .iter()
        .zip(&steps)
        .filter(|(_, steps)| **steps > 0)
        .map(|(draw, steps)| RoundedDraw {
            lot: draw.lot,
            bake: draw.bake,
            state: draw.state,
            wet: Milligrams::new(steps * step),
        })
        .collect();
    let (frozen_unused, dried_unused) = (0..situation.lots.len())
        .map(|lot| {
            let whole =
                |dry: f64| (dry * figures.wet_per_dry[lot] / step_kg + SLACK).floor() as i64;
            let mut frozen = whole(draft.frozen_unused[lot]).min(left[lot]);
            let mut dried = whole(draft.dried_unused[lot])
                .min(left[lot] - frozen)
                .min(to_dry[lot]);
            // Where less than a step was to spoil, the last step is kept too: nobody leaves a gram behind.
            let spoiled =
                (figures.dry[lot] - draft.taken(lot)) * figures.wet_per_dry[lot] / step_kg;
            let rest = left[lot] - frozen - dried;
            if spoiled < 1.0 && frozen > 0 {
                frozen += rest;
            } else if spoiled < 1.0 && dried > 0 {
                dried += rest.min(to_dry[lot] - dried);
            }
            // Less than is worth weighing out is not worth freezing or drying either.
            let for_bakes = |state: State| -> i64 {
                let draws = draft.draws.iter().zip(&steps);
                let mine = draws.filter(|(draw, _)| draw.lot == lot && draw.state == state);
                mine.map(|(_, steps)| *steps).sum()
            };
            if frozen + for_bakes(State::Thawed) < least {
                frozen = 0;
            }
            if dried + for_bakes(State::Dried) < least {
                dried = 0;
            }
            (
                Milligrams::new(frozen * step),
                Milligrams::new(dried * step),
            )
        })
        .unzip();
    Rounded {
        draws,
        frozen_unused,
        dried_unused,
        happens: draft.happens.clone(),
    }
}

/// For each draw, the steps that were promised, where the draft keeps its promise but for a few. What a bake is promised of a
/// lot may go in in several states. No bake leaves its bounds for it.
fn promised(facts: Facts<'_>, draft: &Draft, exact: &[f64], least: i64) -> Vec<Option<i64>> {
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
        if parts.iter().all(|part| *part >= least) {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planning::figures::Figures;
    use crate::planning::problem::PromisedDraw;
    use crate::planning::tests::instances::{self, bake, lot, monday};
    use crate::planning::windows::Windows;
    use chrono::Duration;

    /// What each bake gets of 6 kg of one lot, in grams, where the draft gives it so many.
    fn rounded(grams: &[f64]) -> Vec<i64> {
        rounded_with_promises(grams, &[])
    }

    /// The same where an accepted plan promised so many grams to the bakes.
    fn rounded_with_promises(grams: &[f64], promised: &[i64]) -> Vec<i64> {
        let mut situation = instances::empty();
        let mash_out = monday() - Duration::days(1);
        situation.lots.push(lot("L1", mash_out, 6_000, 0.75));
        for index in 0..grams.len() {
            let mix = monday() + Duration::hours(4 + index as i64);
            let code = format!("B{index}");
            situation.bakes.push(bake(&code, mix, [100, 500, 1_500]));
        }
        let promised = promised.iter().enumerate();
        situation.promised = promised
            .map(|(bake, grams)| PromisedDraw {
                lot: 0,
                bake,
                wet: Milligrams::new(grams * 1_000),
            })
            .collect();
        let windows = Windows::of(&situation);
        let figures = Figures::of(&situation, &windows);
        let facts = Facts {
            situation: &situation,
            windows: &windows,
            figures: &figures,
        };
        let mut draft = Draft::empty(1, grams.iter().map(|_| true));
        let draws = grams.iter().enumerate();
        draft.draws = draws
            .map(|(bake, grams)| DraftDraw {
                lot: 0,
                bake,
                state: State::AsItLies,
                dry: grams / 1_000.0 / figures.wet_per_dry[0],
            })
            .collect();
        let draws = round(facts, &draft).draws;
        draws.iter().map(|draw| draw.wet.get() / 1_000).collect()
    }

    #[test]
    fn the_parts_of_a_lot_that_is_dealt_out_add_up_to_it() {
        assert_eq!(
            rounded(&[2_000.4, 1_999.35, 2_000.25]),
            [2_001, 1_999, 2_000]
        );
        assert_eq!(rounded(&[3_281.45, 2_718.35]), [3_282, 2_718]);
    }

    #[test]
    fn each_part_of_a_lot_that_is_not_dealt_out_is_the_nearest() {
        assert_eq!(rounded(&[2_000.4, 1_999.4]), [2_000, 1_999]);
        assert_eq!(rounded(&[2_000.6, 1_999.4]), [2_001, 1_999]);
    }

    #[test]
    fn what_was_promised_stays_where_the_draft_is_a_step_or_two_from_it() {
        for draft in [[3_282.0, 2_718.0], [3_282.3, 2_717.7], [3_279.6, 2_720.4]] {
            let kept = rounded_with_promises(&draft, &[3_281, 2_719]);
            assert_eq!(kept, [3_281, 2_719], "{draft:?}");
        }
        // What differs by more is another plan.
        let other = rounded_with_promises(&[3_284.0, 2_716.0], &[3_281, 2_719]);
        assert_eq!(other, [3_284, 2_716]);
        // What no promise holds takes the rest.
        let rest = rounded_with_promises(&[3_280.4, 2_719.6], &[3_281]);
        assert_eq!(rest, [3_281, 2_719]);
    }

    /// No promise holds more than there is.
    #[test]
    fn promises_together_take_no_more_than_the_lot() {
        let kept = rounded_with_promises(&[3_280.4, 2_719.6], &[3_281, 2_720]);
        assert_eq!(kept.iter().sum::<i64>(), 6_000);
    }
}
