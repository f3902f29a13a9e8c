//! Bakes that name other lots than a plan promised to them, and so take none of what it promised.

use crate::dough::bake_code::BakeCode;
use crate::ledger::PlanDraw;
use crate::report::bake::BakeAnswer;
use std::collections::BTreeSet;

/// Those of these bakes that name lots, and not all that these draws are of.
pub(super) fn bakes_that_name_others(
    draws: &[&PlanDraw],
    bakes: &[BakeAnswer],
) -> BTreeSet<BakeCode> {
    let names_another = |answer: &&BakeAnswer| {
        let named = &answer.bake.setting.lots;
        let mut mine = draws.iter().filter(|draw| draw.bake == answer.bake.code);
        let is_named = |draw: &&PlanDraw| named.iter().any(|lot| lot.code == draw.lot.code);
        !named.is_empty() && mine.any(|draw| !is_named(draw))
    };
    let found = bakes.iter().filter(names_another);
    found.map(|answer| answer.bake.code).collect()
}
