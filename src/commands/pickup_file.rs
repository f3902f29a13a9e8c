//! `pickup --csv`: every row of a file, or none. Every bad row is named.

use super::Outcome;
use super::bounded_file::BadRows;
use super::first_act::FirstAct;
use super::pickup_row::{Bench, CheckedPickup};
use super::pickup_sheet::{Part, Sheet};
use crate::context::Errand;
use crate::desk::NewPickup;
use crate::render;
use std::path::Path;

/// Up to so many lots are shown one by one after an import.
const SHOWN: usize = 40;

pub fn run(path: &Path, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let sheet = Sheet::read(path)?;
    let first = FirstAct::new(errand)?;
    let shown = if errand.options.json {
        usize::MAX
    } else {
        SHOWN
    };
    // All of it is checked first: a bad file makes no book, and who reads waits for the writing alone.
    let mut parts = Vec::new();
    check(&sheet, &first.bench(true), |pickups| parts.push(pickups))?;
    let mut desk = first.desk(errand)?;
    let answer = desk.pickups(shown, |book_in| {
        parts
            .iter()
            .try_for_each(|pickups| book_in(&as_new(pickups)))
    })?;
    let (units, now, about) = (errand.units(), desk.now(), desk.about());
    errand.show(
        &answer,
        |booked| render::json::Pickups::new(&booked.lots, &about.zone),
        |booked| render::shelf::booked_in(booked, units, now, &about.zone, &about.rules.name),
    )?;
    Ok(Outcome::Done)
}

fn as_new(pickups: &[CheckedPickup]) -> Vec<NewPickup<'_>> {
    pickups.iter().map(CheckedPickup::as_new).collect()
}

/// Checks the file and hands over what may be booked, in the order of the rows. Bad rows are refused together.
fn check(
    sheet: &Sheet,
    bench: &Bench<'_>,
    mut take: impl FnMut(Vec<CheckedPickup>),
) -> anyhow::Result<()> {
    let (mut rows, mut bad) = (0, BadRows::default());
    let mut failed = None;
    sheet.each_part(bench, |part| match part {
        Ok(Part { good, bad: wrong }) => {
            rows += good.len() + wrong.len();
            for (line, wrong) in &wrong {
                let told = wrong
                    .iter()
                    .map(|found| (Some(found.column), &found.problem));
                bad.add(*line, told);
            }
            take(good);
            true
        }
        Err(problem) => {
            failed = Some(problem);
            false
        }
    });
    if let Some(problem) = failed {
        return Err(problem.into());
    }
    if !bad.is_empty() {
        return Err(sheet.refusal(bad, rows).into());
    }
    if rows == 0 {
        return Err(sheet.without_rows().into());
    }
    Ok(())
}
