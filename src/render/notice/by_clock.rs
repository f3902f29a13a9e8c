//! Lots that are judged better since the clock stands before what was the newest entry.

use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::quantity::{Instant, Zone};
use crate::render::{times, words};

/// What they were as of that entry and what they are, with the entry that undoes it.
pub(super) fn words(
    lots: &[LotCode],
    (was, is): (Verdict, Verdict),
    ((newest, as_of), by): ((i64, Instant), i64),
    zone: &Zone,
) -> String {
    let (lot, were, are) = match lots.len() {
        1 => ("lot", "was", "is"),
        _ => ("lots", "were", "are"),
    };
    format!(
        "{lot} {} {were} {was} as of entry {newest} ({}), and {are} {is} by the clock now. If the clock of entry {newest} was right: `draff strike {by} --reason \"clock was right\"`",
        words::quoted(lots),
        times::moment(as_of, as_of, zone)
    )
}
