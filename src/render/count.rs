//! What a count found, in words.

use super::lot::{self, Detail};
use super::numbers::{self, Units};
use super::words;
use crate::quantity::{Milligrams, Zone};
use crate::report::count::CountAnswer;

/// What was found, the difference and what it may be, and the lot as it stands.
pub fn text(answer: &CountAnswer, of_lot: Detail, units: Units, zone: &Zone) -> String {
    let mut out = String::new();
    words::labelled(
        &mut out,
        "Counted",
        &format!(
            "{} of {}; the book said {}",
            units.weighed(answer.found),
            answer.lot.lot.code,
            units.weighed(answer.booked)
        ),
    );
    let size = answer.size().words();
    let difference = match answer.less.get() {
        0 => size.to_owned(),
        less => format!(
            "{} {} ({}): {size}",
            units.weighed(Milligrams::new(less.abs())),
            if less > 0 { "less" } else { "more" },
            numbers::percent(answer.part().abs())
        ),
    };
    words::labelled(&mut out, "Difference", &difference);
    lot::block(&mut out, &answer.lot, of_lot, units, zone);
    out
}
