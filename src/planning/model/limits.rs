//! What limits a plan beside its lots and bakes: freezers, the dryer, what was promised.

use super::*;

impl Model {
    /// A frozen lot is one block: of two bakes of which the later would find it past it goes into one, and what is left of
    /// it once it is out spoils.
    pub(super) fn add_blocks(&mut self, facts: Facts<'_>) {
        for (lot, window) in facts.windows.lots.iter().enumerate() {
            let dry = facts.figures.dry[lot];
            let pairs = self.pairs.iter().filter(|pair| pair.lot == lot);
            let chosen: Vec<(usize, usize)> = pairs.map(|pair| (pair.bake, pair.chosen)).collect();
            let spoils: Vec<usize> = chosen
                .iter()
                .filter(|(bake, _)| {
                    let thawed = window.thawed[*bake].as_ref();
                    thawed.is_some_and(|thawed| thawed.spoils)
                })
                .map(|(_, column)| *column)
                .collect();
            let rest = (!spoils.is_empty()).then(|| self.program.amount(0.0, dry));
            for column in rest.into_iter().flat_map(|_| spoils.iter().copied()) {
                let terms = rest.into_iter().map(|rest| (rest, 1.0));
                let terms = terms.chain([(self.spoiled[lot], -1.0), (column, -dry)]);
                self.program.row(terms.collect(), Sense::AtLeast, -dry);
            }
            self.thawed_rest.push(rest);
            for (at, (one, chosen_one)) in chosen.iter().enumerate() {
                for (other, chosen_other) in &chosen[at + 1..] {
                    if window.serves_one_only(*one, *other) {
                        let both = vec![(*chosen_one, 1.0), (*chosen_other, 1.0)];
                        self.program.row(both, Sense::AtMost, 1.0);
                    }
                }
            }
        }
    }

    /// Wet grain in the freezers at the end of each day.
    pub(super) fn add_freezer(&mut self, facts: Facts<'_>) {
        let Facts {
            situation,
            windows,
            figures,
        } = facts;
        let Some(freezer) = figures.freezer.filter(|_| windows.may_freeze()) else {
            return;
        };
        let mut before = None;
        for day in 0..figures.days.len() {
            let mut terms = Vec::new();
            let mut room = freezer;
            for (lot, window) in windows.lots.iter().enumerate() {
                let wet = figures.wet_per_dry[lot];
                room -= figures.frozen_now[lot];
                if window.frozen {
                    let out = self.out_by(facts, lot, day);
                    terms.extend(out.map(|column| (column, -figures.frozen_now[lot])));
                    continue;
                }
                let is_in = figures.freeze_day[lot].is_some_and(|from| from <= day);
                for (bake, state, column) in self.of_lot(lot) {
                    let is_out = figures.day_out(situation, windows, lot, bake) <= day;
                    if state == State::Thawed && is_in && !is_out {
                        terms.push((column, wet));
                    }
                }
                terms.extend(
                    self.frozen_unused[lot]
                        .filter(|_| is_in)
                        .map(|column| (column, wet)),
                );
            }
            if before.as_ref() != Some(&terms) {
                self.program.row(terms.clone(), Sense::AtMost, room);
                before = Some(terms);
            }
        }
    }

    /// Whether a block that takes room is out of the freezer by the end of a day: it comes out whole for the first bake that
    /// has it. Days on which no other bake could have had it out share a column.
    fn out_by(&mut self, facts: Facts<'_>, lot: usize, day: usize) -> Option<usize> {
        let day_out = |bake: usize| {
            facts
                .figures
                .day_out(facts.situation, facts.windows, lot, bake)
        };
        let mine = self.pairs.iter().filter(|pair| pair.lot == lot);
        let chosen: Vec<usize> = mine
            .filter(|pair| day_out(pair.bake) <= day)
            .map(|pair| pair.chosen)
            .collect();
        if chosen.is_empty() || facts.figures.frozen_now[lot] <= 0.0 {
            return None;
        }
        let same = self.blocks_out.iter().rfind(|block| block.lot == lot);
        if let Some(same) = same.filter(|block| block.bakes == chosen.len()) {
            return Some(same.column);
        }
        let column = self.program.amount(0.0, 1.0);
        let mut terms: Vec<(usize, f64)> = chosen.iter().map(|chosen| (*chosen, -1.0)).collect();
        terms.push((column, 1.0));
        self.program.row(terms, Sense::AtMost, 0.0);
        self.blocks_out.push(BlockOut {
            lot,
            day,
            bakes: chosen.len(),
            column,
        });
        Some(column)
    }

    /// Water that the dryer takes out on each day.
    pub(super) fn add_dryer(&mut self, facts: Facts<'_>) {
        let Facts {
            windows, figures, ..
        } = facts;
        for lot in 0..windows.lots.len() {
            let days: Vec<(usize, usize)> = match self.dried_unused[lot] {
                Some(_) => figures.dry_days[lot]
                    .iter()
                    .map(|day| (*day, self.program.amount(0.0, figures.dry[lot])))
                    .collect(),
                None => Vec::new(),
            };
            let mut terms: Vec<(usize, f64)> = self
                .of_lot(lot)
                .filter(|(_, state, _)| *state == State::Dried)
                .map(|(_, _, column)| (column, 1.0))
                .collect();
            terms.extend(self.dried_unused[lot].map(|column| (column, 1.0)));
            terms.extend(days.iter().map(|(_, column)| (*column, -1.0)));
            self.program.row(terms, Sense::Exactly, 0.0);
            self.drying.push(days);
        }
        for day in 0..figures.days.len() {
            let terms = self
                .drying
                .iter()
                .enumerate()
                .flat_map(|(lot, days)| days.iter().map(move |(on, column)| (lot, *on, *column)))
                .filter(|(_, on, _)| *on == day)
                .map(|(lot, _, column)| (column, figures.water_per_dry[lot]))
                .collect();
            self.program.row(terms, Sense::AtMost, figures.dryer);
        }
    }

    /// What was promised and is not given.
    pub(super) fn add_promises(&mut self, facts: Facts<'_>) {
        for promised in &facts.situation.promised {
            if !may_go(facts, promised.lot, promised.bake) {
                continue;
            }
            let dry = kilograms(promised.wet) / facts.figures.wet_per_dry[promised.lot];
            let mut terms: Vec<(usize, f64)> = self
                .pairs
                .iter()
                .filter(|pair| pair.lot == promised.lot && pair.bake == promised.bake)
                .flat_map(|pair| &pair.amounts)
                .map(|(_, column)| (*column, 1.0))
                .collect();
            let missing = self.program.amount(0.0, dry);
            terms.push((missing, 1.0));
            self.program.row(terms, Sense::AtLeast, dry);
            self.missing
                .push((promised.lot, promised.bake, missing, dry));
        }
    }
}
