//! Adds a formula, or a new version of one.

use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice};
use crate::dough::bake_code::BakeCode;
use crate::dough::formula::Formula;
use crate::ledger::{FormulaRecord, Which};

impl Desk {
    /// Adds the text of a formula. The same text again adds no version.
    pub fn add_formula(&mut self, text: &str) -> anyhow::Result<Answer<FormulaRecord>> {
        let formula = Formula::from_text(text)?;
        formula.refuse_untimed()?;
        let name = formula.name;
        let (version, _) = self.act(Compare::Nothing, |act| act.add_formula(&name, text))?;
        let open = self.view().bakes(Which::Open)?;
        let bakes: Vec<(BakeCode, u32)> = open
            .iter()
            .map(|bake| (bake.code, &bake.setting.formula))
            .filter(|(_, kept)| kept.name == name && kept.version < version)
            .map(|(bake, kept)| (bake, kept.version))
            .collect();
        let told = (!bakes.is_empty()).then_some(Notice::KeepOldVersion { bakes, version });
        Ok(self.formula(&name, Some(version))?.with_notices(told))
    }
}
