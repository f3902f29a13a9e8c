//! What took grain of a lot into others: that it is put right first, and that grain is on hand again after it took all.

use super::Correction;
use crate::desk::facts::FactFinder;
use crate::desk::guard::{Held, Judged};
use crate::desk::{CorrectFirst, CorrectThen, Notice, OnHandAgain, Refusal, WentInToo};
use crate::grain::{LotCode, Treatment};
use crate::ledger::{Act, BookRefusal, Detail, EntryKind, EntryRecord, LogFilter, LotRecord, View};
use crate::quantity::{Instant, Milligrams};

/// Entries in force of a lot.
pub(super) fn of_lot(view: View<'_>, code: LotCode) -> anyhow::Result<Vec<EntryRecord>> {
    let lot = view.lot(&code.to_string())?;
    let mut entries = view.log(&LogFilter {
        lot: Some(&lot),
        ..LogFilter::default()
    })?;
    entries.retain(EntryRecord::says_something_in_force);
    Ok(entries)
}

/// Those that made another lot of its grain, the newest first.
pub(super) fn makings_of(view: View<'_>, code: LotCode) -> anyhow::Result<Vec<EntryRecord>> {
    let mut makings = of_lot(view, code)?;
    makings.retain(|made| {
        made.kind.makes_lot()
            && made.lot == Some(code)
            && made.new_lot.is_some_and(|product| product != code)
    });
    makings.reverse();
    Ok(makings)
}

/// The lot on hand that holds the grain of one: itself, or the one that it was joined into.
pub(super) fn holder(view: View<'_>, code: LotCode) -> anyhow::Result<Option<LotCode>> {
    let lot = view.lot(&code.to_string())?;
    if view.left(&lot)?.is_some() {
        return Ok(Some(code));
    }
    let joined = view.joined_into(&lot)?;
    Ok(match joined {
        Some(joined) if view.left(&joined)?.is_some() => Some(joined.code),
        _ => None,
    })
}

/// The error of a correction by which less would come into a lot than was taken of it, with where the grain is by now and
/// what to correct first. Any other error stays as it is.
pub(super) fn held_by_others(
    act: &Act<'_>,
    error: anyhow::Error,
    entry: &EntryRecord,
    right: &Correction<'_>,
) -> anyhow::Result<anyhow::Error> {
    let Some(Refusal::Book(BookRefusal::WouldOverdraw { lot, by })) = Refusal::of(&error) else {
        return Ok(error);
    };
    let came_by_it = match entry.kind {
        EntryKind::Pickup => entry.lot,
        _ => entry.new_lot,
    };
    let masses = [
        ("wet", right.wet),
        ("wet_out", right.wet_out),
        ("water_added", right.water_added),
        ("left_behind", right.left_behind),
        ("dry_loss", right.dry_loss),
    ];
    let masses: Vec<_> = masses
        .into_iter()
        .filter_map(|(field, mass)| Some((field, mass?)))
        .collect();
    if came_by_it != Some(lot) || masses.is_empty() {
        return Ok(error);
    }
    let mut held_by = Vec::new();
    for made in makings_of(act.view(), lot)?.iter().rev() {
        if let Some(product) = made.new_lot
            && let Some(holder) = holder(act.view(), product)?
            && !held_by.contains(&holder)
        {
            held_by.push(holder);
        }
    }
    let first = corrected_first(act.view(), lot, (by, None))?;
    if held_by.is_empty() && first.is_empty() {
        return Ok(error);
    }
    let then = CorrectThen {
        entry: entry.entry,
        kind: entry.kind,
        masses,
    };
    let correct = (!first.is_empty()).then_some(CorrectFirst {
        first,
        then: Some(then),
    });
    Ok(Refusal::HeldByOthers {
        lot,
        by,
        held_by,
        correct,
    }
    .into())
}

/// The error of grain that is written down late and is not there any more, with what to correct first where an entry since
/// then took it into another lot. Any other error stays as it is.
pub(super) fn went_on(
    act: &Act<'_>,
    error: anyhow::Error,
    lot: &LotRecord,
    (wet, at): (Milligrams, Instant),
) -> anyhow::Result<anyhow::Error> {
    let Some(Refusal::Book(refused)) = Refusal::of(&error) else {
        return Ok(error);
    };
    let by = match refused {
        BookRefusal::NothingLeft(_) => Some(wet),
        BookRefusal::MoreThanLeft { left, wanted, .. } => wanted.taken(left),
        _ => None,
    };
    let Some(by) = by else {
        return Ok(error);
    };
    let first = corrected_first(act.view(), lot.code, (by, Some(at)))?;
    if first.is_empty() {
        return Ok(error);
    }
    let correct = CorrectFirst { first, then: None };
    Ok(Refusal::WentOn(Box::new((refused, correct))).into())
}

/// What to correct, in this order, so that so much more stays of a lot: what made others of its grain, from a moment on where
/// one is given, each with its wet mass then. Nothing where no single one of them can give it back.
fn corrected_first(
    view: View<'_>,
    code: LotCode,
    (by, from): (Milligrams, Option<Instant>),
) -> anyhow::Result<Vec<(i64, Milligrams)>> {
    for made in makings_of(view, code)? {
        if from.is_some_and(|from| made.at < from) {
            continue;
        }
        let (Some(rest), Some(product)) = (rest_of(view, &made, by)?, made.new_lot) else {
            continue;
        };
        let missing = match made.kind {
            // What came out of it was weighed, and stays.
            EntryKind::Treat => None,
            _ => {
                let left = view.left(&view.lot(&product.to_string())?)?;
                by.taken(left.unwrap_or_default())
            }
        };
        let mut first = Vec::new();
        if let Some(missing) = missing.filter(|missing| *missing > Milligrams::ZERO) {
            first = corrected_first(view, product, (missing, None))?;
            if first.is_empty() {
                continue;
            }
        }
        first.push((made.entry, rest));
        return Ok(first);
    }
    Ok(Vec::new())
}

/// What would have gone into what an entry made if it was so much less; nothing where it cannot have been.
fn rest_of(
    view: View<'_>,
    made: &EntryRecord,
    by: Milligrams,
) -> anyhow::Result<Option<Milligrams>> {
    let rest = made.wet.and_then(|taken| taken.taken(by));
    let Some(wet_in) = rest.filter(|rest| *rest > Milligrams::ZERO) else {
        return Ok(None);
    };
    if let (Detail::Treated(record), Some(lot)) = (&made.detail, made.lot) {
        let less = Treatment {
            wet_in,
            ..record.treatment
        };
        let before = FactFinder::new(view)?.estimate(&view.lot(&lot.to_string())?)?;
        if less.refuse_impossible(&before).is_err() {
            return Ok(None);
        }
    }
    Ok(Some(wet_in))
}

/// What is to be told of lots of which an act brings grain back: all of it had been treated, joined or parted off, or it may
/// not be used and nothing else says so. What the act itself corrected is not corrected back.
pub(super) fn on_hand_again(
    view: View<'_>,
    (before, held): (&Judged, &Held),
    (after, holds): (&Judged, &Held),
    corrected: Option<&EntryRecord>,
) -> anyhow::Result<Vec<Notice>> {
    let may_be_used = |judged: &Judged, code: LotCode| {
        let keeping = judged.get(&code);
        keeping.is_some_and(|keeping| keeping.verdict.may_be_used())
    };
    let wet = |held: &Held, code: &LotCode| held.get(code).copied().unwrap_or_default();
    let is_corrected = |made: &EntryRecord| {
        corrected.is_some_and(|by| by.kind.makes_lot() && by.new_lot == made.new_lot)
    };
    // The answer to a correction shows this lot with its verdict.
    let shown = corrected.and_then(|by| by.new_lot.or(by.lot));
    let mut told = Vec::new();
    for (code, is) in after {
        let (had, left) = (wet(held, code), wet(holds, code));
        let Some(more) = left.taken(had).filter(|more| *more > Milligrams::ZERO) else {
            continue;
        };
        let made = took_all(view, *code, had)?;
        let is_judged_elsewhere = shown == Some(*code) || may_be_used(before, *code);
        if made.is_none() && (is.verdict.may_be_used() || is_judged_elsewhere) {
            continue;
        }
        let mut too = None;
        if let Some(made) = &made
            && let (Some(product), Some(went_in)) = (made.new_lot, made.wet)
            && let Some(holder) = holder(view, product)?
            && !is_corrected(made)
            && is.verdict.may_be_used()
            && may_be_used(after, holder)
        {
            too = went_in.checked_add(left).map(|wet| WentInToo {
                product,
                entry: made.entry,
                wet,
            });
        }
        told.push(Notice::OnHandAgain(OnHandAgain {
            lot: *code,
            left,
            more,
            verdict: is.verdict,
            by: made.map(|made| made.kind),
            too,
        }));
    }
    Ok(told)
}

/// What made another lot of all that was left of one, where nothing was taken of it since, be it struck by now: else it is not
/// that act from which grain is back. Of a lot of which something was on hand before, only what left nothing when it was
/// written: else the rest of it would count as grain that is back.
fn took_all(view: View<'_>, code: LotCode, had: Milligrams) -> anyhow::Result<Option<EntryRecord>> {
    let lot = view.lot(&code.to_string())?;
    let entries = view.log(&LogFilter {
        lot: Some(&lot),
        ..LogFilter::default()
    })?;
    let mut newest: i64 = 0;
    for took in entries.iter().filter(|one| one.lot == Some(code)) {
        if took.kind.weighs_out() {
            newest = newest.max(view.first_of(took)?.entry);
        }
    }
    for made in makings_of(view, code)? {
        let written = view.first_of(&made)?.entry;
        if written == newest
            && (had == Milligrams::ZERO
                || view.left_when_written(&lot, written)? == Milligrams::ZERO)
        {
            return Ok(Some(made));
        }
    }
    Ok(None)
}
