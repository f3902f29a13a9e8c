//! `pickup --csv`: every row of a file, or none. Every bad row is named.

use super::Outcome;
use super::bounded_file::BadRows;
use super::gather::Gatherer;
use super::ground::Ground;
use super::pickup_row::{Bench, CheckedPickup};
use super::pickup_sheet::{Part, Sheet};
use crate::context::Errand;
use crate::ledger::{Act, LotRecord, View};
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Problem};
use crate::render::{self, numbers::Units};
use crate::report::shelf::ShelfAnswer;
use std::path::Path;
use std::sync::mpsc;

/// Up to so many lots are shown one by one after an import.
const SHOWN: usize = 40;
/// Parts that may wait for the book to take them.
const WAITING: usize = 8;

pub fn run(path: &Path, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let sheet = Sheet::read(path)?;
    let mut ground = Ground::of(errand)?;
    let signature = ground.signature.clone();
    let json = errand.options.json;
    let mut booked = Booked::default();
    let book = match ground.take_book() {
        // The book is written while the rest of the file is read; a bad row takes all of it back.
        Some(mut book) => {
            errand.act(&mut book, &signature, |act| {
                check(&sheet, &ground.bench(true), |pickups| {
                    booked.add(act, &pickups, json)
                })
            })?;
            book
        }
        // A bad file must not make a book, so all of it is checked first.
        None => {
            let mut parts = Vec::new();
            check(&sheet, &ground.bench(true), |pickups| {
                parts.push(pickups);
                Ok(())
            })?;
            let mut book = ground.book(errand)?;
            errand.act(&mut book, &signature, |act| {
                parts
                    .iter()
                    .try_for_each(|pickups| booked.add(act, pickups, json))
            })?;
            book
        }
    };
    let text = if json || booked.number <= SHOWN {
        answer(book.view(), booked.lots, signature.now, errand)?
    } else {
        summary(book.view(), booked.number, errand)?
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

/// What was booked so far.
#[derive(Default)]
struct Booked {
    number: usize,
    lots: Vec<LotRecord>,
}

impl Booked {
    /// Books a part in. Of a large file only the number is told, so its lots are not kept.
    fn add(
        &mut self,
        act: &mut Act<'_>,
        pickups: &[CheckedPickup],
        json: bool,
    ) -> anyhow::Result<()> {
        let new: Vec<_> = pickups.iter().map(CheckedPickup::as_new).collect();
        let lots = act.pickups(&new)?;
        self.number += lots.len();
        if json || self.number <= SHOWN {
            self.lots.extend(lots);
        }
        Ok(())
    }
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
        let (mut rows, mut bad) = (0, BadRows::default());
        // Ending early drops the receiver, which ends the thread.
        for part in receiver {
            let Part { good, bad: wrong } = part?;
            rows += good.len() + wrong.len();
            for (line, wrong) in &wrong {
                let told = wrong
                    .iter()
                    .map(|found| (Some(found.column), &found.problem));
                bad.add(*line, told);
            }
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

/// How many lots came in, and what is on hand now.
fn summary(view: View<'_>, number: usize, errand: &Errand<'_>) -> anyhow::Result<String> {
    Ok(format!(
        "Booked in {}; on hand are now {} in all. `draff shelf` lists them.\n",
        count(number, "lot"),
        Units::of(errand.options.us).weighed(view.on_hand_total()?)
    ))
}

/// Every lot, as JSON or as words.
fn answer(
    view: View<'_>,
    lots: Vec<LotRecord>,
    now: Instant,
    errand: &Errand<'_>,
) -> anyhow::Result<String> {
    let about = view.about();
    let number = lots.len();
    let units = Units::of(errand.options.us);
    let mut gatherer = Gatherer::new(view)?;
    let answers = lots
        .into_iter()
        .map(|lot| {
            Ok(gatherer
                .facts(lot)?
                .answer(&about.rules, &about.zone, now)?)
        })
        .collect::<anyhow::Result<Vec<_>>>()?;
    if errand.options.json {
        let lots = answers
            .iter()
            .map(|answer| render::json::Pickup::new(answer, &about.zone))
            .collect();
        return render::json::text(&render::json::Pickups { lots });
    }
    let wet = answers.iter().fold(Milligrams::ZERO, |sum, answer| {
        sum.checked_add(answer.wet).unwrap_or(sum)
    });
    let mut out = format!(
        "Booked in {}, {} wet.\n\n",
        count(number, "lot"),
        units.weighed(wet)
    );
    out.push_str(&render::shelf::text(
        &ShelfAnswer::new(now, answers, Vec::new()),
        units,
        &about.zone,
        &about.rules.name,
    ));
    Ok(out)
}
