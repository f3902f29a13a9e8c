//! What is told where a finding counts since a correction or a strike: other lots of the same grain may be as bad.

use super::discard::found_by_reason;
use super::probe::of_the_same_grain;
use crate::desk::Notice;
use crate::desk::facts::FactFinder;
use crate::desk::guard::Judged;
use crate::keeping::Verdict;
use crate::ledger::{Act, EntryKind, EntryRecord};
use crate::quantity::Instant;

/// What there is to tell of entries that `count` since an act, as where each is written anew; not of a lot that was found spoiled by
/// one of those that are `gone` since.
pub(super) fn told_of_findings<'a>(
    act: &Act<'_>,
    count: impl IntoIterator<Item = &'a EntryRecord>,
    gone: &[&EntryRecord],
    (before, after): (&Judged, &Judged),
) -> anyhow::Result<Vec<Notice>> {
    let finds_spoilage = |entry: &EntryRecord| entry.kind.finds_spoilage(entry.words.as_deref());
    let mut told = Vec::new();
    for entry in count {
        let Some(code) = entry.lot else { continue };
        let lot = act.view().lot_even_struck(&code.to_string())?;
        let was_found = gone
            .iter()
            .any(|was| was.lot == entry.lot && finds_spoilage(was));
        let is_past = |judged: &Judged| {
            let keeping = judged.get(&code);
            keeping.is_some_and(|keeping| keeping.verdict == Verdict::Past)
        };
        let found = if finds_spoilage(entry) && !was_found {
            let mut finder = FactFinder::new(act.view())?;
            match entry.kind {
                // Of a lot that was found spoiled it says nothing new.
                EntryKind::Discard if finder.was_found_spoiled(&lot, Instant::MAX_UTC)? => {
                    Vec::new()
                }
                EntryKind::Discard => found_by_reason(act, &lot)?,
                _ => Vec::from_iter(of_the_same_grain(act.view(), &lot)?),
            }
        } else if entry.kind == EntryKind::Reading && is_past(after) && !is_past(before) {
            Vec::from_iter(of_the_same_grain(act.view(), &lot)?)
        } else {
            Vec::new()
        };
        for notice in found {
            if !told.contains(&notice) {
                told.push(notice);
            }
        }
    }
    Ok(told)
}
