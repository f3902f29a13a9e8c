//! Grain that might not be used in one lot and may be in another since an entry was struck or corrected. No lot need be judged
//! otherwise by that: only how much is in each changes.

use super::Judged;
use crate::desk::Notice;
use crate::grain::LotCode;
use crate::ledger::View;
use crate::quantity::{Instant, Milligrams};
use std::collections::BTreeMap;

/// How much is on hand of each lot.
pub(in crate::desk) type Held = BTreeMap<LotCode, Milligrams>;

/// How much is on hand of each lot by now.
pub(in crate::desk) fn held(view: View<'_>, now: Instant) -> anyhow::Result<Held> {
    let on_hand = view.on_hand(now)?.into_iter();
    Ok(on_hand.map(|found| (found.lot.code, found.wet)).collect())
}

/// What is to be told of grain that counts to a lot of the same origin which may be used, and counted to one which might not;
/// but not of a join that was struck, where that was `told`.
pub(in crate::desk) fn usable_elsewhere(
    view: View<'_>,
    (before, held): (&Judged, &Held),
    (after, holds): (&Judged, &Held),
    told: &[Notice],
) -> anyhow::Result<Vec<Notice>> {
    let wet = |held: &Held, lot: &LotCode| held.get(lot).map_or(0, |wet| Milligrams::get(*wet));
    let mut moved = Vec::new();
    for (from, was) in before {
        let less = wet(held, from) - wet(holds, from);
        if was.verdict.may_be_used() || less <= 0 {
            continue;
        }
        let came_as = origins(view, *from)?;
        for (lot, is) in after {
            let more = wet(holds, lot) - wet(held, lot);
            let is_told = told.iter().any(|notice| {
                matches!(notice, Notice::UsableApart { lot: apart, joined, .. } if (apart, joined) == (lot, from))
            });
            if !is.verdict.may_be_used() || more <= 0 || is_told {
                continue;
            }
            if origins(view, *lot)?.iter().any(|one| came_as.contains(one)) {
                moved.push(Notice::UsableElsewhere(
                    Milligrams::new(more.min(less)),
                    (*from, was.verdict),
                    (*lot, is.verdict),
                ));
            }
        }
    }
    Ok(moved)
}

/// The lots that came in and whose grain is or was in a lot.
fn origins(view: View<'_>, lot: LotCode) -> anyhow::Result<Vec<LotCode>> {
    let lot = view.lot_even_struck(&lot.to_string())?;
    let origins = view.origins(&lot)?.into_iter();
    Ok(origins.map(|lot| lot.code).collect())
}
