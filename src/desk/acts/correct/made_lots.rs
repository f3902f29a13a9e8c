//! Entries that made lots: how they are struck and done again, and that what they took stands in the way of a smaller pickup.

use crate::desk::{HowMade, JoinedMore, MadeAgain, Refusal};
use crate::grain::LotCode;
use crate::ledger::{self, Act, Detail, EntryKind, EntryRecord, LogFilter, View};
use crate::quantity::Milligrams;
use anyhow::Context;

/// The refusal to correct a field of an entry that made a lot, with how it is struck and done again.
pub fn made_again(
    act: &Act<'_>,
    entry: &EntryRecord,
    field: &'static str,
) -> anyhow::Result<Refusal> {
    Ok(Refusal::MakesALot {
        entry: entry.entry,
        kind: entry.kind,
        field,
        again: Box::new(again(act, entry)?),
    })
}

/// The error of a pickup that would be less than was taken of its lot, with where the grain is by now. Any other error
/// stays as it is.
pub fn held_by_others(
    act: &Act<'_>,
    error: anyhow::Error,
    pickup: &EntryRecord,
    wet: Milligrams,
) -> anyhow::Result<anyhow::Error> {
    let Some(Refusal::Book(ledger::BookRefusal::WouldOverdraw { lot, by })) = Refusal::of(&error)
    else {
        return Ok(error);
    };
    let mut held_by = Vec::new();
    let mut joined = None;
    for made in of_lot(act.view(), lot)? {
        let Some(product) = made.new_lot.filter(|product| *product != lot) else {
            continue;
        };
        if let Some(holder) = holder(act.view(), product)?
            && !held_by.contains(&holder)
        {
            held_by.push(holder);
        }
        // Less of it went in, and not nothing.
        let went_in = made.wet.and_then(|taken| taken.taken(by));
        if let Some(went_in) = went_in.filter(|rest| *rest > Milligrams::ZERO)
            && made.kind == EntryKind::Join
        {
            joined = Some(JoinedMore {
                join: made.entry,
                went_in,
                pickup: pickup.entry,
                came: wet,
            });
        }
    }
    if held_by.is_empty() && joined.is_none() {
        return Ok(error);
    }
    Ok(Refusal::HeldByOthers {
        lot,
        by,
        held_by,
        joined,
    }
    .into())
}

/// Entries in force of a lot.
fn of_lot(view: View<'_>, code: LotCode) -> anyhow::Result<Vec<EntryRecord>> {
    let lot = view.lot(&code.to_string())?;
    let mut entries = view.log(&LogFilter {
        lot: Some(&lot),
        ..LogFilter::default()
    })?;
    entries.retain(EntryRecord::says_something_in_force);
    Ok(entries)
}

/// The lot on hand that holds the grain of one: itself, or the one that it was joined into.
fn holder(view: View<'_>, code: LotCode) -> anyhow::Result<Option<LotCode>> {
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

/// How an entry that made a lot is struck and done again.
fn again(act: &Act<'_>, entry: &EntryRecord) -> anyhow::Result<MadeAgain> {
    let (view, made) = (act.view(), entry.new_lot.context("no lot was made")?);
    let (how, of) = match (&entry.detail, entry.kind) {
        (Detail::Treated(record), _) => (
            HowMade::Treat(record.treatment, record.lasted),
            Vec::from_iter(entry.lot),
        ),
        (_, EntryKind::Join) => {
            let parts = of_lot(view, made)?.into_iter();
            let parts = parts.filter(|part| part.new_lot == Some(made));
            (HowMade::Join, parts.filter_map(|part| part.lot).collect())
        }
        _ => (
            HowMade::Part(entry.wet.context("nothing was weighed")?),
            Vec::from_iter(entry.lot),
        ),
    };
    let mut strike = act.stands_on_entry(entry.entry)?;
    // What it takes the place of counts again, and goes too.
    strike.extend(act.corrections_of(entry.entry)?);
    for lot in &of {
        // Where a lot was moved since, nothing can be made of it at an earlier time.
        let moves = of_lot(view, *lot)?.into_iter();
        let later = moves.filter(|one| one.kind == EntryKind::Move && one.at > entry.at);
        strike.extend(later.map(|one| one.entry));
    }
    strike.sort_unstable_by_key(|entry| std::cmp::Reverse(*entry));
    strike.dedup();
    Ok(MadeAgain {
        strike,
        made,
        of,
        how,
        place: entry.place.clone().context("no place is named")?,
        at: entry.at,
    })
}
