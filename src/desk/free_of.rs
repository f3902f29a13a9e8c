//! Bakes that are to be free of something and hold it, or may, by what is known: which of these marks an act sets, and which
//! it takes off.

use super::Notice;
use crate::dough::bake_code::BakeCode;
use crate::ledger::{BakeRecord, Destination, LotRecord, NotFree, Of, View, Which};
use std::collections::{BTreeMap, BTreeSet};

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
    let names_one = |bake: &BakeRecord| bake.setting.lots.iter().any(|lot| family.holds(lot));
    let mut bakes = view.bakes(Which::Open)?;
    bakes.retain(names_one);
    let took: BTreeSet<BakeCode> = view
        .outflows(&view.outflow_numbers(&family, Of::All)?)?
        .into_iter()
        .filter_map(|out| match out.to {
            Destination::Bake { code, .. } => Some(code),
            _ => None,
        })
        .collect();
    for code in took {
        bakes.push(view.bake(&code.to_string())?);
    }
    let marked = bakes.into_iter().filter_map(|bake| {
        let found = bake.not_free()?;
        Some(((bake.code, bake.end.is_some()), found))
    });
    Ok(marked.collect())
}
