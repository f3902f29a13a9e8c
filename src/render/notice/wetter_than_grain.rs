//! That by a treatment grain would be wetter than any is, in words.

use crate::grain::Treatment;
use crate::quantity::Milligrams;
use crate::render::numbers::{Units, percent};

/// The figure that is mostly mistyped, what it comes to and how it is put right.
pub(super) fn words(
    treatment: &Treatment,
    (wet, most): (f64, f64),
    entry: i64,
    units: Units,
) -> String {
    let grain = units.weighed(treatment.wet_in);
    let (done, option) = match treatment.water {
        Milligrams::ZERO => (
            format!(
                "{} of dry grain lost from {grain}",
                units.weighed(treatment.dry_loss)
            ),
            "--dry-loss",
        ),
        water => (
            format!(
                "{} of water added to {grain} of grain",
                units.weighed(water)
            ),
            "--water-added",
        ),
    };
    format!(
        "{done}: that comes to {} water, and no grain is taken to hold more than {}. If a number or its unit is wrong, `draff correct {entry} {option} MASS --reason TEXT`",
        percent(wet),
        percent(most)
    )
}
