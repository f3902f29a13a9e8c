//! The rest of a lot of which some was thrown away for spoilage.

use crate::grain::LotCode;
use crate::keeping::Verdict;

/// What it counts as, where that would let it be used, and what to do with it.
pub fn words(lot: LotCode, verdict: Verdict) -> String {
    if verdict.may_be_used() {
        return format!(
            "the rest of lot `{lot}` still counts as {verdict}. If it is mouldy or smells bad, throw all of it away: `draff probe {lot} --spoiled TEXT` takes it out of use"
        );
    }
    format!(
        "treat the rest of lot `{lot}` as mouldy too until you have shown otherwise: throw all of it away"
    )
}
