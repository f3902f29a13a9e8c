//! What a bake must be free of and may not be, or must be free of no more.

use crate::dough::bake_code::BakeCode;
use crate::ledger::NotFree;
use crate::quantity::text::shell_word;
use crate::render::{bake, words};

/// That lots of it hold that, or may.
pub(super) fn holds(bake: BakeCode, found: &NotFree, is_baked: bool) -> String {
    let (of, lots) = (&found.of, lots(found));
    let hold = match (found.is_named, found.lots.len()) {
        (false, _) => "may hold",
        (true, 1) => "holds",
        (true, _) => "hold",
    };
    if is_baked {
        format!(
            "{bake} was to be free of {of}, and {lots} in it {hold} it. Who has the bread: `draff trace {bake}`"
        )
    } else {
        format!(
            "{bake} is to be free of {of}, and {lots} {hold} it. Name another: `draff bake change {bake} --lot LOT`"
        )
    }
}

/// That it is not marked any more as holding that.
pub(super) fn unmarked(bake: BakeCode, gone: &NotFree) -> String {
    format!(
        "{bake} is not marked {} any more for {}, by this entry",
        bake::holds(gone),
        lots(gone)
    )
}

/// ``lot `THR-261116-1Z` ``, or several.
fn lots(found: &NotFree) -> String {
    let lot = if found.lots.len() == 1 { "lot" } else { "lots" };
    format!("{lot} {}", words::quoted(&found.lots))
}

/// That something else was put in its place.
pub(super) fn replaced(bake: BakeCode, was: &str, is: &str) -> String {
    format!(
        "{bake} is no longer free of {was}, only of {is}. To keep it free of both: `draff bake change {bake} --free-of {}`",
        shell_word(&format!("{was} and {is}"))
    )
}
