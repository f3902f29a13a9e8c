//! Grain that was past or unknown when it left, which the book did not know yet: people have it, and a recall finds only what
//! the book says.

use super::{handed_out_at, refuse_unusable, unusable_by_now};
use crate::desk::Notice;
use crate::desk::draws;
use crate::desk::facts::{self, FactFinder};
use crate::ledger::{Act, LotRecord, View};
use crate::quantity::Instant;
use crate::report::LotAnswer;

/// What a lot is that is handed out at a moment. Refuses grain that was past or unknown then, unless the book of that time
/// called it usable.
pub(in crate::desk) fn handed_out(
    act: &Act<'_>,
    lot: &LotRecord,
    at: Instant,
) -> anyhow::Result<LotAnswer> {
    let (view, now) = (act.view(), act.now());
    let at = handed_out_at(act, at)?;
    let answer = facts::answer_at(view, lot.clone(), at)?;
    let Err(refusal) = refuse_unusable(&answer) else {
        return Ok(answer);
    };
    let was_usable = as_known_then(view, (at, now), |then| {
        let keeping = FactFinder::new(then)?.keeping(lot, at)?;
        Ok(keeping.verdict.may_be_used() && then.had_come_as_known(lot)?)
    })?;
    match was_usable {
        Some(true) => Ok(answer),
        _ => Err(refusal.of_what_left(at < now).into()),
    }
}

/// Asks the book as it stood at a moment. Nothing where an entry was written after now: the clock is wrong, and does not tell
/// what was known when.
pub(in crate::desk) fn as_known_then<T>(
    view: View<'_>,
    (at, now): (Instant, Instant),
    ask: impl FnOnce(View<'_>) -> anyhow::Result<T>,
) -> anyhow::Result<Option<T>> {
    if view.written_after(now)?.is_some() {
        return Ok(None);
    }
    view.as_it_stood(view.last_entry_by(at)?, ask).map(Some)
}

/// What there is to tell of a lot of which grain left by these entries: that it was past or unknown then, or is so by now.
pub(in crate::desk) fn unusable_then_or_by_now(
    view: View<'_>,
    entries: &[i64],
    lot: &LotRecord,
    now: Instant,
) -> anyhow::Result<Vec<Notice>> {
    let mut unusable = draws::unusable_in(view, entries)?;
    unusable.retain(|draw| draw.lot == lot.code);
    if unusable.is_empty() {
        return Ok(unusable_by_now(view, lot, now)?.into_iter().collect());
    }
    Ok(unusable.into_iter().map(Notice::UsedWhenUnusable).collect())
}
