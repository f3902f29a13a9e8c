//! An entry that threw away all of a lot, and was about another one.

use crate::desk::Notice;
use crate::ledger::{EntryKind, EntryRecord, LotRecord, View};
use crate::quantity::Milligrams;

/// All of the lot that was meant as it was then, where the entry took all of the lot that it names: nobody weighed that.
pub(super) fn of_other_lot(
    view: View<'_>,
    entry: &EntryRecord,
    meant: &LotRecord,
) -> anyhow::Result<Option<Milligrams>> {
    let named = entry.lot.filter(|named| *named != meant.code);
    let Some(named) = named.filter(|_| entry.kind == EntryKind::Discard) else {
        return Ok(None);
    };
    let named = view.lot(&named.to_string())?;
    if view.left_when_written(&named, entry.entry)? > Milligrams::ZERO {
        return Ok(None);
    }
    let there = view.booked_before(meant, entry.entry)?;
    Ok((there > Milligrams::ZERO).then_some(there))
}

/// What there is to tell of that.
pub(super) fn told(meant: &LotRecord, wet: Option<Milligrams>, by: i64) -> Option<Notice> {
    wet.map(|wet| Notice::AllOfOtherLot(meant.code, wet, by))
}
