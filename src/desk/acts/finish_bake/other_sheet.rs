//! What an older sheet of a done bake said: somebody may have printed it before the book changed, and worked by it.

use super::{FinishBake, Mixed, result};
use crate::desk::notice::{OtherSheet, SheetChange};
use crate::desk::{Notice, sheet_time};
use crate::ledger::{BakeResult, EntryKind, EntryRecord, LogFilter, LotRecord, View};
use crate::quantity::Milligrams;
use crate::report::bake::BakeAnswer;
use chrono::Duration;
use std::cmp::Reverse;

/// No sheet is printed longer before its dough is mixed: our choice.
const PRINTED_BEFORE: Duration = Duration::hours(24);

/// The last change of the book in that time by which the sheet said other water than before; nothing where none did, or where
/// it is given what the paper said. The entry of the bake is written later, and named then.
pub(super) fn told(
    request: &FinishBake<'_>,
    planned: &BakeAnswer,
    view: View<'_>,
    (mixed, done): (Mixed, &BakeResult),
) -> anyhow::Result<Option<Notice>> {
    if request.said.is_some() {
        return Ok(None);
    }
    let since = view.last_entry_by(mixed.at - PRINTED_BEFORE)?;
    let sheet = sheet_time::last_known(view, planned, mixed.at)?;
    let mut changes = changes(view, planned, on_sheet(done))?;
    changes.retain(|(entry, _)| since < *entry && *entry <= sheet);
    changes.sort_by_key(|(entry, _)| Reverse(*entry));
    let recorded = (done.measured.said_pour, done.measured.said_hold);
    for (entry, change) in changes {
        let before = match change {
            // How much was left then is known, and not which water a sheet said of it.
            SheetChange::Weight(lot) => {
                let grain = on_sheet(done).iter().find(|(drawn, _)| drawn.code == lot);
                let Some((lot, wet)) = grain else { continue };
                let step = request.scales.in_house(&view.house()?).coarse;
                if !is_all_there_is(view, (lot, *wet, step), entry)? {
                    continue;
                }
                None
            }
            SheetChange::Moisture(_) | SheetChange::Bake(_) => {
                let is = water(request, view, mixed, entry);
                match water(request, view, mixed, entry - 1) {
                    Some(was) if Some(was) != is && was != recorded => Some(was),
                    _ => continue,
                }
            }
        };
        return Ok(Some(Notice::OtherSheet(OtherSheet {
            change,
            at: view.written_at(entry)?,
            before,
            entry: 0,
        })));
    }
    Ok(None)
}

/// The grain of the sheet, or what was used where the sheet had none.
fn on_sheet(done: &BakeResult) -> &[(LotRecord, Milligrams)] {
    match done.sheet_grain.as_slice() {
        [] => done.draws.as_slice(),
        grain => grain,
    }
}

/// Entries by which the moisture or the weight of its lots changed, or what the bake is to be.
fn changes(
    view: View<'_>,
    planned: &BakeAnswer,
    grain: &[(LotRecord, Milligrams)],
) -> anyhow::Result<Vec<(i64, SheetChange)>> {
    // What was struck or corrected changed by that.
    let by = |entry: &EntryRecord| {
        let taken_out = entry.struck_by.or(entry.amended_by);
        taken_out.unwrap_or(entry.entry)
    };
    let mut found = Vec::new();
    for (lot, _) in grain {
        for number in view.ancestors(&std::iter::once(lot).collect())?.as_slice() {
            let tested = view.lot_of_number(*number)?;
            for entry in view.log(&LogFilter {
                lot: Some(&tested),
                ..LogFilter::default()
            })? {
                if entry.kind == EntryKind::Moisture {
                    found.push((by(&entry), SheetChange::Moisture(lot.code)));
                } else if entry.kind.moves_grain() && tested.code == lot.code {
                    found.push((by(&entry), SheetChange::Weight(lot.code)));
                }
            }
        }
    }
    let stated = view.log(&LogFilter {
        bake: Some(planned.bake.code),
        kind: Some(EntryKind::Bake),
        ..LogFilter::default()
    })?;
    let stated = stated.iter().map(by);
    found.extend(stated.map(|entry| (entry, SheetChange::Bake(planned.bake.code))));
    Ok(found)
}

/// Whether an entry changed how much was left of a lot, and the sheet before or after it took all of that, to a step of the
/// scale.
fn is_all_there_is(
    view: View<'_>,
    (lot, wet, step): (&LotRecord, Milligrams, Milligrams),
    entry: i64,
) -> anyhow::Result<bool> {
    let was = view.left_when_written(lot, entry - 1)?;
    let is = view.left_when_written(lot, entry)?;
    // Of grain that had not come there was no sheet.
    Ok(was > Milligrams::ZERO && was != is && was.min(is).get() < wet.get() + step.get())
}

/// The water that a sheet said to pour first and to hold back after the entry of this number; nothing where the book knew
/// nothing yet of the bake or its grain.
fn water(
    request: &FinishBake<'_>,
    view: View<'_>,
    mixed: Mixed,
    newest: i64,
) -> Option<(Milligrams, Milligrams)> {
    let then = view.as_it_stood(newest, |then| {
        let planned = BakeAnswer::of(then.bake(request.bake)?)?;
        let (of_sheet, _) = result(request, &planned, then, mixed)?;
        for (lot, _) in on_sheet(&of_sheet) {
            if !then.had_come_as_known(lot)? {
                return Ok(None);
            }
        }
        let measured = of_sheet.measured;
        Ok(Some((measured.said_pour, measured.said_hold)))
    });
    then.ok().flatten()
}
