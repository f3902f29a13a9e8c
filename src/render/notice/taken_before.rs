//! Grain that was taken for a bake before the bake was written down, or by the bake before.

use super::numbers_of;
use crate::desk::TakenBefore;
use crate::quantity::Zone;
use crate::render::numbers::Units;
use crate::render::times;

/// What was taken, and how it is not taken twice.
pub fn words(taken: &TakenBefore, units: Units, zone: &Zone) -> String {
    let entries: Vec<i64> = taken.draws.iter().map(|draw| draw.entry).collect();
    format!(
        "{} went by `draff use` into bread of this name. If it was {bake}, it is not to be taken off twice: `draff strike {} --reason \"it was {bake}\"`",
        grain(taken, units, zone),
        numbers_of(&entries),
        bake = taken.bake
    )
}

/// The same where the bake took it first; with the entries that may take it again.
pub fn by_bake(taken: &TakenBefore, again: &[i64], units: Units, zone: &Zone) -> String {
    format!(
        "{bake}, which is done, took {} already. If this is the same grain, it is not to be taken off twice: `draff strike {} --reason \"it was {bake}\"`",
        grain(taken, units, zone),
        numbers_of(again),
        bake = taken.bake
    )
}

fn grain(taken: &TakenBefore, units: Units, zone: &Zone) -> String {
    let grain: Vec<String> = taken
        .draws
        .iter()
        .map(|draw| {
            format!(
                "{} of {} on {}",
                units.weighed(draw.wet),
                draw.lot,
                times::moment(draw.at, draw.at, zone)
            )
        })
        .collect();
    grain.join(", ")
}
