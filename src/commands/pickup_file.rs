//! `pickup --csv`: every row of a file, or none. Every bad row is named.

use super::first_act::FirstAct;
use super::{Outcome, typed};
use crate::context::Errand;
use crate::render;
use crate::rows::pickup_file::Sheet;
use std::path::Path;

/// Up to so many lots are shown one by one after an import.
const SHOWN: usize = 40;
/// Pickups handed to the book at a time.
const AT_ONCE: usize = 1024;

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
    })?;
    let (units, now, about) = (errand.units(), desk.now(), desk.about());
    errand.show(
        &answer,
        |booked| render::json::Pickups::new(&booked.lots, &about.zone),
        |booked| render::shelf::booked_in(booked, units, now, &about.zone, &about.rules.name),
    )?;
    Ok(Outcome::Done)
}
