//! What a bake must be free of and may not be, or must be free of no more.

use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::quantity::text::shell_word;

/// That a lot of it may hold that.
pub(super) fn may_hold(bake: BakeCode, lot: LotCode, of: &str, is_baked: bool) -> String {
    if is_baked {
        format!(
            "{bake} was to be free of {of}, and lot `{lot}` in it may hold it. Who has the bread: `draff trace {bake}`"
        )
    } else {
        format!(
            "{bake} is to be free of {of}, and lot `{lot}` may hold it. Name another: `draff bake change {bake} --lot LOT`"
        )
    }
}

/// That something else was put in its place.
pub(super) fn replaced(bake: BakeCode, was: &str, is: &str) -> String {
    format!(
        "{bake} is no longer free of {was}, only of {is}. To keep it free of both: `draff bake change {bake} --free-of {}`",
        shell_word(&format!("{was} and {is}"))
    )
}
