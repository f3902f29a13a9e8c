//! Conditions of one bake that its whole choices keep to and fractions of them do not.

use super::*;

impl Model {
    /// Where a bake is made of one lot only, the chosen lot gives all of it: no fraction of several lots does.
    pub(super) fn add_single(
        &mut self,
        bake: usize,
        [lowest, wanted]: [f64; 2],
        under: usize,
        short: Option<usize>,
    ) {
        for pair in self.pairs.iter().filter(|pair| pair.bake == bake) {
            let amounts = pair.amounts.iter().map(|(_, column)| (*column, 1.0));
            let mut least: Vec<(usize, f64)> = amounts.clone().collect();
            least.push((pair.chosen, -lowest));
            least.extend(short.map(|short| (short, 1.0)));
            self.program.row(least, Sense::AtLeast, 0.0);
            let mut distance: Vec<(usize, f64)> = amounts.collect();
            distance.extend([(pair.chosen, -wanted), (under, 1.0)]);
            self.program.row(distance, Sense::AtLeast, 0.0);
        }
    }

    /// Conditions that every plan keeps to and that fractions of choices do not: they make proof quicker.
    ///
    /// A lot gives a bake no more than is wanted without going over: Σ x ≤ T·y + over. Added up over the lots
    /// of a bake, Σ min(D, T)·y + under ≥ T, which rounds to whole lots (mixed-integer rounding: Nemhauser &
    /// Wolsey 1988, Integer and Combinatorial Optimization, II.1.6, from memory). The same with the least
    /// amount and what is short.
    pub(super) fn add_cuts(
        &mut self,
        facts: Facts<'_>,
        bake: usize,
        [over, under]: [usize; 2],
        short: Option<usize>,
        happens: Option<usize>,
    ) {
        let [lowest, wanted, _] = facts.figures.bakes[bake];
        let mine: Vec<(usize, usize, Vec<usize>)> = self
            .pairs
            .iter()
            .filter(|pair| pair.bake == bake)
            .map(|pair| {
                (
                    pair.lot,
                    pair.chosen,
                    pair.amounts.iter().map(|(_, column)| *column).collect(),
                )
            })
            .collect();
        for (lot, chosen, amounts) in &mine {
            if facts.figures.dry[*lot] > wanted {
                let mut terms: Vec<(usize, f64)> =
                    amounts.iter().map(|column| (*column, 1.0)).collect();
                terms.extend([(over, -1.0), (*chosen, -wanted)]);
                self.program.row(terms, Sense::AtMost, 0.0);
            }
        }
        for (bound, slack) in [(Some(wanted), Some(under)), (short.map(|_| lowest), short)] {
            let (Some(bound), Some(slack)) = (bound, slack) else {
                continue;
            };
            let most = |lot: usize| facts.figures.dry[lot].min(bound);
            let greatest = mine.iter().map(|(lot, ..)| most(*lot)).fold(0.0, f64::max);
            let divided = bound / greatest;
            let part = divided - divided.floor();
            // A part near nothing or near the whole rounds to nothing new, and only costs digits.
            if !divided.is_finite() || !(0.05..0.95).contains(&part) && divided > 1.0 + 1e-9 {
                continue;
            }
            let (part, ceiling) = if part < 1e-9 {
                (1.0, divided.round())
            } else {
                (part, divided.ceil())
            };
            let mut terms: Vec<(usize, f64)> = mine
                .iter()
                .map(|(lot, chosen, _)| {
                    let share = most(*lot) / greatest;
                    let rounded = share.floor() + ((share - share.floor()) / part).min(1.0);
                    (*chosen, rounded)
                })
                .collect();
            terms.push((slack, 1.0 / (greatest * part)));
            let bound = match happens {
                Some(happens) => {
                    terms.push((happens, -ceiling));
                    0.0
                }
                None => ceiling,
            };
            self.program.row(terms, Sense::AtLeast, bound);
        }
    }
}
