//! By how much mixing warms the dough of a formula, learned from doughs of the book.

use crate::dough::formula::Formula;
use crate::dough::mixing_heat::{self, MixingRise};
use crate::ledger::View;

/// By how much mixing warms the dough of a formula of the book.
pub fn rise(view: View<'_>, formula: &Formula) -> anyhow::Result<MixingRise> {
    let (measured, _) = measured(view, formula, mixing_heat::NEWEST)?;
    Ok(mixing_heat::learned(formula.mixing_rise, &measured))
}

/// By how many kelvins mixing warmed the newest `most` doughs of a formula, and how many doughs of another mixer were left out.
///
/// Doughs of versions that name the same mixer and state the same rise count: a rise is stated anew where mixing changes.
pub fn measured(
    view: View<'_>,
    formula: &Formula,
    most: usize,
) -> anyhow::Result<(Vec<f64>, usize)> {
    let mut of_other_mixers = 0;
    let rises = view.measured_rises(&formula.name, most, |text| {
        let Ok(other) = Formula::from_text(text) else {
            return false;
        };
        let is_mixed_like = formula.is_mixed_like(&other);
        of_other_mixers += usize::from(!is_mixed_like);
        is_mixed_like && other.mixing_rise == formula.mixing_rise
    })?;
    Ok((rises, of_other_mixers))
}
