//! That more dry grain is said to be lost than went in, in words.

use crate::grain::LotCode;
use crate::quantity::Milligrams;
use crate::render::numbers::Units;
use uom::si::f64::Mass;

/// Either figure may be wrong: the loss that was typed, or the moisture that was expected.
pub(super) fn words(lot: LotCode, lost: Milligrams, dry: Mass, units: Units) -> String {
    format!(
        "{} of dry grain is stated as lost, and only about {} went in. Check the loss, or test the grain: `draff moisture {lot} --weighing PAN,WET,DRY`",
        units.weighed(lost),
        units.to_weigh(dry)
    )
}
