//! Entries that were written late, while grain might not be used and nobody asked what they make of it: nothing that
//! comes after them makes grain usable which would be past without them.

use super::{Judged, OF_NOW, begins, may_be_used, written_since};
use crate::desk::draws::judged_until;
use crate::desk::facts::FactFinder;
use crate::desk::{JudgedDraw, Refusal};
use crate::grain::LotCode;
use crate::keeping::{self, Event, Verdict, What};
use crate::ledger::{EntryKind, EntryRecord, LotRecord, View};
use crate::quantity::Instant;
use chrono::Duration;

/// Refuses that grain which might not be used, or was gone, is usable since an entry of this number is struck or corrected,
/// by another one that was written late meanwhile: nobody asked what that makes of grain that was past without it.
pub(in crate::desk) fn refuse_late_since(
    view: View<'_>,
    number: i64,
    before: &Judged,
    after: &Judged,
) -> anyhow::Result<()> {
    for code in revived(before, after) {
        let lot = view.lot(&code.to_string())?;
        if let Some(late) = past_without(view, number, (&lot, Instant::MAX_UTC))? {
            return Err(match is_correction_of(view, number, late)? {
                true => Refusal::WouldRevive(*code),
                false => Refusal::UsableByLateEntry(*code, late),
            }
            .into());
        }
    }
    Ok(())
}

/// Lots that might not be used, or were gone, and may be used since then.
fn revived<'a>(before: &'a Judged, after: &'a Judged) -> impl Iterator<Item = &'a LotCode> {
    let lots = after.keys();
    lots.filter(move |lot| may_be_used(after, lot) && !may_be_used(before, lot))
}

/// Refuses the same of grain that people got and that counts as usable since then.
pub(in crate::desk) fn refuse_cleared_late_since(
    view: View<'_>,
    number: i64,
    cleared: &[JudgedDraw],
) -> anyhow::Result<()> {
    for draw in cleared {
        let lot = view.lot_even_struck(&draw.lot.to_string())?;
        if let Some(late) = past_without(view, number, (&lot, draw.at))? {
            return Err(match is_correction_of(view, number, late)? {
                true => Refusal::WouldUnmark(Box::new(draw.clone()), judged_until(view, draw)?),
                false => Refusal::UsableByLateEntry(draw.lot, late),
            }
            .into());
        }
    }
    Ok(())
}

/// Refuses the same of corrections that count again since their strike is struck: each is judged as if it were written now, and
/// grain that is past without one, or was when it left, stays so.
pub(in crate::desk) fn refuse_corrected_again(
    view: View<'_>,
    (corrections, now): (&[&EntryRecord], Instant),
    (before, after): (&Judged, &Judged),
    cleared: &[JudgedDraw],
) -> anyhow::Result<()> {
    let is_past_without = |lot: &LotRecord, then: Instant| -> anyhow::Result<bool> {
        let family = view.ancestors(&std::iter::once(lot).collect())?;
        for correction in corrections {
            let Some(code) = correction.lot else { continue };
            let about = view.lot_even_struck(&code.to_string())?;
            if now - correction.at <= OF_NOW || !family.holds(&about) {
                continue;
            }
            let was = view.without(&[correction.entry], |view| {
                FactFinder::new(view)?.keeping(&about, then)
            })?;
            if was.verdict == Verdict::Past {
                return Ok(true);
            }
        }
        Ok(false)
    };
    for code in revived(before, after) {
        if is_past_without(&view.lot(&code.to_string())?, now)? {
            return Err(Refusal::WouldRevive(*code).into());
        }
    }
    for draw in cleared {
        let lot = view.lot_even_struck(&draw.lot.to_string())?;
        if is_past_without(&lot, now.min(draw.at))? {
            let until = judged_until(view, draw)?;
            return Err(Refusal::WouldUnmark(Box::new(draw.clone()), until).into());
        }
    }
    Ok(())
}

/// An entry that is corrected to an earlier time than this before it was written is a late one: judgement.
const LATE: Duration = Duration::minutes(30);

/// Refuses that a correction makes a lot usable that was past when the wrong entry was written, by going to an earlier time:
/// that is a late entry by a detour. Where the clock of the wrong entry ran ahead, it was written no later than its correction.
/// What else a correction makes usable is judged without the entry, by [`refuse_late_since`].
pub(in crate::desk) fn refuse_moved_back(
    view: View<'_>,
    correction: &EntryRecord,
    before: &Judged,
    after: &Judged,
) -> anyhow::Result<()> {
    let first = view.first_of(correction)?;
    let written = view.first_written_at(correction)?;
    let is_late = correction.at < first.at && written - correction.at > LATE;
    let revived = before.iter().find(|(lot, was)| {
        let was_past_then = was.keep_until.is_some_and(|until| until < written);
        was.verdict == Verdict::Past && was_past_then && may_be_used(after, lot)
    });
    match revived.filter(|_| is_late && first.kind != EntryKind::Pickup) {
        Some((lot, _)) => Err(Refusal::WouldRevive(*lot).into()),
        None => Ok(()),
    }
}

/// The first entry after one of this number that was written late and without which, and all that came after it, a lot was
/// past when it was written, or when the grain left if that was before.
fn past_without(
    view: View<'_>,
    number: i64,
    (lot, left_at): (&LotRecord, Instant),
) -> anyhow::Result<Option<i64>> {
    for late in view.written_late((number, view.last_entry()?), (lot, OF_NOW))? {
        let about = match late.lot {
            Some(code) => view.lot_even_struck(&code.to_string())?,
            None => lot.clone(),
        };
        let then = view.written_at(late.entry)?.min(left_at);
        let was = view.without_since(late.entry, |view| {
            FactFinder::new(view)?.keeping(&about, then)
        })?;
        if was.verdict == Verdict::Past {
            return Ok(Some(late.entry));
        }
    }
    Ok(None)
}

/// Whether an entry is what a correction of another one says, or goes with it: that is no entry to strike.
fn is_correction_of(view: View<'_>, number: i64, late: i64) -> anyhow::Result<bool> {
    Ok(view.entry(number)?.amended_by.is_some_and(|by| late >= by))
}

/// Refuses that lots which might not be used may be by what was written after an entry, where one that was written late
/// before it is what keeps them from being past: with what is known now it could not have been written then. Each lot is
/// named with the moment at which the grain left, which people got, or none that has come where it is on hand.
///
/// The newest late entry is left out first, then the one before it too. At the moment at which each was written the grain
/// must not have been past without them. A logger's file is late where its first reading is.
pub(in crate::desk) fn refuse_usable_by_late_entry(
    view: View<'_>,
    after: i64,
    made_usable: impl Iterator<Item = (LotCode, Instant)>,
) -> anyhow::Result<()> {
    let learned = learned(view, after)?;
    for (code, left_at) in made_usable {
        for without in Without::of(view, after, code, |_| true)? {
            if without.verdict(view, left_at, &learned, &[])? == Verdict::Past {
                return Err(Refusal::UsableByLateEntry(code, without.late).into());
            }
        }
    }
    Ok(())
}

/// Refuses what is written of a place after an entry, where it shows that lots which might be used all along would be past had
/// nobody written late that their grain was elsewhere, and without that nobody knew before whether they might. So the order in
/// which the two are typed makes no difference.
pub(in crate::desk) fn refuse_kept_by_late_entry(
    view: View<'_>,
    after: i64,
    stayed_usable: impl FnOnce() -> anyhow::Result<Vec<(LotCode, Instant)>>,
) -> anyhow::Result<()> {
    let since = written_since(view, after)?;
    let mut kinds = since.iter().map(|entry| entry.kind);
    if !kinds.any(|kind| matches!(kind, EntryKind::Readings | EntryKind::Place)) {
        return Ok(());
    }
    let since: Vec<i64> = since.iter().map(|entry| entry.entry).collect();
    let is_elsewhere = |late: &EntryRecord| late.kind == EntryKind::Move || late.new_lot.is_some();
    for (code, left_at) in stayed_usable()? {
        for without in Without::of(view, after, code, is_elsewhere)? {
            if without.verdict(view, left_at, &[], &[])? == Verdict::Past
                && without.verdict(view, left_at, &[], &since)? == Verdict::Unknown
            {
                return Err(Refusal::UsableByLateEntry(code, without.late).into());
            }
        }
    }
    Ok(())
}

/// A lot without an entry that was written late, and without those written late after it.
struct Without {
    /// That entry.
    late: i64,
    /// When it was written.
    written: Instant,
    left_out: Vec<i64>,
    /// The lots that hold the grain then.
    grain: Vec<LotRecord>,
}

impl Without {
    /// Each entry of these up to one of this number that was written late about a lot, the newest first.
    fn of(
        view: View<'_>,
        after: i64,
        code: LotCode,
        is_one: impl Fn(&EntryRecord) -> bool,
    ) -> anyhow::Result<Vec<Self>> {
        let lot = view.lot_even_struck(&code.to_string())?;
        let mut late_entries = late_entries(view, after, &lot)?;
        late_entries.retain(is_one);
        if late_entries.is_empty() {
            return Ok(Vec::new());
        }
        let family = view.ancestors(&std::iter::once(&lot).collect())?;
        let mut grain = vec![lot];
        let (mut left_out, mut found) = (Vec::new(), Vec::new());
        for late in late_entries.into_iter().rev() {
            if let (Some(of), Some(made)) = (late.lot, late.new_lot)
                && family.holds(&view.lot_even_struck(&made.to_string())?)
            {
                grain.retain(|lot| lot.code != made);
                grain.push(view.lot_even_struck(&of.to_string())?);
            }
            left_out.push(late.entry);
            found.push(Self {
                late: late.entry,
                written: view.first_written_at(&late)?,
                left_out: left_out.clone(),
                grain: grain.clone(),
            });
        }
        Ok(found)
    }

    /// What the grain was when the entry was written, or when it left if that was before, with what is learned of it, and
    /// without entries that were not there yet.
    fn verdict(
        &self,
        view: View<'_>,
        left_at: Instant,
        learned: &[Event],
        not_yet: &[i64],
    ) -> anyhow::Result<Verdict> {
        let left_out: Vec<i64> = self.left_out.iter().chain(not_yet).copied().collect();
        let then = self.written.min(left_at);
        view.without(&left_out, |view| {
            let (mut finder, about) = (FactFinder::new(view)?, view.about());
            let mut worst = Verdict::Good;
            for lot in &self.grain {
                let mut histories = finder.histories(lot)?;
                for history in &mut histories {
                    // What a thermometer or a logger in the grain shows later tells of the time before, and nobody knew it then.
                    let is_later = |event: &Event| {
                        let is_shown = matches!(event.what, What::Read(_) | What::Logged(_));
                        is_shown && event.at > self.written
                    };
                    history.events.retain(|event| !is_later(event));
                    history.events.extend(learned.iter().cloned());
                }
                let was = keeping::assess_all(&histories, &about.rules, &about.zone, then);
                worst = worst.max(was.verdict);
            }
            Ok(worst)
        })
    }
}

/// What entries after one of this number tell of the grain itself: of a part it holds for the lot that it was split from,
/// had nobody split it.
fn learned(view: View<'_>, after: i64) -> anyhow::Result<Vec<Event>> {
    let event = |entry: EntryRecord| {
        let what = match entry.kind {
            EntryKind::Cooled => What::Cooled,
            EntryKind::Reading => What::Read(entry.temperature?),
            _ => return None,
        };
        Some(Event { at: entry.at, what })
    };
    let written = written_since(view, after)?;
    Ok(written.into_iter().filter_map(event).collect())
}

/// The entries up to one of this number that were written late about a lot, the grain it was made of and the places where
/// that lay. A correction is as late as what it corrects, unless that was written by a clock that ran ahead or named another lot or
/// place, or as what it goes back to; without its pickup there is no grain.
fn late_entries(view: View<'_>, by: i64, lot: &LotRecord) -> anyhow::Result<Vec<EntryRecord>> {
    let before = match lot.mash_out {
        Some(mash_out) => view.last_entry_by(mash_out)?,
        None => 0,
    };
    let files = view.logger_files_of(lot)?;
    let mut late = Vec::new();
    for entry in view.written_late((before, by), (lot, OF_NOW))? {
        let is_of_it = match entry.kind {
            EntryKind::Pickup => false,
            EntryKind::Readings => files.contains(&entry.entry),
            _ => true,
        };
        let first = view.first_of(&entry)?;
        let written = view.first_written_at(&entry)?;
        if is_of_it && written - begins(&first).min(begins(&entry)) > OF_NOW {
            late.push(entry);
        }
    }
    Ok(late)
}
