//! What went along with a brew day that was corrected, in words.

use crate::desk::WentAlong;
use crate::quantity::Zone;

/// What moved, from when to when, and what to type if it was another time.
pub(super) fn words(went: WentAlong, zone: &Zone) -> String {
    let (what, option) = if went.is_word {
        ("the statement that it was cold", "--at")
    } else {
        ("mash-out", "--mash-out")
    };
    format!(
        "{what} moved with the brew day, from {} to {}. If it was another time: `draff correct {} {option} WHEN --reason TEXT`",
        zone.in_words(went.was),
        zone.in_words(went.is),
        went.entry
    )
}
