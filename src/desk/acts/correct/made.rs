//! Entries that made lots, put right: the lot that was made keeps its code and form.

use super::Correction;
use crate::desk::acts::moisture_test::refuse_drier_than_weights;
use crate::desk::acts::was_frozen;
use crate::desk::facts::FactFinder;
use crate::desk::{MissingField, Refusal};
use crate::grain::{Step, Treatment};
use crate::ledger::{Detail, EntryKind, EntryRecord, LogFilter, LotRecord, View};
use crate::quantity::Temperature;

/// How many minutes a treatment took and how warm it was, where that was said.
type Lasted = Option<(u32, Temperature)>;

/// A treatment as it is right, where an entry is of one. Weights that cannot be of one treatment of that grain are refused.
pub fn treated(
    view: View<'_>,
    old: &EntryRecord,
    lot: &LotRecord,
    right: &Correction<'_>,
) -> anyhow::Result<Option<(Treatment, Lasted)>> {
    let Detail::Treated(record) = &old.detail else {
        return Ok(None);
    };
    let was = record.treatment;
    let is = Treatment {
        step: was.step,
        wet_in: right.wet.unwrap_or(was.wet_in),
        wet_out: right.wet_out.unwrap_or(was.wet_out),
        water: right.water_added.unwrap_or(was.water),
        left: right.left_behind.unwrap_or(was.left),
        dry_loss: right.dry_loss.unwrap_or(was.dry_loss),
    };
    if is != was {
        is.refuse_impossible(&FactFinder::new(view)?.estimate(lot)?)
            .map_err(Refusal::ImpossibleWeights)?;
    }
    if right.minutes == Some(0) && right.temp.is_none() {
        // A drying is never without it, and grain from a freezer takes hours to thaw, which count.
        let is_needed = match was.step {
            Step::Dry => true,
            Step::Mill => false,
            _ => was_frozen(view, lot, old.at)?,
        };
        if is_needed {
            return Err(Refusal::HalfTimed(old.entry, MissingField::Minutes).into());
        }
        return Ok(Some((is, None)));
    }
    Ok(Some((is, lasted(old.entry, record.lasted, right)?)))
}

fn lasted(entry: i64, was: Lasted, right: &Correction<'_>) -> Result<Lasted, Refusal> {
    let minutes = right.minutes.or(was.map(|(minutes, _)| minutes));
    let minutes = minutes.filter(|minutes| *minutes > 0);
    let warm = right.temp.or(was.map(|(_, warm)| warm));
    match (minutes, warm) {
        (Some(minutes), Some(warm)) => Ok(Some((minutes, warm))),
        (None, None) => Ok(None),
        (Some(_), None) => Err(Refusal::HalfTimed(entry, MissingField::Temperature)),
        (None, Some(_)) => Err(Refusal::HalfTimed(entry, MissingField::Minutes)),
    }
}

/// The other parts of a join, each with its lot: one act put them together, so all of it is written anew.
pub fn joined_with(
    view: View<'_>,
    part: &EntryRecord,
) -> anyhow::Result<Vec<(EntryRecord, LotRecord)>> {
    let Some(joined) = part.new_lot.filter(|_| part.kind == EntryKind::Join) else {
        return Ok(Vec::new());
    };
    let joined = view.lot(&joined.to_string())?;
    let parts = view.log(&LogFilter {
        lot: Some(&joined),
        kind: Some(EntryKind::Join),
        ..LogFilter::default()
    })?;
    let mut others = Vec::new();
    for other in parts {
        // What was joined may be joined further by others.
        let is_of_it = other.new_lot == part.new_lot && other.says_something_in_force();
        if let Some(code) = other.lot.filter(|_| is_of_it && other.entry != part.entry) {
            others.push((other, view.lot(&code.to_string())?));
        }
    }
    Ok(others)
}

/// Refuses weights of a drying that a test of what it made contradicts, as such a test is refused.
pub fn refuse_contradicted(view: View<'_>, made: &LotRecord) -> anyhow::Result<()> {
    for record in view.tests(made)? {
        let result = record.test.evaluate(made.form, made.kind)?;
        refuse_drier_than_weights(view, made, &result)?;
    }
    Ok(())
}
