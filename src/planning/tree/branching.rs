//! On which choice to branch: the one of which both sides raise the cost most.
//!
//! What a side does to the cost is foreseen from the tableau, tried for choices of which little is known, and
//! remembered (Achterberg, Koch & Martin 2005, Branching rules revisited, Operations Research Letters 33; from
//! memory).

use super::{Step, Tree, WHOLE, decided};
use crate::planning::tableau::End;

/// A choice decided so often both ways is known.
const KNOWN: u32 = 2;
/// Choices tried at a node.
const TRIED: usize = 8;
/// Steps for one trial.
const STEPS: usize = 30;
/// A rise below this counts as this.
const LEAST_RISE: f64 = 1e-6;

/// What came of looking for a choice.
pub(super) enum Chosen {
    /// These can only be so.
    Decided(Vec<(usize, bool)>),
    /// Branch on this one, which has this value, and go this way first.
    Branch { at: usize, value: f64, up: bool },
}

/// What deciding each choice has added to the cost so far, for a whole step down and up.
pub(super) struct History {
    sums: Vec<[f64; 2]>,
    counts: Vec<[u32; 2]>,
}

impl History {
    pub(super) fn of(choices: usize) -> Self {
        Self {
            sums: vec![[0.0; 2]; choices],
            counts: vec![[0; 2]; choices],
        }
    }

    /// Remembers what a step led to.
    pub(super) fn record(&mut self, step: &Step, after: f64) {
        let side = usize::from(step.up);
        let rise = (after - step.before).max(0.0);
        self.sums[step.choice][side] += rise / step.part.max(WHOLE);
        self.counts[step.choice][side] += 1;
    }

    /// The mean rise for a whole step; nothing before the first.
    fn mean(&self, at: usize, side: usize) -> f64 {
        self.sums[at][side] / f64::from(self.counts[at][side].max(1))
    }

    fn is_known(&self, at: usize) -> bool {
        self.counts[at].iter().all(|count| *count >= KNOWN)
    }
}

/// A choice that may be branched on: its value, and the rise expected down and up.
struct Candidate {
    at: usize,
    value: f64,
    rises: [f64; 2],
}

impl Candidate {
    fn score(&self) -> f64 {
        self.rises.iter().map(|rise| rise.max(LEAST_RISE)).product()
    }

    fn part(&self, up: bool) -> f64 {
        if up { 1.0 - self.value } else { self.value }
    }
}

impl Tree {
    /// Looks for a choice among those open, where so much is left to save. Nothing where none is open.
    pub(super) fn choose(&mut self, open: &[usize], left: f64) -> Option<Chosen> {
        let mut only = Vec::new();
        let mut candidates = Vec::new();
        for at in open.iter().copied() {
            let choice = self.choices[at];
            let rises = [false, true].map(|up| self.tableau.rise(choice, up));
            // Where neither side can be, one is taken, and the end that follows shows it.
            if let Some(side) = rises.iter().position(|rise| *rise >= left) {
                only.push((at, side == 0));
            }
            let value = self.tableau.values()[choice];
            let parts = [value, 1.0 - value];
            let past = [0, 1].map(|side| self.history.mean(at, side) * parts[side]);
            candidates.push(Candidate {
                at,
                value,
                rises: [rises[0].max(past[0]), rises[1].max(past[1])],
            });
        }
        if !only.is_empty() {
            return Some(Chosen::Decided(only));
        }
        candidates.sort_by(|one, other| other.score().total_cmp(&one.score()));
        if let Some(only) = self.try_unknown(&mut candidates, left) {
            return Some(Chosen::Decided(vec![only]));
        }
        let by_score = |one: &&Candidate, other: &&Candidate| one.score().total_cmp(&other.score());
        let best = candidates.iter().max_by(by_score)?;
        Some(Chosen::Branch {
            at: best.at,
            value: best.value,
            up: best.rises[1] <= best.rises[0],
        })
    }

    /// Tries both sides of the first choices of which little is known, a few steps each. A choice that can go but
    /// one way ends the trials.
    fn try_unknown(&mut self, candidates: &mut [Candidate], left: f64) -> Option<(usize, bool)> {
        let before = self.tableau.bound();
        let unknown: Vec<&mut Candidate> = candidates
            .iter_mut()
            .filter(|candidate| !self.history.is_known(candidate.at))
            .take(TRIED)
            .collect();
        if !unknown.is_empty() {
            self.parent.go_to(&self.tableau);
        }
        for candidate in unknown {
            for up in [false, true] {
                let choice = self.choices[candidate.at];
                self.tableau.set_bounds([(choice, decided(up))]);
                let end = self.tableau.go(f64::INFINITY, STEPS);
                let after = if end == End::Impossible && self.tableau.is_impossible() {
                    f64::INFINITY
                } else {
                    self.tableau.bound()
                };
                self.tableau.go_to(&self.parent);
                if after - before >= left {
                    return Some((candidate.at, !up));
                }
                candidate.rises[usize::from(up)] = (after - before).max(0.0);
                if end == End::Best {
                    let step = Step {
                        choice: candidate.at,
                        up,
                        part: candidate.part(up),
                        before,
                    };
                    self.history.record(&step, after);
                }
            }
        }
        None
    }
}
