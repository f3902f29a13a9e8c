//! Strikes a wrong entry. It stays in the book and no longer counts.

use super::findings::told_of_findings;
use super::{counted_since, made_of, refuse_in_closed_place};
use crate::desk::draws::{JudgedDraw, Marks, OutflowsBefore};
use crate::desk::free_of::FreeOfBefore;
use crate::desk::guard::{self, Compare, Judged};
use crate::desk::notice::TakenBefore;
use crate::desk::{Answer, BakeWrittenDown, Desk, Notice, facts};
use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::ledger::refusal::NotStruck;
use crate::ledger::{
    Act, BakeEnd, BakeResult, BookRefusal, Detail, Drawn, EntryKind, EntryRecord, LogFilter,
    LotRecord, View,
};
use crate::quantity::Instant;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// Which entries are wrong.
pub struct Strike<'a> {
    /// Their numbers.
    pub entries: &'a [i64],
    /// Why they were wrong.
    pub reason: &'a str,
}

/// What striking did.
pub struct Struck {
    /// The entries that were struck, in the order of the request, each with the entry that strikes it.
    pub entries: Vec<(EntryRecord, i64)>,
    /// Entries of the same acts that were struck with them.
    pub with_them: Vec<EntryRecord>,
    /// Entries that count again, where a strike was struck.
    pub back: Vec<EntryRecord>,
    /// Entries that count no more, where a correction counts again that takes their place.
    pub out: Vec<EntryRecord>,
    /// What was used or given away when it was past or unknown, as is known since then.
    pub unusable: Vec<JudgedDraw>,
    /// Bakes that are done no more, as they were written down.
    pub bakes: Vec<BakeWrittenDown>,
}

impl Desk {
    /// Strikes entries, the newest first. Like a correction it may make past grain usable again, since it corrects a
    /// history, with the reason; but what counts again because its strike was struck is guarded as if it were written
    /// anew: a correction as a correction.
    pub fn strike(&mut self, request: &Strike<'_>) -> anyhow::Result<Answer<Struck>> {
        let now = self.now;
        let newest_first: BTreeSet<Reverse<i64>> =
            request.entries.iter().copied().map(Reverse).collect();
        let ((done, told), lacking) = self.act(Compare::Promises, |act| {
            let as_of = guard::judged_as_of(act.view(), now)?;
            let judged = guard::judge_all(act.view(), as_of)?;
            let held = guard::held(act.view(), as_of)?;
            let mut touched = Vec::new();
            for entry in request.entries {
                touched.extend(lots_touched(act.view(), &act.view().entry(*entry)?)?);
            }
            let free_of = FreeOfBefore::of(act.view(), touched)?;
            let mut done = Struck {
                entries: Vec::new(),
                with_them: Vec::new(),
                back: Vec::new(),
                out: Vec::new(),
                unusable: Vec::new(),
                bakes: Vec::new(),
            };
            let mut gone_out = Vec::new();
            let mut in_place_of = BTreeMap::new();
            for Reverse(entry) in &newest_first {
                if let Some(by) = act.view().in_place_of(*entry)? {
                    in_place_of.insert(*entry, by);
                }
            }
            for Reverse(entry) in &newest_first {
                // A newer one of the request may have taken it with it.
                if numbers(&done.with_them).contains(entry) {
                    continue;
                }
                if let Some(by) = in_place_of.get(entry) {
                    refuse_gone_with_bake(act.view(), (*entry, *by), request.entries)?;
                }
                gone_out.push(strike_one(act, (*entry, as_of), request.reason, &mut done)?);
            }
            // What counted again may have been struck next, or was struck or amended before; what came and went is as it was.
            let (back, out) = (numbers(&done.back), numbers(&done.out));
            done.back = records(act.view(), &back)?;
            done.back.retain(|entry| {
                entry.says_something_in_force()
                    && entry.lot_struck_by.is_none()
                    && !out.contains(&entry.entry)
            });
            done.out.retain(|entry| !back.contains(&entry.entry));
            done.entries.sort_by_key(|(entry, _)| {
                request.entries.iter().position(|one| *one == entry.entry)
            });
            let is_open = |bake: &BakeWrittenDown| -> anyhow::Result<bool> {
                Ok(act.view().bake(&bake.bake.to_string())?.end.is_none())
            };
            for bake in std::mem::take(&mut done.bakes) {
                if is_open(&bake)? {
                    done.bakes.push(bake);
                }
            }
            let still_used = still_used_for(act.view(), &done.bakes)?;
            let judged_now = guard::judge_all(act.view(), as_of)?;
            let corrects =
                |entry: &EntryRecord| done.out.iter().any(|out| entry.amends == Some(out.entry));
            let corrections: Vec<&EntryRecord> =
                done.back.iter().filter(|entry| corrects(entry)).collect();
            if done
                .entries
                .iter()
                .any(|(entry, _)| entry.kind == EntryKind::Strike)
            {
                if corrections.len() < done.back.len() {
                    let was = without_used_up(&judged, &judged_now, &done.back);
                    guard::refuse_revived(&was, &judged_now)?;
                }
                for entry in &done.back {
                    refuse_unusable_then(act, entry)?;
                }
            }
            let mut marks = Marks::default();
            for one in gone_out {
                marks.add(one.marks(act.view())?);
            }
            if let Some(Reverse(oldest)) = newest_first.last() {
                let corrected = corrections.iter().filter_map(|by| by.amends);
                let since = corrected.fold(*oldest, i64::min);
                guard::refuse_late_since(act.view(), since, &judged, &judged_now)?;
                guard::refuse_cleared_late_since(act.view(), since, &marks.cleared)?;
            }
            for correction in &corrections {
                guard::refuse_moved_back(act.view(), correction, &judged, &judged_now)?;
            }
            let (again, verdicts) = ((&corrections[..], as_of), (&judged, &judged_now));
            guard::refuse_corrected_again(act.view(), again, verdicts, &marks.cleared)?;
            let mut told = guard::judged_otherwise(&judged, &judged_now, None);
            told.extend(still_used);
            let struck = done.entries.iter().map(|(entry, _)| entry);
            let gone: Vec<_> = struck.chain(&done.with_them).chain(&done.out).collect();
            told.extend(told_of_findings(act, &done.back, &gone, verdicts)?);
            let gone = done.entries.iter().map(|(entry, by)| (entry, *by));
            told.extend(guard::better_by_clock(act.view(), (as_of, now), gone)?);
            for entry in done
                .entries
                .iter()
                .map(|(entry, _)| entry)
                .chain(&done.with_them)
            {
                for lot in lots_touched(act.view(), entry)? {
                    refuse_in_closed_place(act.view(), &lot, now)?;
                }
                let Some(lot) = entry.lot else { continue };
                let lot = act.view().lot_even_struck(&lot.to_string())?;
                if entry.wet.is_some() || entry.kind == EntryKind::Count {
                    told.extend(counted_since(act.view(), &lot, entry.at)?);
                }
            }
            let holds = guard::held(act.view(), as_of)?;
            let (was, is) = ((&judged, &held), (&judged_now, &holds));
            told.extend(made_of::on_hand_again(act.view(), was, is, None)?);
            told.extend(usable_apart(&done, &judged, &judged_now));
            told.extend(guard::usable_elsewhere(act.view(), was, is, &told)?);
            told.extend(free_of.told(act.view())?);
            told.extend(marks.notices());
            done.unusable = marks.set;
            Ok((done, told))
        })?;
        let discards = done
            .entries
            .iter()
            .filter(|(entry, _)| entry.kind == EntryKind::Discard && entry.amends.is_none());
        let taken_back: Vec<_> = discards
            .map(|(entry, _)| Notice::BackInStock(entry.ending))
            .collect();
        let bakes: Vec<_> = done
            .bakes
            .iter()
            .map(|bake| Notice::BakeStruck(Box::new(bake.clone())))
            .collect();
        let was_correction = done.entries.iter().any(|(entry, _)| entry.amends.is_some());
        let instead: Vec<_> = done
            .back
            .iter()
            .filter(|_| was_correction)
            .map(|entry| Notice::CountsAgainInstead(entry.entry))
            .collect();
        Ok(Answer::new(done, Vec::new())
            .with_notices(lacking)
            .with_notices(told)
            .with_notices(instead)
            .with_notices(taken_back)
            .with_notices(bakes))
    }
}

/// What entries of older books took for these bakes, which they name in words: it counts though the bakes are done no more.
fn still_used_for(view: View<'_>, bakes: &[BakeWrittenDown]) -> anyhow::Result<Vec<Notice>> {
    if bakes.is_empty() {
        return Ok(Vec::new());
    }
    let uses = view.uses_in_words()?;
    let of_bake = |bake: &BakeWrittenDown| {
        let uses = uses.iter().filter(|one| one.bake == bake.bake);
        let draws = uses.map(|one| Drawn {
            entry: one.entry,
            lot: one.lot.code,
            wet: one.wet,
            at: one.at,
            bake: None,
        });
        let taken = TakenBefore {
            bake: bake.bake,
            draws: draws.collect(),
        };
        (!taken.draws.is_empty()).then_some(Notice::TakenBefore(taken))
    };
    Ok(bakes.iter().filter_map(of_bake).collect())
}

/// Refuses corrected grain of a bake which this act struck before: what counts in its place went back with the bake, and
/// then it went too.
fn refuse_gone_with_bake(
    view: View<'_>,
    (entry, by): (i64, i64),
    asked: &[i64],
) -> anyhow::Result<()> {
    let record = view.entry(entry)?;
    let (Some(bake), Some(_)) = (record.bake, record.struck_by) else {
        return Ok(());
    };
    let mut strike = asked.to_vec();
    strike.retain(|one| *one != entry);
    let why = NotStruck::GrainWithBake { bake, by, strike };
    Err(BookRefusal::NotStruck { entry, why }.into())
}

/// Strikes one entry; gives what had gone out of the lots that it bears on.
fn strike_one(
    act: &mut Act<'_>,
    (entry, as_of): (i64, Instant),
    reason: &str,
    done: &mut Struck,
) -> anyhow::Result<OutflowsBefore> {
    let record = act.view().entry(entry)?;
    let gone_out = gone_out_of_touched(act.view(), &record, as_of)?;
    if let Some((bake, result)) = done_bake(act.view(), &record)?
        && done.bakes.iter().all(|known| known.bake != bake)
    {
        done.bakes.push(BakeWrittenDown::of(bake, &result));
    }
    let struck = act.strike(entry, reason)?;
    let view = act.view();
    done.with_them.extend(records(view, &struck.with_it)?);
    done.back.extend(records(view, &struck.back)?);
    done.out.extend(records(view, &struck.out)?);
    done.entries.push((record, struck.entry));
    Ok(gone_out)
}

/// Lots that may be used by themselves, where together they might not.
fn usable_apart(done: &Struck, before: &Judged, after: &Judged) -> Vec<Notice> {
    let struck = done.entries.iter().map(|(entry, _)| entry);
    let joins = struck
        .chain(&done.with_them)
        .filter(|entry| entry.kind == EntryKind::Join);
    let mut apart: Vec<Notice> = Vec::new();
    for told in joins.filter_map(|entry| {
        let (lot, joined) = (entry.lot?, entry.new_lot?);
        let was = before.get(&joined)?.verdict;
        let is = after.get(&lot)?.verdict;
        (!was.may_be_used() && is.may_be_used()).then_some(Notice::UsableApart {
            lot,
            joined,
            was,
            is,
        })
    }) {
        // A join may be struck with its corrections.
        if !apart.contains(&told) {
            apart.push(told);
        }
    }
    apart
}

fn numbers(entries: &[EntryRecord]) -> Vec<i64> {
    entries.iter().map(|entry| entry.entry).collect()
}

/// The entries of these numbers, as they stand now.
fn records(view: View<'_>, entries: &[i64]) -> anyhow::Result<Vec<EntryRecord>> {
    entries.iter().map(|entry| view.entry(*entry)).collect()
}

/// The lots that an entry is about, and of a correction the one that was named before; of a done bake those of its grain.
pub(super) fn lots_of(view: View<'_>, entry: &EntryRecord) -> anyhow::Result<Vec<LotRecord>> {
    if let Some((_, result)) = done_bake(view, entry)? {
        return Ok(result.draws.into_iter().map(|(lot, _)| lot).collect());
    }
    // Of one that is done no more, those of the grain that went back with it.
    if entry.kind == EntryKind::Baked {
        let took = view.log(&LogFilter {
            bake: entry.bake,
            kind: Some(EntryKind::Use),
            ..LogFilter::default()
        })?;
        let codes: BTreeSet<LotCode> = took.iter().filter_map(|used| used.lot).collect();
        let lots = codes
            .into_iter()
            .map(|lot| view.lot_even_struck(&lot.to_string()));
        return lots.collect();
    }
    // What a correction takes the place of may be about another lot.
    let before = match entry.amends {
        Some(amended) => view.entry(amended)?.lot,
        None => None,
    };
    [entry.lot, entry.new_lot, before]
        .into_iter()
        .flatten()
        .map(|code| view.lot_even_struck(&code.to_string()))
        .collect()
}

/// The lots that an entry is about; of a strike those of what it struck, which it may bring back.
fn lots_touched(view: View<'_>, entry: &EntryRecord) -> anyhow::Result<Vec<LotRecord>> {
    match entry.strikes {
        Some(struck) => lots_touched(view, &view.entry(struck)?),
        None => lots_of(view, entry),
    }
}

/// What a bake came to, where an entry says that it is done.
fn done_bake(
    view: View<'_>,
    entry: &EntryRecord,
) -> anyhow::Result<Option<(BakeCode, Box<BakeResult>)>> {
    let Some(bake) = entry.bake.filter(|_| entry.kind == EntryKind::Baked) else {
        return Ok(None);
    };
    Ok(match view.bake(&bake.to_string())?.end {
        Some(BakeEnd::Done(result)) => Some((bake, result)),
        _ => None,
    })
}

/// What went out of the lots that an entry bears on: of a place or a logger's file all that lay there since.
fn gone_out_of_touched(
    view: View<'_>,
    entry: &EntryRecord,
    now: Instant,
) -> anyhow::Result<OutflowsBefore> {
    let from = match &entry.detail {
        Detail::Setting(setting) => setting.from,
        Detail::Readings(file) => file.from,
        // A strike brings back what it struck.
        _ => match entry.strikes {
            Some(struck) => return gone_out_of_touched(view, &view.entry(struck)?, now),
            None => return OutflowsBefore::of(view, lots_of(view, entry)?),
        },
    };
    let Some(name) = &entry.place else {
        return OutflowsBefore::of(view, Vec::new());
    };
    let place = view.place(name)?;
    let from = match entry.kind {
        EntryKind::Readings => view.bear_from(&place, from)?,
        _ => from,
    };
    OutflowsBefore::of_place(view, &place, (from, now))
}

/// What was judged before, but for lots that are used up by entries which count again: none of that grain is on hand, so none is
/// better for it. Where some of it became another lot, that may be.
fn without_used_up(before: &Judged, after: &Judged, back: &[EntryRecord]) -> Judged {
    let is_used_up = |lot: &LotCode| {
        let mut of_it = back
            .iter()
            .filter(|entry| entry.lot == Some(*lot))
            .peekable();
        !after.contains_key(lot)
            && of_it.peek().is_some()
            && of_it.all(|entry| {
                matches!(
                    entry.kind,
                    EntryKind::Use | EntryKind::Give | EntryKind::Discard
                )
            })
    };
    let others = before.iter().filter(|(lot, _)| !is_used_up(lot));
    others
        .map(|(lot, keeping)| (*lot, keeping.clone()))
        .collect()
}

/// Refuses grain that goes into a dough, to people or into another lot by an entry that counts again, as when it is
/// written anew: what left before the book knew that it was past counts, and is marked.
fn refuse_unusable_then(act: &Act<'_>, entry: &EntryRecord) -> anyhow::Result<()> {
    let Some(code) = entry.lot else { return Ok(()) };
    match entry.kind {
        // A correction is booked and marked whatever the grain was.
        EntryKind::Use | EntryKind::Give if entry.amends.is_some() => {}
        EntryKind::Use | EntryKind::Give => {
            let lot = act.view().lot(&code.to_string())?;
            guard::handed_out(act, &lot, entry.at)?;
        }
        EntryKind::Join => {
            let lot = act.view().lot(&code.to_string())?;
            guard::refuse_unusable(&facts::answer_at(act.view(), lot, entry.at)?)?;
        }
        // Each by its name, so that a new kind has to be thought of here.
        EntryKind::Pickup
        | EntryKind::Move
        | EntryKind::Part
        | EntryKind::Discard
        | EntryKind::Treat
        | EntryKind::Count
        | EntryKind::Reading
        | EntryKind::Cooled
        | EntryKind::Activity
        | EntryKind::Moisture
        | EntryKind::Spoiled
        | EntryKind::Place
        | EntryKind::Readings
        | EntryKind::Bake
        | EntryKind::Baked
        | EntryKind::Drop
        | EntryKind::Plan
        | EntryKind::Setting
        | EntryKind::Source
        | EntryKind::Strike => {}
    }
    Ok(())
}
