//! The guard: every act that writes entries or formulas goes through [`Desk::act`], which tells what bakes lose of what
//! they were promised; [`Desk::act_on_lot`] and [`Desk::act_on_every_lot`] keep past grain past. Grain that is
//! past or unknown is refused here for a dough, a gift or a join of now, and `good_faith` takes what left before the book knew
//! it; bakes that are planned ahead judge their lots at mixing (`acts/bakes.rs`, `promised_dough.rs`).

mod by_clock;
mod elsewhere;
mod good_faith;
mod late;
mod otherwise;

pub(super) use by_clock::better_by_clock;
pub(super) use elsewhere::{Held, held, usable_elsewhere};
pub(super) use good_faith::{as_known_then, handed_out, unusable_then_or_by_now};
pub(super) use late::{
    refuse_cleared_late_since, refuse_corrected_again, refuse_kept_by_late_entry,
    refuse_late_since, refuse_moved_back, refuse_usable_by_late_entry,
};
pub(super) use otherwise::{judged_otherwise, new_tickets, tickets_untrue};

use super::facts::FactFinder;
use super::{Desk, HasLeft, Notice, Refusal, promises};
use crate::grain::LotCode;
use crate::keeping::{Assessment, Verdict};
use crate::ledger::{Act, BookRefusal, Detail, EntryKind, EntryRecord, LotRecord, View};
use crate::quantity::Instant;
use crate::report::LotAnswer;
use chrono::Duration;
use otherwise::{judged_better, less_warm, unusable_now};
use std::collections::BTreeMap;

/// What the guard compares before and after an act.
pub(super) enum Compare {
    /// Nothing: the act draws no grain and changes no history of a lot on hand.
    Nothing,
    /// What is left of the grain that bakes were promised, and whether they may use it. An act that may change a verdict compares that itself, as
    /// [`Desk::act_on_lot`] and [`Desk::act_on_every_lot`] do.
    Promises,
}

impl Desk {
    /// Does one act in one transaction, all or nothing. Unless nothing is compared, it tells what bakes lack or lose since then
    /// of what the accepted plan promised them.
    ///
    /// # Errors
    ///
    /// What `work` refuses, and a book that cannot be written.
    pub(super) fn act<T>(
        &mut self,
        compare: Compare,
        work: impl FnOnce(&mut Act<'_>) -> anyhow::Result<T>,
    ) -> anyhow::Result<(T, Vec<Notice>)> {
        let (signature, now) = (self.signature(), self.now);
        let (done, entries) = self.book.act(&signature, self.once.as_ref(), |act| {
            let before = act.view().last_entry()?;
            let done = if matches!(compare, Compare::Nothing) {
                (work(act)?, Vec::new())
            } else {
                let promised = promises::judged(act.view(), now)?;
                let done = work(act)?;
                let broken = promises::broken(&promised, &promises::judged(act.view(), now)?);
                (done, broken)
            };
            Ok((done, act.view().kinds_since(before)?))
        })?;
        self.written.set(entries);
        Ok(done)
    }

    /// Does one act that is about a place, see [`Self::act`]. `tell` is handed what `work` gave and the verdicts of all
    /// lots on hand before and after it.
    ///
    /// # Errors
    ///
    /// As of [`Self::act`], what `tell` refuses, and as of [`refuse_eased`].
    pub(super) fn act_on_every_lot<T, U>(
        &mut self,
        work: impl FnOnce(&mut Act<'_>) -> anyhow::Result<T>,
        tell: impl FnOnce(&Act<'_>, T, &Judged, &Judged) -> anyhow::Result<U>,
    ) -> anyhow::Result<(U, Vec<Notice>)> {
        let now = self.now;
        self.act(Compare::Promises, |act| {
            let now = judged_as_of(act.view(), now)?;
            let before = judge_all(act.view(), now)?;
            let written_before = act.view().last_entry()?;
            let done = work(act)?;
            let after = judge_all(act.view(), now)?;
            let told = tell(act, done, &before, &after)?;
            refuse_eased(act.view(), (written_before, now), &before, &after)?;
            Ok(told)
        })
    }

    /// Does one act on the lot with this code, see [`Self::act`], and compares the verdicts of the lot and of all that
    /// was made of it. `work` also gives back the lot that holds the grain afterwards.
    ///
    /// # Errors
    ///
    /// As of [`Self::act`] and of [`refuse_eased`]; of the lot itself [`Refusal::WouldReviveItself`] in place of
    /// [`Refusal::WouldRevive`].
    pub(super) fn act_on_lot<T>(
        &mut self,
        code: &str,
        work: impl FnOnce(&mut Act<'_>, LotRecord) -> anyhow::Result<(LotRecord, T)>,
    ) -> anyhow::Result<(LotRecord, T, Vec<Notice>)> {
        let now = self.now;
        let ((lot, done, told), notices) = self.act(Compare::Promises, |act| {
            let now = judged_as_of(act.view(), now)?;
            let lot = act.view().lot(code)?;
            let lot_before = lot.clone();
            let before = judge_made_of(act.view(), &lot_before, now)?;
            let was = keeping(&before, act.view(), &lot_before, now)?;
            let written_before = act.view().last_entry()?;
            let (lot_after, done) = work(act, lot)?;
            // An entry about an earlier time is one about all that was made of the lot since.
            let after = judge_made_of(act.view(), &lot_before, now)?;
            let is = keeping(&after, act.view(), &lot_after, now)?;
            let written = (written_before, now);
            if eases(act.view(), written, &was, &is)? {
                return Err(Refusal::WouldReviveItself(lot_before.code, None).into());
            }
            let mut of_grain = before.clone();
            of_grain.insert(lot_after.code, was.clone());
            refuse_eased(act.view(), written, &of_grain, &after)?;
            let mut told = judged_better(&before, &after);
            told.extend(unusable_now(&before, &after, Some(lot_after.code)));
            let was_unknown = was.verdict == Verdict::Unknown;
            if lot_after.code != lot_before.code && was_unknown && is.verdict.may_be_used() {
                told.push(Notice::JudgedBetter {
                    lot: lot_after.code,
                    was: was.verdict,
                    is: is.verdict,
                });
            }
            if speaks_of_earlier(act.view(), written_before, now)? {
                told.extend(less_warm(&before, &after));
            }
            Ok((lot_after, done, told))
        })?;
        Ok((lot, done, notices.into_iter().chain(told).collect()))
    }
}

/// The moment as of which an act is judged. Where the book holds an entry that was written after now, the clock is wrong:
/// what is written by it is as late as what was written after that entry.
pub(super) fn judged_as_of(view: View<'_>, now: Instant) -> anyhow::Result<Instant> {
    Ok(view.written_after(now)?.unwrap_or(now))
}

/// The moment as of which grain that is handed out is judged: what is dated now is judged as of now, see [`judged_as_of`].
pub(super) fn handed_out_at(act: &Act<'_>, at: Instant) -> anyhow::Result<Instant> {
    if at < act.now() {
        return Ok(at);
    }
    judged_as_of(act.view(), at)
}

/// A temperature that was taken no longer ago than this is one of now: a time is typed in whole minutes, and that takes
/// one. Judgement.
const OF_NOW: Duration = Duration::minutes(2);

/// Whether an entry is a temperature of now.
fn is_read_now(entry: &EntryRecord, now: Instant) -> bool {
    entry.kind == EntryKind::Reading && now - entry.at <= OF_NOW
}

/// Whether all that was written after an entry is temperatures of now, taken while a lot that `was` past by now was not.
fn read_in_time(
    view: View<'_>,
    after: i64,
    was: &Assessment,
    now: Instant,
) -> anyhow::Result<bool> {
    Ok(written_since(view, after)?.iter().all(|entry| {
        let was_in_time = was.keep_until.is_some_and(|until| entry.at <= until);
        was_in_time && is_read_now(entry, now)
    }))
}

/// Whether an entry that was written after another one is about a time before now.
fn speaks_of_earlier(view: View<'_>, after: i64, now: Instant) -> anyhow::Result<bool> {
    let written = written_since(view, after)?;
    Ok(written
        .iter()
        .any(|entry| begins(entry) < now && !is_read_now(entry, now)))
}

/// From when on an entry speaks of something: a logger's file from its first reading on, and what a place is, how thick grain
/// lies there and what its logger measures, of all that was measured there.
fn begins(entry: &EntryRecord) -> Instant {
    match &entry.detail {
        Detail::Readings(file) => file.first,
        Detail::Setting(_) => Instant::UNIX_EPOCH,
        _ => entry.at,
    }
}

/// The entries that were written after the one of this number.
fn written_since(view: View<'_>, after: i64) -> anyhow::Result<Vec<EntryRecord>> {
    (after + 1..=view.last_entry()?)
        .map(|entry| view.entry(entry))
        .collect()
}

/// Whether what was written after an entry, up to now, makes of a past lot less than that. What is past stays so, and has
/// been for as long: bread made of it meanwhile stays named.
fn eases(
    view: View<'_>,
    (after, now): (i64, Instant),
    was: &Assessment,
    is: &Assessment,
) -> anyhow::Result<bool> {
    let is_revived = was.verdict == Verdict::Past && is.verdict != Verdict::Past;
    let is_eased =
        is_revived || (was_good_for_longer(was, is) && speaks_of_earlier(view, after, now)?);
    Ok(is_eased && !read_in_time(view, after, was, now)?)
}

/// Refuses what was written after an entry, up to now, where it makes grain better than it may.
///
/// # Errors
///
/// [`Refusal::WouldRevive`] where a lot that was past would be past no more, or by an entry that speaks of an earlier time
/// would have been good for longer; not so by a temperature of now that was taken in time. [`Refusal::UsableByLateEntry`] where a lot that might
/// not be used may be, and without an entry that was written late before would be past.
pub(super) fn refuse_eased(
    view: View<'_>,
    written: (i64, Instant),
    before: &Judged,
    after: &Judged,
) -> anyhow::Result<()> {
    for (lot, was) in before {
        if let Some(is) = after.get(lot)
            && eases(view, written, was, is)?
        {
            return Err(Refusal::WouldRevive(*lot).into());
        }
    }
    let made_usable = made_usable(before, after).map(|(lot, _)| (lot, Instant::MAX_UTC));
    refuse_usable_by_late_entry(view, written.0, made_usable)?;
    refuse_kept_by_late_entry(view, written.0, || {
        let lots = before.keys();
        let stayed = lots.filter(|lot| may_be_used(before, lot) && may_be_used(after, lot));
        Ok(stayed.map(|lot| (*lot, Instant::MAX_UTC)).collect())
    })
}

/// What the clock says of a lot and of all that was made of it, as far as they are on hand.
pub(super) fn judge_made_of(
    view: View<'_>,
    lot: &LotRecord,
    now: Instant,
) -> anyhow::Result<Judged> {
    let family = view.descendants(&[lot].into_iter().collect())?;
    let mut finder = FactFinder::new(view)?;
    view.on_hand_of(&family)?
        .into_iter()
        .map(|lot| Ok((lot.code, finder.keeping(&lot, now)?)))
        .collect()
}

/// What the clock says of a lot, on hand and judged or used up by now.
fn keeping(
    judged: &Judged,
    view: View<'_>,
    lot: &LotRecord,
    now: Instant,
) -> anyhow::Result<Assessment> {
    match judged.get(&lot.code) {
        Some(keeping) => Ok(keeping.clone()),
        None => FactFinder::new(view)?.keeping(lot, now),
    }
}

/// Whether grain that is past, before and after, was good for longer by what is known since.
fn was_good_for_longer(was: &Assessment, is: &Assessment) -> bool {
    let are_past = [was, is].iter().all(|one| one.verdict == Verdict::Past);
    let until = |one: &Assessment| one.keep_until.unwrap_or(Instant::MIN_UTC);
    are_past && until(was) < until(is)
}

/// What the clock says of every lot on hand.
pub(super) type Judged = BTreeMap<LotCode, Assessment>;

/// Judges one lot.
pub(super) fn judge(view: View<'_>, lot: &LotRecord, now: Instant) -> anyhow::Result<Judged> {
    let keeping = FactFinder::new(view)?.keeping(lot, now)?;
    Ok(BTreeMap::from([(lot.code, keeping)]))
}

/// Judges every lot on hand.
pub(super) fn judge_all(view: View<'_>, now: Instant) -> anyhow::Result<Judged> {
    let about = view.about();
    Ok(FactFinder::new(view)?
        .on_hand(now)?
        .into_iter()
        .map(|facts| {
            let keeping = facts.keeping(&about.rules, &about.zone, now);
            (facts.lot.code, keeping)
        })
        .collect())
}

/// Refuses that a lot which was past is past no more.
pub(super) fn refuse_revived(before: &Judged, after: &Judged) -> Result<(), Refusal> {
    let is_past = |keeping: &Assessment| keeping.verdict == Verdict::Past;
    let revived = before
        .iter()
        .find(|(lot, keeping)| is_past(keeping) && !after.get(*lot).is_some_and(is_past));
    revived.map_or(Ok(()), |(lot, _)| Err(Refusal::WouldRevive(*lot)))
}

/// Lots that might not be used and may be by what is known since then.
fn made_usable<'a>(
    before: &'a Judged,
    after: &'a Judged,
) -> impl Iterator<Item = (LotCode, &'a Assessment)> {
    before.iter().filter_map(move |(lot, was)| {
        let is_made = !was.verdict.may_be_used() && may_be_used(after, lot);
        is_made.then_some((*lot, was))
    })
}

/// Whether a lot may be used; not so where it is not among those that were judged.
fn may_be_used(judged: &Judged, lot: &LotCode) -> bool {
    judged
        .get(lot)
        .is_some_and(|keeping| keeping.verdict.may_be_used())
}

/// Refuses what would make grain usable that was past or unknown.
pub(super) fn refuse_made_usable(before: &Judged, after: &Judged) -> Result<(), Refusal> {
    match made_usable(before, after).next() {
        Some((lot, was)) => Err(Refusal::WouldMakeUsable(lot, was.verdict)),
        None => Ok(()),
    }
}

/// Refuses grain that is past or unknown, with what binds and what to do about it.
pub(super) fn refuse_unusable(answer: &LotAnswer) -> Result<(), Refusal> {
    if answer.keeping.verdict.may_be_used() {
        return Ok(());
    }
    Err(Refusal::Unusable {
        lot: answer.lot.code,
        keeping: Box::new(answer.keeping.clone()),
        as_of: answer.as_of,
        bake: None,
        has_left: HasLeft::No,
    })
}

/// Refuses a lot of which nothing is left.
pub(super) fn refuse_used_up(answer: &LotAnswer) -> Result<(), BookRefusal> {
    match answer.place {
        Some(_) => Ok(()),
        None => Err(BookRefusal::NothingLeft(answer.lot.code)),
    }
}

/// What there is to tell of a lot that may not be used any more, of which grain left in time.
pub(super) fn unusable_by_now(
    view: View<'_>,
    lot: &LotRecord,
    now: Instant,
) -> anyhow::Result<Option<Notice>> {
    let now = judged_as_of(view, now)?;
    let keeping = FactFinder::new(view)?.keeping(lot, now)?;
    Ok(
        (!keeping.verdict.may_be_used()).then_some(Notice::UnusableByNow {
            lot: lot.code,
            verdict: keeping.verdict,
            limit: keeping.binding.limit,
        }),
    )
}
