//! Entries that made lots: how they are struck and done again.

use crate::desk::acts::made_of::of_lot;
use crate::desk::{HowMade, MadeAgain, Refusal};
use crate::ledger::{Act, Detail, EntryKind, EntryRecord, View};
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
        _ => {
            let wet = entry.wet.context("nothing was weighed")?;
            let of = Vec::from_iter(entry.lot);
            let how = match is_one_of_several(view, entry)? {
                true => HowMade::Portion(wet),
                false => HowMade::Move(wet),
            };
            (how, of)
        }
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

/// Whether a part was weighed out with others in one act, which a move does not do.
fn is_one_of_several(view: View<'_>, entry: &EntryRecord) -> anyhow::Result<bool> {
    let Some(lot) = entry.lot else {
        return Ok(false);
    };
    let written = |one: &EntryRecord| (one.kind, one.lot, one.at, one.recorded_at);
    let mut beside = of_lot(view, lot)?.into_iter();
    Ok(beside.any(|one| one.entry != entry.entry && written(&one) == written(entry)))
}
