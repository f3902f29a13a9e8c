//! `pickup --csv`: every row of a file, or none. Every bad row is named.

use super::Outcome;
use super::first_act::FirstAct;
use super::pickup_row::{Bench, CheckedPickup};
use super::pickup_sheet::{Part, Sheet};
use crate::context::Errand;
use crate::desk::NewPickup;
use crate::quantity::Problem;
use crate::render;
use std::path::Path;
use std::sync::mpsc;

/// Up to so many lots are shown one by one after an import.
const SHOWN: usize = 40;
/// Parts that may wait for the book to take them.
const WAITING: usize = 8;

pub fn run(path: &Path, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let sheet = Sheet::read(path)?;
    let mut first = FirstAct::new(errand)?;
    let shown = if errand.options.json {
        usize::MAX
    } else {
        SHOWN
    };
    let (desk, answer) = match first.take_desk() {
        // The book is written while the rest of the file is read; a bad row takes all of it back.
        Some(mut desk) => {
            let bench = first.bench(true);
            let answer = desk.pickups(shown, |book_in| {
                check(&sheet, &bench, |pickups| book_in(&as_new(&pickups)))
            })?;
            (desk, answer)
        }
        // A bad file must not make a book, so all of it is checked first.
        None => {
            let mut parts = Vec::new();
            check(&sheet, &first.bench(true), |pickups| {
                parts.push(pickups);
                Ok(())
            })?;
            let mut desk = first.desk(errand)?;
            let answer = desk.pickups(shown, |book_in| {
                parts
                    .iter()
                    .try_for_each(|pickups| book_in(&as_new(pickups)))
            })?;
            (desk, answer)
        }
    };
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

/// Reads and checks the file in a thread of its own and hands over what may be booked, part by part and
/// in the order of the rows. After the first bad row nothing more is handed over; in the end all bad
/// rows are refused together.
fn check(
    sheet: &Sheet,
    bench: &Bench<'_>,
    mut take: impl FnMut(Vec<CheckedPickup>) -> anyhow::Result<()>,
) -> anyhow::Result<()> {
    std::thread::scope(|scope| {
        let (sender, receiver) = mpsc::sync_channel::<Result<Part, Problem>>(WAITING);
        scope.spawn(move || sheet.each_part(bench, |part| sender.send(part).is_ok()));
        let (mut rows, mut bad) = (0, Vec::new());
        // Ending early drops the receiver, which ends the thread.
        for part in receiver {
            let Part { good, bad: wrong } = part?;
            rows += good.len() + wrong.len();
            bad.extend(wrong);
            if bad.is_empty() && !good.is_empty() {
                take(good)?;
            }
        }
        if !bad.is_empty() {
            return Err(sheet.refusal(bad, rows).into());
        }
        if rows == 0 {
            return Err(sheet.without_rows().into());
        }
        Ok(())
    })
}
