//! Grain that was taken for a bake before the bake was written down.

use super::numbers_of;
use crate::desk::TakenBefore;
use crate::quantity::Zone;
use crate::render::numbers::Units;
use crate::render::times;

/// What was taken, and how it is not taken twice.
pub fn words(taken: &TakenBefore, units: Units, zone: &Zone) -> String {
    let grain: Vec<String> = taken
        .draws
        .iter()
        .map(|(_, lot, wet, at)| {
            format!(
                "{} of {lot} on {}",
                units.weighed(*wet),
                times::moment(*at, *at, zone)
            )
        })
        .collect();
    let entries: Vec<i64> = taken.draws.iter().map(|(entry, ..)| *entry).collect();
    format!(
        "{} went by `draff use` into bread of this name. If it was {bake}, it is not to be taken off twice: `draff strike {} --reason \"it was {bake}\"`",
        grain.join(", "),
        numbers_of(&entries),
        bake = taken.bake
    )
}
