//! Grain that a bake took in place of lots that it names or was promised: a slip is likely.

use crate::desk::notice::OtherGrain;
use crate::desk::{Notice, promised_dough};
use crate::grain::LotCode;
use crate::ledger::{LotRecord, View};
use crate::quantity::Milligrams;
use crate::report::bake::BakeAnswer;

/// What there is to tell where a lot of the sheet is not in the dough and another one is, which is not made of it. The entries that
/// say it are written later, and named then.
pub(super) fn told(
    view: View<'_>,
    planned: &BakeAnswer,
    sheet: &promised_dough::Found<'_>,
    draws: &[(LotRecord, Milligrams)],
) -> anyhow::Result<Option<Notice>> {
    let named = &planned.bake.setting.lots;
    let is_promised = matches!(sheet.notice, Some(Notice::PromisedGrainTaken { .. }));
    // Where nobody said of which lots it is made, no lot is another one.
    if named.is_empty() && !is_promised {
        return Ok(None);
    }
    let mut others: Vec<LotCode> = draws.iter().map(|(lot, _)| lot.code).collect();
    others.retain(|other| !named.iter().any(|lot| lot.code == *other));
    let mut meant = Vec::new();
    for (lot, wet) in sheet.lots.whole_grams() {
        let family = view.descendants(&std::iter::once(&lot).collect())?;
        let of_it = draws.iter().filter(|(drawn, _)| family.holds(drawn));
        let of_it: Vec<LotCode> = of_it.map(|(drawn, _)| drawn.code).collect();
        if of_it.is_empty() {
            meant.push((lot.code, wet));
        }
        others.retain(|other| !of_it.contains(other));
    }
    if others.is_empty() || meant.is_empty() {
        return Ok(None);
    }
    Ok(Some(Notice::OtherGrain(OtherGrain {
        bake: planned.bake.code,
        is_promised,
        meant,
        booked: others.into_iter().map(|lot| (lot, 0)).collect(),
    })))
}
