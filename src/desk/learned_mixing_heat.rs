//! By how much mixing warms the dough of a formula, learned from doughs of the book.

use crate::dough::formula::Formula;
use crate::dough::mixing_heat::{self, MixingRise};
use crate::ledger::View;

/// By how much mixing warms the dough of a formula of the book.
///
/// Doughs of versions that state the same rise count: another one was written for another mixer.
pub fn rise(view: View<'_>, formula: &Formula) -> anyhow::Result<MixingRise> {
    let measured = measured(view, formula, mixing_heat::NEWEST)?;
    Ok(mixing_heat::learned(formula.mixing_rise, &measured))
}

/// By how many kelvins mixing warmed the newest `most` of those doughs.
pub fn measured(view: View<'_>, formula: &Formula, most: usize) -> anyhow::Result<Vec<f64>> {
    let is_like = |text: &str| {
        Formula::from_text(text).is_ok_and(|other| other.mixing_rise == formula.mixing_rise)
    };
    view.measured_rises(&formula.name, most, is_like)
}
