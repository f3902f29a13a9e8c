//! What the values of the columns mean, and which values a draft has.

use super::*;
use std::collections::HashSet;

impl Model {
    /// What the values of the columns mean.
    pub fn draft(&self, facts: Facts<'_>, values: &[f64]) -> Draft {
        const NOTHING: f64 = 1e-7;
        let lots = facts.windows.lots.len();
        let mut draft = Draft::empty(lots, facts.situation.bakes.iter().map(|bake| bake.firm));
        for pair in &self.pairs {
            for (state, column) in &pair.amounts {
                if values[*column] > NOTHING && values[pair.chosen] > 0.5 {
                    draft.draws.push(DraftDraw {
                        lot: pair.lot,
                        bake: pair.bake,
                        state: *state,
                        dry: values[*column],
                    });
                }
            }
        }
        let value = |column: Option<usize>| column.map_or(0.0, |column| values[column].max(0.0));
        for lot in 0..lots {
            draft.frozen_unused[lot] = value(self.frozen_unused[lot]);
            draft.dried_unused[lot] = value(self.dried_unused[lot]);
        }
        for (bake, columns) in self.bakes.iter().enumerate() {
            draft.happens[bake] = columns.over_under.is_some()
                && columns.happens.is_none_or(|column| values[column] > 0.5);
        }
        draft
    }

    /// Lot, bake and how much of the lot the values give to it.
    pub fn amounts_of(&self, values: &[f64]) -> Vec<(usize, usize, f64)> {
        self.pairs
            .iter()
            .map(|pair| {
                let amounts = pair.amounts.iter().map(|(_, column)| values[*column]);
                (pair.lot, pair.bake, amounts.sum())
            })
            .collect()
    }

    /// Lot and bake of every choice that the values take, be it in part.
    pub fn leaning(&self, values: &[f64]) -> HashSet<(usize, usize)> {
        const SOME: f64 = 1e-4;
        self.pairs
            .iter()
            .filter(|pair| values[pair.chosen] > SOME)
            .map(|pair| (pair.lot, pair.bake))
            .collect()
    }

    /// Values of the columns that mean this draft.
    pub fn values(&self, facts: Facts<'_>, draft: &Draft) -> Vec<f64> {
        let figures = facts.figures;
        let mut values = vec![0.0; self.program.columns.len()];
        for pair in &self.pairs {
            for draw in draft
                .draws
                .iter()
                .filter(|draw| draw.lot == pair.lot && draw.bake == pair.bake)
            {
                let column = pair.amounts.iter().find(|(state, _)| *state == draw.state);
                if let Some((_, column)) = column {
                    values[*column] += draw.dry;
                    values[pair.chosen] = 1.0;
                }
            }
        }
        for (bake, columns) in self.bakes.iter().enumerate() {
            let Some([over, under]) = columns.over_under else {
                continue;
            };
            let [lowest, wanted, _] = figures.bakes[bake];
            let got = draft.got(bake);
            if let Some(happens) = columns.happens {
                values[happens] = f64::from(u8::from(draft.happens[bake]));
            }
            if let Some(short) = columns.short {
                values[short] = (lowest - got).max(0.0);
            }
            if let Some(risk) = columns.risk {
                values[risk] = (lowest - draft.got_at_the_wet_end(figures, bake)).max(0.0);
            }
            let wanted = if draft.happens[bake] { wanted } else { 0.0 };
            values[over] = (got - wanted).max(0.0);
            values[under] = (wanted - got).max(0.0);
        }
        for (worst, aim) in self.worst.iter().zip([Aim::FirmWorst, Aim::Worst]) {
            if let Some(worst) = worst {
                values[*worst] = draft.value(facts, aim);
            }
        }
        for block in &self.blocks_out {
            let is_out = draft.is_out_by(facts, block.lot, block.day);
            values[block.column] = f64::from(u8::from(is_out));
        }
        let mut dryer = vec![figures.dryer; figures.days.len()];
        for lot in 0..self.spoiled.len() {
            if let Some(column) = self.frozen_unused[lot] {
                values[column] = draft.frozen_unused[lot];
            }
            if let Some(column) = self.dried_unused[lot] {
                values[column] = draft.dried_unused[lot];
            }
            let left = (figures.dry[lot] - draft.taken(lot)).max(0.0);
            values[self.spoiled[lot]] = left;
            if let Some(column) = self.thawed_rest[lot]
                && draft.thawed_rest_spoils(facts, lot)
            {
                values[column] = left;
            }
            let dried: f64 = draft
                .draws
                .iter()
                .filter(|draw| draw.lot == lot && draw.state == State::Dried)
                .map(|draw| draw.dry)
                .sum();
            let mut left = dried + draft.dried_unused[lot];
            for (day, column) in &self.drying[lot] {
                let water = figures.water_per_dry[lot];
                let part = if water > 0.0 {
                    left.min(dryer[*day] / water)
                } else {
                    left
                };
                values[*column] = part;
                dryer[*day] -= part * water;
                left -= part;
            }
        }
        for (lot, bake, column, promised) in &self.missing {
            values[*column] = (promised - draft.given(*lot, *bake)).max(0.0);
        }
        values
    }
}
