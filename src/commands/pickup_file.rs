//! `pickup --csv`: every row of a file, or none. Every bad row is named.

use super::first_act::FirstAct;
use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::Refusal;
use crate::ledger::BookRefusal;
use crate::quantity::Problem;
use crate::render;
use crate::rows::pickup_file::Sheet;
use std::path::Path;

/// Up to so many lots are shown one by one after an import.
const SHOWN: usize = 40;
/// Pickups handed to the book at a time.
const AT_ONCE: usize = 1024;

/// A near or earlier name of a source is told with the row that it stands in, and what to type there.
fn in_its_row(error: anyhow::Error, sheet: &Sheet) -> anyhow::Error {
    let (name, is_called, known, if_new) = match Refusal::of(&error) {
        Some(Refusal::Book(BookRefusal::NearSource { name, near, .. })) => {
            let near: Vec<String> = near.iter().map(|name| format!("`{name}`")).collect();
            (
                name,
                format!("is new, and called almost like {}", near.join(", ")),
                near.join(" or "),
                "book its row in by itself with --new-source",
            )
        }
        Some(Refusal::Book(BookRefusal::EarlierName { name, now, .. })) => (
            name,
            format!("is not new: it was renamed or joined, and is called `{now}` now"),
            format!("`{now}`"),
            "write a name there that no source ever had",
        ),
        _ => return error,
    };
    Problem::new(format!(
        "`{}`{}: source `{name}` {is_called}",
        sheet.name(),
        sheet
            .line_of_source(&name)
            .map_or(String::new(), |line| format!(", line {line}")),
    ))
    .hint(format!("if it is that one, write {known} in that row"))
    .hint(format!("if it is a new one, {if_new}"))
    .into()
}

pub fn run(path: &Path, is_new_source: bool, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let sheet = Sheet::read(typed::row_file(path)?)?;
    let first = FirstAct::new(errand)?;
    // All of it is checked first: a bad file makes no book, and who reads waits for the writing alone.
    let pickups = sheet.check(&first.bench(true))?;
    let shown = if errand.options.json {
        usize::MAX
    } else {
        SHOWN
    };
    let mut desk = first.desk(errand)?;
    let answer = desk.pickups(shown, |book_in| {
        pickups.chunks(AT_ONCE).try_for_each(|pickups| {
            let new: Vec<_> = pickups
                .iter()
                .map(|pickup| pickup.as_new(is_new_source))
                .collect();
            book_in(&new)
        })
    });
    let answer = answer.map_err(|error| in_its_row(error, &sheet))?;
    let (units, now, about) = (errand.units(), desk.now(), desk.about());
    errand.show(
        &answer,
        |booked| render::json::Pickups::new(&booked.lots, &about.zone),
        |booked| render::shelf::booked_in(booked, units, now, &about.zone),
    )?;
    Ok(Outcome::Done)
}
