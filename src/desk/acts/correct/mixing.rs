//! By how much mixing warmed the dough of a done bake, worked out anew where temperatures of what went in are corrected.

use super::{Correction, other_bake};
use crate::desk::acts::finish_bake::{self, FinishBake, Mixed};
use crate::desk::dough_temperatures::{GivenTemperatures, KnownTemperatures, TemperatureProblem};
use crate::desk::notice::NotLearned;
use crate::desk::{Notice, Refusal, sheet_time};
use crate::dough::formula::Formula;
use crate::ledger::{BakeResult, EntryKind, EntryRecord, LogFilter, View};
use crate::quantity::{Scale, Temperature};
use crate::report::bake::BakeAnswer;

/// By how much mixing warmed the dough by the temperatures that are right; nothing where none of what went in is given. Those
/// that were typed when the bake was written down are not kept, so what is not given now is as the book knows it.
pub(super) fn learned_anew(
    view: View<'_>,
    bake: &BakeAnswer,
    (entry, was): (&EntryRecord, &BakeResult),
    right: &Correction<'_>,
) -> anyhow::Result<Option<Result<f64, NotLearned>>> {
    let of_water = right.water_temp.map(|_| "water_temp");
    let of_rest = right.temperatures.of_what_goes_in().into_iter();
    let mut given = of_water.into_iter().chain(of_rest.map(|(field, _)| field));
    let Some(field) = given.next() else {
        return Ok(None);
    };
    let refuse = |problem| Err(Refusal::Temperatures(problem).into());
    let written = was.measured.dough_milli_celsius;
    let written = written.map(|milli| Temperature::new(milli, Scale::Celsius));
    let Some(dough) = right.dough_temp.or(written) else {
        return refuse(TemperatureProblem::DoughNotMeasured(entry.entry));
    };
    let house = view.house()?;
    let Some(tap) = right.temperatures.tap.or(house.tap) else {
        return refuse(TemperatureProblem::TapUnknown(field));
    };
    let used = other_bake::used(was);
    let code = bake.bake.code.to_string();
    let request = FinishBake {
        bake: &code,
        at: Some(was.at),
        used: &used,
        dough_temp: Some(dough),
        water_temp: right.water_temp,
        // That of the tap is given, so that whatever else is missing is named.
        temperatures: GivenTemperatures {
            tap: Some(tap),
            room: right.temperatures.room.or(house.room),
            ..right.temperatures.clone()
        },
        ..FinishBake::default()
    };
    let came_to = |newest: i64| {
        view.as_it_stood(newest, |then| {
            finish_bake::result(&request, bake, then, Mixed::in_the_book(was.at))
        })
    };
    let before = last_before(view, &view.first_of(entry)?)?;
    let sheet = sheet_time::last_known(view, bake, was.at)?.min(before);
    let (result, told) = match came_to(sheet) {
        // The book of the sheet may not know this grain yet.
        Err(error) if !is_of_temperatures(&error) && sheet < before => came_to(before)?,
        came_to => came_to?,
    };
    if let Some(kelvin) = result.measured.mixing_kelvin {
        return Ok(Some(Ok(kelvin)));
    }
    let why = told.into_iter().find_map(|notice| match notice {
        Notice::MixingHeatNotLearned(why, _) => Some(why),
        _ => None,
    });
    match why {
        Some(NotLearned::WaterUnknown) => refuse(TemperatureProblem::WaterUnknown),
        // Nothing would change, and why is what matters.
        Some(NotLearned::Unexplained(problem))
            if was.measured.mixing_kelvin.is_none() && right.dough_temp.is_none() =>
        {
            Err(Refusal::Field { field, problem }.into())
        }
        why => Ok(why.map(Err)),
    }
}

/// Why nothing is learned of a dough where its temperatures are not given again. How warm its grain was when it went in is not
/// kept, so that is among them.
pub(super) fn not_given_again(view: View<'_>, formula: &Formula) -> anyhow::Result<NotLearned> {
    let house = view.house()?;
    let known = KnownTemperatures {
        tap: house.tap,
        room: house.room,
        ..KnownTemperatures::default()
    };
    let mut missing = GivenTemperatures::default().missing(formula, &known);
    missing.retain(|field| *field != "dough_temp");
    if missing.is_empty() {
        missing.push("water_temp");
    }
    Ok(NotLearned::TemperaturesUnknown(missing))
}

fn is_of_temperatures(error: &anyhow::Error) -> bool {
    matches!(Refusal::of(error), Some(Refusal::Temperatures(_)))
}

/// The last entry before a bake was written down: its grain is written first, the bake after it.
fn last_before(view: View<'_>, done: &EntryRecord) -> anyhow::Result<i64> {
    let grain = view.log(&LogFilter {
        bake: done.bake,
        kind: Some(EntryKind::Use),
        ..LogFilter::default()
    })?;
    let mut before = done.entry - 1;
    while grain.iter().any(|draw| draw.entry == before) {
        before -= 1;
    }
    Ok(before)
}
