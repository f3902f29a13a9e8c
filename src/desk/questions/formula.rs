//! Formulas of the book.

use crate::desk::{Answer, Desk, learned_mixing_heat};
use crate::dough::formula::Formula;
use crate::dough::mixing_heat::MixingRise;
use crate::dough::proposals::{self, CountedBake, Figure, Proposal};
use crate::ledger::{BakeEnd, BakeRecord, FormulaRecord};
use crate::report::Caution;
use crate::report::proposals::ProposalsAnswer;

impl Desk {
    /// The newest version of every formula, by name.
    pub fn formulas(&self) -> anyhow::Result<Answer<Vec<FormulaRecord>>> {
        Ok(Answer::new(self.view().formulas()?, Vec::new()))
    }

    /// One version of a formula, the newest if none is named.
    pub fn formula(
        &self,
        name: &str,
        version: Option<u32>,
    ) -> anyhow::Result<Answer<FormulaRecord>> {
        let record = self.view().formula(name, version)?;
        let allergens = record.formula()?.allergens();
        Ok(Answer::new(record, Vec::new()).with_cautions(Caution::of_allergens(allergens)))
    }

    /// What bakes say of the losses and the mixing heat that the newest version of a formula states.
    pub fn proposals(&self, name: &str) -> anyhow::Result<Answer<ProposalsAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let record = view.formula(name, None)?;
        let formula = record.formula()?;
        let all = view.counted_bakes(&record.name, proposals::NEWEST, |_| true)?;
        let mut of_other_mixers = 0;
        let of_mixer = view.counted_bakes(&record.name, proposals::NEWEST, |text| {
            let is_mixed_like =
                Formula::from_text(text).is_ok_and(|other| formula.is_mixed_like(&other));
            of_other_mixers += usize::from(!is_mixed_like);
            is_mixed_like
        })?;
        let rises = learned_mixing_heat::measured(view, &formula, proposals::NEWEST)?;
        let found = Figure::ALL.map(|figure| {
            let (values, left_out) = match figure {
                // The oven takes as much, whatever mixed the dough.
                Figure::BakeLoss => (each(&all, CountedBake::bake_loss), 0),
                Figure::HandlingLoss => {
                    (each(&of_mixer, CountedBake::handling_loss), of_other_mixers)
                }
                Figure::MixingRise => rises.clone(),
            };
            Proposal::of(figure, &formula, &values, left_out)
        });
        let answer = ProposalsAnswer {
            text: proposals::accepted(&record.text, &found)?,
            proposals: found.to_vec(),
            mixer: formula.mixer,
            formula: record,
        };
        Ok(Answer::new(answer, Vec::new()))
    }

    /// A formula as a dough, and by how much mixing warms it.
    pub fn dough_of(&self, name: &str) -> anyhow::Result<(Formula, MixingRise)> {
        let view = self.view();
        let formula = view.formula(name, None)?.formula()?;
        let rise = learned_mixing_heat::rise(view, &formula)?;
        Ok((formula, rise))
    }
}

/// A figure of each bake that says it.
fn each(bakes: &[BakeRecord], figure: fn(&CountedBake) -> Option<f64>) -> Vec<f64> {
    let counted = bakes.iter().filter_map(counted);
    counted.filter_map(|bake| figure(&bake)).collect()
}

/// What one bake says; nothing where its formula cannot be read.
fn counted(bake: &BakeRecord) -> Option<CountedBake> {
    let Some(BakeEnd::Done(result)) = &bake.end else {
        return None;
    };
    let setting = &bake.setting;
    let came_out = result.measured.pieces?;
    let raw = setting.piece.grams() * f64::from(came_out);
    Some(CountedBake {
        planned: setting.pieces,
        came_out,
        handling_loss: Formula::from_text(&setting.formula.text)
            .ok()?
            .handling_loss,
        left: result
            .measured
            .baked
            .map(|baked| baked.grams() / raw)
            .filter(|left| left.is_finite()),
    })
}
