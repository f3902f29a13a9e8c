//! What the aims have come to that are done with: later aims keep to it.

use super::*;
use crate::planning::aims::Aim;

/// What is decided already.
#[derive(Debug, Clone, Default)]
pub struct Held {
    /// Aims and what each may come to at most.
    pub limits: Vec<(Aim, f64)>,
    /// For each bake whether it is baked, where that is decided; empty where nothing is.
    pub baked: Vec<Option<bool>>,
}

/// What solving is good to.
const ROUNDING: f64 = 1e-7;
/// What rounding has gained for one aim is given back by a wider hold on it, or the next aims would pay for that.
const WIDER: f64 = 2.5;

impl Held {
    pub(super) fn is_in(&self, bake: usize) -> bool {
        self.baked.get(bake) == Some(&Some(true))
    }

    pub(super) fn is_out(&self, bake: usize) -> bool {
        self.baked.get(bake) == Some(&Some(false))
    }
}

impl Model {
    /// A column for the largest shortfall of firm bakes, or the largest distance of any, where it has a price.
    pub(super) fn add_worst(&mut self, facts: Facts<'_>, weights: Weights) {
        for (at, aim) in [Aim::FirmWorst, Aim::Worst].into_iter().enumerate() {
            if weights.of(aim) == 0.0 {
                continue;
            }
            let parts = self.parts(facts, aim);
            let most = parts.iter().map(|part| part.2).fold(0.0, f64::max);
            let worst = self.program.amount(0.0, most);
            for (column, wanted, _) in parts {
                self.program
                    .row(vec![(column, 1.0), (worst, -wanted)], Sense::AtMost, 0.0);
            }
            self.worst[at] = Some(worst);
        }
    }

    /// Columns of which an aim takes the largest, as a part of what is wanted: column, wanted, the most it can be.
    fn parts(&self, facts: Facts<'_>, aim: Aim) -> Vec<(usize, f64, f64)> {
        let mut parts = Vec::new();
        for (bake, columns) in self.bakes.iter().enumerate() {
            let wanted = facts.figures.bakes[bake][1];
            let Some([over, under]) = columns.over_under.filter(|_| wanted > 0.0) else {
                continue;
            };
            let most = |column: usize| self.program.columns[column].upper / wanted;
            let is_firm = facts.situation.bakes[bake].firm;
            if aim == Aim::Worst || is_firm {
                parts.push((under, wanted, most(under)));
            }
            if aim == Aim::Worst {
                parts.push((over, wanted, most(over)));
            }
        }
        parts
    }

    /// What an aim comes to, as a sum of columns.
    pub fn terms(&self, facts: Facts<'_>, aim: Aim) -> Vec<(usize, f64)> {
        let each = |columns: Vec<usize>| columns.into_iter().map(|column| (column, 1.0)).collect();
        let of_bakes = |column: fn(&BakeColumns) -> Option<usize>| {
            each(self.bakes.iter().filter_map(column).collect())
        };
        match aim {
            Aim::Short => of_bakes(|bake| bake.short),
            Aim::Risk => of_bakes(|bake| bake.risk),
            Aim::Promises => each(self.missing.iter().map(|missing| missing.2).collect()),
            Aim::FirmWorst => self.worst[0]
                .map(|worst| (worst, 1.0))
                .into_iter()
                .collect(),
            Aim::Worst => self.worst[1]
                .map(|worst| (worst, 1.0))
                .into_iter()
                .collect(),
            Aim::FirmUnder | Aim::Uneven => {
                let whole = if aim == Aim::Uneven {
                    Aim::Worst
                } else {
                    Aim::FirmWorst
                };
                let parts = self.parts(facts, whole).into_iter();
                parts
                    .map(|(column, wanted, _)| (column, 1.0 / wanted))
                    .collect()
            }
            Aim::Unshown => {
                let counts = |pair: &&Pair| is_unshown(facts, pair.lot, pair.bake);
                let pairs = self.pairs.iter().filter(counts);
                each(
                    pairs
                        .flat_map(|pair| pair.amounts.iter().map(|amount| amount.1))
                        .collect(),
                )
            }
            Aim::Optional => {
                let worth = optional_worth(facts);
                let bakes = self.bakes.iter().zip(worth);
                bakes
                    .filter_map(|(bake, worth)| Some((bake.happens?, -worth)))
                    .collect()
            }
            Aim::Spoiled => {
                let lots = self.spoiled.iter().zip(&facts.windows.lots);
                let spoils = lots.filter(|(_, window)| window.spoils);
                let spoils = spoils.map(|(column, _)| *column);
                each(
                    spoils
                        .chain(self.thawed_rest.iter().copied().flatten())
                        .collect(),
                )
            }
            Aim::Unused => {
                let unused = self.frozen_unused.iter().chain(&self.dried_unused);
                let keeps = (0..self.spoiled.len()).filter(|lot| keeps_wet(facts, *lot));
                let left = keeps.map(|lot| self.spoiled[lot]);
                each(unused.copied().flatten().chain(left).collect())
            }
            Aim::Rest => self.rest.clone(),
        }
    }

    /// Sets the cost of every column.
    pub(super) fn price(&mut self, facts: Facts<'_>, weights: Weights) {
        for aim in Aim::ALL.into_iter().filter(|aim| weights.of(*aim) != 0.0) {
            for (column, part) in self.terms(facts, aim) {
                self.program.columns[column].cost += weights.of(aim) * part;
            }
        }
        for column in self
            .bakes
            .iter()
            .filter_map(|bake| bake.over_under)
            .flatten()
        {
            self.program.columns[column].cost += weights.distance;
        }
    }

    /// Holds aims at what they came to.
    pub(super) fn hold(&mut self, facts: Facts<'_>, held: &Held) {
        let mut slack = ROUNDING / WIDER;
        for (aim, limit) in &held.limits {
            slack *= WIDER;
            let terms = match aim {
                Aim::FirmWorst | Aim::Worst => {
                    for (column, wanted, _) in self.parts(facts, *aim) {
                        self.at_most(column, (limit + slack) * wanted);
                    }
                    continue;
                }
                // Which bakes happen is decided bake by bake.
                Aim::Optional => continue,
                _ => self.terms(facts, *aim),
            };
            if *limit < slack {
                for (column, part) in terms {
                    self.at_most(column, (limit + slack) / part.abs());
                }
            } else {
                self.program.row(terms, Sense::AtMost, limit + slack);
            }
        }
    }

    fn at_most(&mut self, column: usize, most: f64) {
        let column = &mut self.program.columns[column];
        column.upper = column.upper.min(most);
    }
}

/// Whether what no bake takes of a lot stays as it lies, wet: in the freezer, or good beyond the plan.
pub fn keeps_wet(facts: Facts<'_>, lot: usize) -> bool {
    let window = &facts.windows.lots[lot];
    window.usable && !window.spoils && !facts.situation.lots[lot].form.is_dry()
}

/// Of how many optional bakes, by time, it matters which of them are baked where not all can be.
const RANKED: i32 = 20;

/// What baking each bake is worth: a whole for each, and of as many the earlier ones more.
pub fn optional_worth(facts: Facts<'_>) -> Vec<f64> {
    let bakes = &facts.situation.bakes;
    let mut by_time: Vec<usize> = (0..bakes.len()).filter(|bake| !bakes[*bake].firm).collect();
    by_time.sort_by_key(|bake| (bakes[*bake].mix, *bake));
    let mut worth = vec![0.0; bakes.len()];
    for (rank, bake) in by_time.into_iter().enumerate() {
        let rank = i32::try_from(rank).unwrap_or(RANKED).min(RANKED);
        worth[bake] = 1.0 + 0.5_f64.powi(rank + 2);
    }
    worth
}
