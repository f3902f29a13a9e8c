//! Counts after a corrected one: what they found stands, and their differences are worked out anew.

use crate::desk::{LaterCount, Notice};
use crate::ledger::{Detail, LogFilter, LotRecord, View};

/// What is to be told of the counts of a lot that were worked out anew with a correction, which is the entry before them.
pub fn standing(view: View<'_>, lot: &LotRecord, by: i64) -> anyhow::Result<Vec<Notice>> {
    let of_lot = view.log(&LogFilter {
        lot: Some(lot),
        ..LogFilter::default()
    })?;
    let mut told = Vec::new();
    for later in of_lot.iter().filter(|entry| entry.entry > by) {
        let Some(amended) = later.amends else {
            continue;
        };
        if let (Detail::Counted(is), Detail::Counted(was)) =
            (&later.detail, &view.entry(amended)?.detail)
        {
            told.push(Notice::LaterCountStands(LaterCount {
                entry: later.entry,
                at: later.at,
                found: is.found,
                was: was.less,
                is: is.less,
            }));
        }
    }
    Ok(told)
}
