//! Grain that went out and was past or unknown then, and lots of the same grain, in words.

use crate::desk::JudgedDraw;
use crate::grain::LotCode;
use crate::quantity::Zone;
use crate::render::numbers::Units;

/// It was so, as is known since an act.
pub(super) fn when_unusable(draw: &JudgedDraw, units: Units, zone: &Zone) -> String {
    format!(
        "{} of lot `{}` went out at {} for {}, when it was {}: {}; `draff trace {}` shows who has it",
        units.weighed(draw.wet),
        draw.lot,
        zone.in_words(draw.at),
        draw.what,
        draw.verdict,
        units.in_words(&draw.limit),
        draw.lot
    )
}

/// It may have been so.
pub(super) fn before(draw: &JudgedDraw, units: Units, zone: &Zone) -> String {
    format!(
        "{} of lot `{}` had gone out by then, {} for {}: spoilage may be older than the day it is found; `draff trace {}` shows who has it",
        units.weighed(draw.wet),
        draw.lot,
        zone.in_words(draw.at),
        draw.what,
        draw.lot
    )
}

/// It was so until an act.
pub(super) fn unmarked(draw: &JudgedDraw, units: Units, zone: &Zone) -> String {
    format!(
        "{} of lot `{}`, which went out at {} for {}, is not marked NOT TO BE USED any more, by this entry. Before, it was {}: {}",
        units.weighed(draw.wet),
        draw.lot,
        zone.in_words(draw.at),
        draw.what,
        draw.verdict,
        units.in_words(&draw.limit)
    )
}

/// Other lots on hand are of the same grain.
pub(super) fn kin(lot: LotCode, others: &[LotCode]) -> String {
    let codes: Vec<String> = others.iter().map(ToString::to_string).collect();
    let are = if codes.len() == 1 {
        "it is"
    } else {
        "they are"
    };
    format!(
        "look at {} too: {are} of the same grain as {lot}",
        codes.join(", ")
    )
}
