//! Formulas of the book.

use crate::desk::{Answer, Desk, mixing};
use crate::dough::formula::Formula;
use crate::dough::mixing_heat::MixingRise;
use crate::ledger::FormulaRecord;
use crate::report::Caution;

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
        let allergens = Formula::from_text(&record.text)?.allergens();
        Ok(Answer::new(record, Vec::new()).with_cautions(Caution::of_allergens(allergens)))
    }

    /// A formula as a dough, and by how much mixing warms it.
    pub fn dough_of(&self, name: &str) -> anyhow::Result<(Formula, MixingRise)> {
        let view = self.view();
        let formula = Formula::from_text(&view.formula(name, None)?.text)?;
        let rise = mixing::rise(view, &formula)?;
        Ok((formula, rise))
    }
}
