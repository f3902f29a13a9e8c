//! Lots that are judged by a clock which stands before the newest entry, once that entry does not count any more.

use super::{judge_all, judged_as_of};
use crate::desk::Notice;
use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::ledger::{EntryRecord, View};
use crate::quantity::Instant;
use std::collections::BTreeMap;

/// What there is to tell where an entry of these, which `by` took out of the book, was written last of all and after now: the
/// lots that may not be used as of then and are judged better by the clock as it stands. `as_of` is the moment as of which acts were
/// judged before.
pub(in crate::desk) fn better_by_clock<'a>(
    view: View<'_>,
    (as_of, now): (Instant, Instant),
    gone: impl Iterator<Item = (&'a EntryRecord, i64)>,
) -> anyhow::Result<Vec<Notice>> {
    let by_clock = judged_as_of(view, now)?;
    let newest = gone.max_by_key(|(entry, _)| entry.recorded_at);
    let Some((entry, by)) = newest.filter(|_| by_clock < as_of) else {
        return Ok(Vec::new());
    };
    let is = judge_all(view, by_clock)?;
    let mut alike: BTreeMap<(Verdict, Verdict), Vec<LotCode>> = BTreeMap::new();
    for (lot, was) in judge_all(view, as_of)? {
        let was = was.verdict;
        if let Some(is) = is.get(&lot).map(|keeping| keeping.verdict)
            && is < was
            && !was.may_be_used()
        {
            alike.entry((was, is)).or_default().push(lot);
        }
    }
    let told = alike
        .into_iter()
        .map(|((was, is), lots)| Notice::BetterByClock {
            lots,
            was,
            is,
            newest: (entry.entry, as_of),
            by,
        });
    Ok(told.collect())
}
