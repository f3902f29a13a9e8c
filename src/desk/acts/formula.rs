//! Adds a formula, or a new version of one.

use crate::desk::guard::Touches;
use crate::desk::{Answer, Desk};
use crate::dough::formula::Formula;
use crate::ledger::FormulaRecord;

impl Desk {
    /// Adds the text of a formula. The same text again adds no version.
    pub fn add_formula(&mut self, text: &str) -> anyhow::Result<Answer<FormulaRecord>> {
        let name = Formula::from_text(text)?.name;
        let (version, _) = self.act(Touches::Nothing, |act| act.add_formula(&name, text))?;
        self.formula(&name, Some(version))
    }
}
