//! The entry that takes the place of a wrong one, and what goes with it.

use super::{Correction, brew_day, made};
use crate::desk::acts::discard::{refuse_named_mould, refuse_spoiled_as_feed, refuse_unsaid_feed};
use crate::desk::acts::moisture_test::{refuse_dish_of_other, refuse_drier_than_weights};
use crate::desk::acts::possible;
use crate::desk::{Notice, Refusal};
use crate::grain::{Ending, Laboratory, MoistureTest, Weighing};
use crate::ledger::{
    Act, Amended, AmendedArrival, Detail, EntryKind, EntryRecord, LogFilter, LotRecord,
};
use crate::quantity::{Problem, WaterActivity};

/// Puts another entry in the place of a wrong one; of a pickup, of the reading that was taken with it too, and of a join all
/// its parts. What moves though nobody said so comes back beside its number.
pub(super) fn replace(
    act: &mut Act<'_>,
    old: &EntryRecord,
    lot: &LotRecord,
    right: &Correction<'_>,
    reason: &str,
) -> anyhow::Result<(i64, Vec<Notice>)> {
    let at = right.at.unwrap_or(old.at);
    let place = match right.place.or(old.place.as_deref()) {
        Some(name) if right.place.is_some() || right.at.is_some() => {
            Some(act.view().place_open_then(name, at)?)
        }
        Some(name) => Some(act.view().place(name)?),
        None => None,
    };
    let test = match &old.detail {
        Detail::Test(test, _) => Some(tested(test, right)?),
        _ => None,
    };
    if let Some(test) = &test {
        let result = test.evaluate(lot.form, lot.kind)?;
        refuse_drier_than_weights(act.view(), lot, &result)?;
        let was = match &old.detail {
            Detail::Test(was, _) if old.lot == Some(lot.code) => Some(was),
            _ => None,
        };
        refuse_dish_of_other(act, lot, (old.entry, was), test)?;
    }
    let arrival = match &old.detail {
        Detail::Arrival(facts) => Some(AmendedArrival {
            source: right.source.map(|name| (name, right.is_new_source)),
            brewed_on: right
                .brewed_on
                .unwrap_or_else(|| lot.brewed_on(&act.view().about().zone)),
            mash_out: match (right.mash_out, right.brewed_on) {
                (Some(mash_out), _) => mash_out,
                (None, Some(brewed_on)) => Some(brew_day::mash_out_on(
                    lot,
                    brewed_on,
                    &act.view().about().zone,
                )?),
                (None, None) => facts.mash_out,
            },
            grist: right.grist.or(facts.grist.as_deref()),
            form: right.form.unwrap_or(facts.form),
        }),
        _ => None,
    };
    let ending = right.ending.or(old.ending);
    // What animals got is written as it was; but what could not be written as feed does not become it by a correction.
    let is_feed = ending == Some(Ending::Feed);
    let becomes_feed = is_feed && old.ending != ending;
    if becomes_feed || (is_feed && right.note.is_some()) {
        refuse_named_mould(lot, right.note.or(old.words.as_deref()).unwrap_or_default())?;
    }
    if let (EntryKind::Discard, None, Some(note)) = (old.kind, ending, right.note) {
        refuse_unsaid_feed(act.view(), lot, note, at)?;
    }
    let counted = match &old.detail {
        Detail::Counted(count) => Some(count.found),
        _ => None,
    };
    let is_pickup = arrival.is_some();
    let treated = made::treated(act.view(), old, lot, right)?;
    let new = Amended {
        lot,
        at,
        wet: right.wet.or(old.wet).or(counted),
        temperature: match right.temp {
            // Of a treatment it is how warm the air was, or the bath.
            _ if treated.is_some() => None,
            Some(temperature) => Some(possible(act.view(), lot, at, temperature)?),
            None => old.temperature,
        },
        place: place.as_ref(),
        words: right.words(old.words.as_deref()),
        ending,
        activity: match (right.activity, old.water_activity) {
            (None, Some(measured)) => Some(WaterActivity::new(measured)?),
            (right, _) => right,
        },
        test: test.as_ref(),
        treated,
        arrival,
    };
    // A word that it was cold stands on the brew day too: it goes with the mash-out, never before it.
    let word = match (right.brewed_on, &new.arrival) {
        (Some(brewed_on), Some(_)) => brew_day::word_of(act, lot, brewed_on)?,
        _ => None,
    };
    if let (Some((said, at)), Some(arrival)) = (&word, &new.arrival) {
        brew_day::refuse_after_it_was_written(act, (said, *at), arrival.mash_out)?;
    }
    let (first, then) = word
        .into_iter()
        .partition::<Vec<_>, _>(|(said, at)| *at > said.at);
    let mut with_it = Vec::new();
    for (said, at) in &first {
        with_it.push(act.correct(said, &brew_day::of_word(&new, said, *at), reason)?);
    }
    let joined_with = made::joined_with(act.view(), old)?;
    let by = act.correct(old, &new, reason)?;
    if becomes_feed {
        // The old entry speaks of no mould any more.
        refuse_spoiled_as_feed(act.view(), lot, at)?;
    }
    for (part, of) in &joined_with {
        let part_anew = Amended {
            lot: of,
            wet: part.wet,
            words: right.words(part.words.as_deref()),
            ..new.clone()
        };
        with_it.push(act.correct(part, &part_anew, reason)?);
    }
    for (said, at) in &then {
        let moved = act.view().lot(&lot.code.to_string())?;
        let word = Amended {
            lot: &moved,
            ..brew_day::of_word(&new, said, *at)
        };
        with_it.push(act.correct(said, &word, reason)?);
    }
    let mut told = Vec::new();
    if right.brewed_on.is_some() && right.mash_out.is_none() {
        let mash_out = new.arrival.as_ref().and_then(|arrival| arrival.mash_out);
        let moved = lot.mash_out.zip(mash_out).filter(|(was, is)| was != is);
        told.extend(moved.map(|moved| brew_day::went_along((old.kind, by), moved)));
    }
    for ((said, at), entry) in first.iter().chain(&then).zip(&with_it) {
        told.push(brew_day::went_along((said.kind, *entry), (said.at, *at)));
    }
    if is_pickup && (right.temp.is_some() || right.at.is_some()) {
        let read = reading_with(act, old, lot)?;
        match read {
            Some(read) => {
                let new = Amended {
                    temperature: right.temp.or(read.temperature),
                    place: None,
                    wet: None,
                    words: None,
                    ending: None,
                    activity: None,
                    test: None,
                    arrival: None,
                    ..new
                };
                with_it.push(act.correct(&read, &new, reason)?);
            }
            // Nothing was read, so nothing is wrong in it.
            None if right.temp.is_some() => {
                return Err(Refusal::NotInEntry {
                    entry: old.entry,
                    kind: old.kind,
                    field: "temp",
                }
                .into());
            }
            None => {}
        }
    }
    act.go_with(&with_it, by)?;
    Ok((by, told))
}

/// The reading that was taken when a lot was fetched.
pub(super) fn reading_with(
    act: &Act<'_>,
    pickup: &EntryRecord,
    lot: &LotRecord,
) -> anyhow::Result<Option<EntryRecord>> {
    let of_lot = act.view().log(&LogFilter {
        lot: Some(lot),
        ..LogFilter::default()
    })?;
    Ok(of_lot.into_iter().find(|entry| {
        entry.kind == EntryKind::Reading && entry.says_something_in_force() && entry.at == pickup.at
    }))
}

/// A test with other weighings by the same method and scale, or another figure of the laboratory. Second stages that are
/// not typed stay with their samples, and a sample that is drying stays so.
fn tested(test: &MoistureTest, right: &Correction<'_>) -> Result<MoistureTest, Problem> {
    if let (Some(wet_basis), Some(laboratory)) = (right.lab, test.laboratory) {
        return Ok(MoistureTest {
            laboratory: Some(Laboratory {
                wet_basis,
                ..laboratory
            }),
            ..test.clone()
        });
    }
    let weighed = if right.weighing.is_empty() {
        test.clone()
    } else {
        MoistureTest::of_pans(test.method, test.readability, right.weighing)
    };
    let before = test
        .samples
        .iter()
        .filter_map(|sample| sample.second.clone());
    let before: Vec<Weighing> = before.collect();
    let weighed = weighed.with_second_stages(if right.stage2.is_empty() {
        &before
    } else {
        right.stage2
    })?;
    Ok(test.corrected(weighed))
}
