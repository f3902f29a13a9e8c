//! Betters a plan a few bakes at a time.

use super::*;
use crate::planning::windows::{LotWindow, State};

/// Choices freed at a time at first.
const FIRST_NEIGHBOURHOOD: usize = 60;
/// Choices freed at a time at most.
const WIDEST_NEIGHBOURHOOD: usize = 240;

impl Search<'_> {
    /// Frees the choices of a few bakes at a time.
    pub(super) fn improve(&mut self, stage: &mut Stage, most: usize) {
        let bakes = by_time(self.facts);
        let choices: Vec<usize> = bakes
            .iter()
            .map(|bake| {
                let lots = self.facts.windows.lots.iter();
                lots.filter(|lot| lot_fits(lot, *bake)).count()
            })
            .collect();
        let widest = WIDEST_NEIGHBOURHOOD
            .min(choices.iter().sum::<usize>() / 2)
            .max(1);
        let mut width = FIRST_NEIGHBOURHOOD.min(widest);
        let (mut at, mut without_gain) = (0, 0);
        for turn in 0..most {
            let is_over = self.found.stopped || self.work_left() == 0 || stage.is_done();
            if bakes.is_empty() || is_over {
                return;
            }
            let free = if turn % 3 == 2 {
                around_a_shortage(self.facts, &self.found.draft, turn, width)
            } else {
                let mut free = Vec::new();
                let mut open = 0;
                while open < width && free.len() < bakes.len() {
                    let next = (at + free.len()) % bakes.len();
                    free.push(bakes[next]);
                    open += choices[next];
                }
                at = (at + free.len().div_ceil(2)) % bakes.len();
                free
            };
            let nodes =
                self.patience.neighbourhood_nodes * width.div_ceil(FIRST_NEIGHBOURHOOD) as u64;
            let used = used(&self.found.draft);
            let gain = self.decide_anew(stage, nodes, &|lot, bake| {
                if free.contains(&bake) {
                    Choice::Open
                } else if used.contains(&(lot, bake)) {
                    Choice::In
                } else {
                    Choice::Out
                }
            });
            without_gain = if gain { 0 } else { without_gain + 1 };
            if without_gain > 2 * bakes.len().div_ceil(free.len().max(1)) + 3 {
                if width >= widest {
                    return;
                }
                width *= 2;
                without_gain = 0;
            }
        }
    }
}

fn by_time(facts: Facts<'_>) -> Vec<usize> {
    let mut bakes: Vec<usize> = (0..facts.situation.bakes.len()).collect();
    bakes.sort_by_key(|bake| (facts.situation.bakes[*bake].mix, *bake));
    bakes
}

fn lot_fits(lot: &LotWindow, bake: usize) -> bool {
    State::ALL
        .iter()
        .any(|state| lot.bakes[bake].allows(*state))
}

/// A bake that lacks grain, or is far from what it wants, and bakes that use lots which it could use.
fn around_a_shortage(facts: Facts<'_>, draft: &Draft, turn: usize, width: usize) -> Vec<usize> {
    let lacks = |bake: usize| facts.figures.bakes[bake][1] - draft.got(bake);
    let mut lacking: Vec<usize> = by_time(facts);
    lacking.sort_by(|one, other| lacks(*other).total_cmp(&lacks(*one)));
    let Some(chosen) = lacking.get(turn / 3 % lacking.len().max(1)).copied() else {
        return Vec::new();
    };
    let mut free = vec![chosen];
    let mut open = 0;
    for draw in &draft.draws {
        if open >= width {
            break;
        }
        if lot_fits(&facts.windows.lots[draw.lot], chosen) && !free.contains(&draw.bake) {
            free.push(draw.bake);
            open += facts
                .windows
                .lots
                .iter()
                .filter(|lot| lot_fits(lot, draw.bake))
                .count();
        }
    }
    free
}
