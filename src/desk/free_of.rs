//! Bakes that are to be free of something and hold it, or may, by what is known: which of these marks an act sets, and which
//! it takes off.

use super::Notice;
use crate::dough::bake_code::BakeCode;
use crate::ledger::{BakeRecord, Destination, LotRecord, NotFree, Of, View, Which};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// The mark of each bake, with whether that is baked.
type Marks = BTreeMap<(BakeCode, bool), NotFree>;

/// The marks of bakes with grain of some lots, as they were before an act.
pub(super) struct FreeOfBefore {
    lots: Vec<LotRecord>,
    known: Marks,
}

impl FreeOfBefore {
    /// Looks at the bakes that name these lots or took them, and all that was made of them.
    pub fn of(view: View<'_>, lots: Vec<LotRecord>) -> anyhow::Result<Self> {
        let known = marks(view, &lots)?;
        Ok(Self { lots, known })
    }

    /// A notice of each mark that is set or taken off since then.
    pub fn told(&self, view: View<'_>) -> anyhow::Result<Vec<Notice>> {
        let now = marks(view, &self.lots)?;
        let mut told = Vec::new();
        for (bake, was) in &self.known {
            let mut gone = was.clone();
            if let Some(is) = now.get(bake)
                && is.is_named >= was.is_named
            {
                gone.lots.retain(|lot| !is.lots.contains(lot));
            }
            if !gone.lots.is_empty() {
                told.push(Notice::NotMarkedAnyMore(bake.0, gone));
            }
        }
        for (bake, is) in now {
            if self.known.get(&bake) != Some(&is) {
                told.push(Notice::NotFreeOf(bake.0, is, bake.1));
            }
        }
        Ok(told)
    }
}

fn marks(view: View<'_>, lots: &[LotRecord]) -> anyhow::Result<Marks> {
    let family = view.descendants(&lots.iter().collect())?;
    let mut marks = Marks::new();
    for bake in view.bakes(Which::Open)? {
        if bake.setting.lots.iter().any(|lot| family.holds(lot))
            && let Some(found) = bake.not_free()
        {
            marks.insert((bake.code, false), found);
        }
    }
    let mut bakes: BTreeMap<BakeCode, BakeRecord> = BTreeMap::new();
    for out in view.outflows(&view.outflow_numbers(&family, Of::All)?)? {
        let Destination::Bake { code, .. } = out.to else {
            continue;
        };
        let bake = match bakes.entry(code) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(new) => new.insert(view.bake(&code.to_string())?),
        };
        let Some(of) = &bake.setting.free_of else {
            continue;
        };
        // Grain may be of a bake by the words of a use alone, so it is not among the draws of that.
        let known = marks.remove(&(code, true));
        let known = known.or_else(|| bake.not_free().filter(|_| bake.end.is_some()));
        if let Some(found) = NotFree::with(known, of, &out.lot) {
            marks.insert((code, true), found);
        }
    }
    Ok(marks)
}
