//! `pickup --csv`: every row of a file, or none. Every bad row is named.

use super::Outcome;
use super::gather::Gatherer;
use super::ground::Ground;
use super::pickup_row::{self, Bench, COLUMNS, CheckedPickup, KnownGrists, PickupRow, Wrong};
use crate::context::Session;
use crate::ledger::{LotRecord, View};
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Problem};
use crate::render::{self, numbers::Units};
use crate::report::shelf::ShelfAnswer;
use csv::StringRecord;
use std::path::Path;

/// Columns without which a row says too little.
const NEEDED: [&str; 3] = ["source", "brewed", "wet"];
/// Up to so many lots are shown one by one after an import.
const SHOWN: usize = 40;
/// Rows handed to the book at a time.
const AT_ONCE: usize = 1024;

/// A file read into rows: for each known column its place in the rows.
struct Sheet {
    places: [Option<usize>; COLUMNS.len()],
    rows: Vec<(u64, StringRecord)>,
}

pub fn run(path: &Path, session: &mut Session<'_>) -> anyhow::Result<Outcome> {
    let sheet = read(path)?;
    let ground = Ground::of(session)?;
    let checked = check_all(&sheet, &ground.bench(), path)?;
    let signature = ground.signature.clone();
    let mut book = ground.book(session)?;
    // Of a large file only the number is told.
    let are_shown = session.options.json || sheet.rows.len() <= SHOWN;
    let lots = book.act(&signature, |act| {
        let mut lots = Vec::new();
        for some in checked.iter().flat_map(|part| part.chunks(AT_ONCE)) {
            let some: Vec<_> = some.iter().map(CheckedPickup::as_new).collect();
            let booked = act.pickups(&some)?;
            if are_shown {
                lots.extend(booked);
            }
        }
        Ok(lots)
    })?;
    let text = if are_shown {
        answer(book.view(), lots, signature.now, session)?
    } else {
        summary(book.view(), sheet.rows.len(), session)?
    };
    session.print(&text)?;
    Ok(Outcome::Done)
}

/// Checks all rows, in as many threads as there are processors, and refuses the file if any is bad.
///
/// The pickups come as one list from each thread: they are large, and to move them together takes time.
fn check_all(
    sheet: &Sheet,
    bench: &Bench<'_>,
    path: &Path,
) -> Result<Vec<Vec<CheckedPickup>>, Problem> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let share = sheet.rows.len().div_ceil(threads).max(1);
    let (good, bad): (Vec<_>, Vec<_>) = std::thread::scope(|scope| {
        let workers: Vec<_> = sheet
            .rows
            .chunks(share)
            .map(|rows| scope.spawn(move || check_some(sheet, rows, bench)))
            .collect();
        workers
            .into_iter()
            .map(|worker| worker.join().unwrap_or_default())
            .unzip()
    });
    let bad: Vec<BadRow> = bad.into_iter().flatten().collect();
    if bad.is_empty() && good.iter().map(Vec::len).sum::<usize>() == sheet.rows.len() {
        return Ok(good);
    }
    let mut problem = Problem::new(format!(
        "`{}`: {} of {} cannot be booked, so none was",
        path.display(),
        count(bad.len(), "row"),
        sheet.rows.len()
    ));
    for (line, wrong) in bad {
        for Wrong {
            column,
            problem: found,
            ..
        } in wrong
        {
            let hint = found
                .hints()
                .first()
                .map_or(String::new(), |hint| format!(" ({hint})"));
            problem = problem.hint(format!("line {line}, column {column}: {found}{hint}"));
        }
    }
    Err(problem)
}

/// A line and what is wrong with it.
type BadRow = (u64, Vec<Wrong>);

/// Checks a share of the rows.
fn check_some(
    sheet: &Sheet,
    rows: &[(u64, StringRecord)],
    bench: &Bench<'_>,
) -> (Vec<CheckedPickup>, Vec<BadRow>) {
    let mut known = KnownGrists::new();
    let (mut good, mut bad) = (Vec::with_capacity(rows.len()), Vec::new());
    for (line, record) in rows {
        let cell = |index: usize| {
            sheet.places[index]
                .and_then(|place| record.get(place))
                .unwrap_or("")
        };
        match pickup_row::check_next(&PickupRow::from_columns(cell), bench, &mut known) {
            Ok(pickup) => good.push(pickup),
            Err(wrong) => bad.push((*line, wrong)),
        }
    }
    (good, bad)
}

fn read(path: &Path) -> Result<Sheet, Problem> {
    let name = path.display();
    let bytes = std::fs::read(path)
        .map_err(|error| Problem::new(format!("the file `{name}` cannot be read: {error}")))?;
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(
            Problem::new(format!("the file `{name}` is UTF-16: allowed is UTF-8"))
                .hint("save it from the spreadsheet as CSV UTF-8"),
        );
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes);
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let line = bytes[..error.valid_up_to()]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
            + 1;
        Problem::new(format!("the file `{name}` is not UTF-8: see line {line}"))
            .hint("save it from the spreadsheet as CSV UTF-8")
    })?;
    if text.trim().is_empty() {
        return Err(Problem::new(format!("the file `{name}` is empty")));
    }
    let header = text.lines().next().unwrap_or("");
    if let Some(separator) = [';', '\t']
        .into_iter()
        .find(|found| header.contains(*found) && !header.contains(','))
    {
        return Err(Problem::new(format!(
            "the file `{name}` is separated by {}: allowed are commas",
            if separator == ';' {
                "semicolons"
            } else {
                "tabs"
            }
        ))
        .hint("save it as comma-separated; a decimal point, not a comma, belongs in the cells"));
    }
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(text.as_bytes());
    let columns = reader
        .headers()
        .map_err(|error| Problem::new(format!("the file `{name}` is not understood: {error}")))?
        .clone();
    let places = place_columns(&columns, &name.to_string())?;
    let mut rows = Vec::new();
    let mut lines = Lines::new(text);
    for record in reader.records() {
        let record = record.map_err(|error| {
            Problem::new(format!("the file `{name}` is not understood: {error}"))
        })?;
        let line = lines.of(record.position().map_or(0, csv::Position::byte));
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        if record.len() != columns.len() {
            return Err(Problem::new(format!(
                "`{name}`, line {line}: {} where the header has {}",
                count(record.len(), "cell"),
                columns.len()
            ))
            .hint("a cell that holds a comma, such as a grist, stands in double quotes"));
        }
        rows.push((line, record));
    }
    if rows.is_empty() {
        return Err(Problem::new(format!(
            "the file `{name}` has no rows under its header"
        )));
    }
    Ok(Sheet { places, rows })
}

/// Counts lines as an editor does; a reader of CSV passes over empty ones without a word.
struct Lines<'a> {
    bytes: &'a [u8],
    counted: usize,
    line: u64,
}

impl<'a> Lines<'a> {
    fn new(text: &'a str) -> Self {
        Self {
            bytes: text.as_bytes(),
            counted: 0,
            line: 1,
        }
    }

    /// The line of the first byte at or after `start` that ends no line. Asked in rising order.
    fn of(&mut self, start: u64) -> u64 {
        let start = usize::try_from(start).unwrap_or(self.bytes.len());
        let blank = |byte: &&u8| matches!(byte, b'\r' | b'\n');
        let from = self.bytes.len().min(start);
        let end = from + self.bytes[from..].iter().take_while(blank).count();
        self.line += self.bytes[self.counted..end]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count() as u64;
        self.counted = end;
        self.line
    }
}

/// Finds the known columns; refuses unknown, double and missing ones.
fn place_columns(
    header: &StringRecord,
    name: &str,
) -> Result<[Option<usize>; COLUMNS.len()], Problem> {
    let mut places = [None; COLUMNS.len()];
    for (place, found) in header.iter().enumerate() {
        let found = crate::quantity::decimal::trim(found);
        let known = COLUMNS
            .iter()
            .position(|column| column.eq_ignore_ascii_case(found));
        let allowed = || format!("allowed are {}", COLUMNS.join(", "));
        match known {
            None => {
                return Err(Problem::new(format!(
                    "`{name}`: column `{found}` is not known: {}",
                    allowed()
                ))
                .hint("rename the column or take it out"));
            }
            Some(index) if places[index].is_some() => {
                return Err(Problem::new(format!(
                    "`{name}`: column `{found}` is there twice"
                )));
            }
            Some(index) => places[index] = Some(place),
        }
    }
    let missing: Vec<&str> = COLUMNS
        .iter()
        .zip(&places)
        .filter(|(column, place)| place.is_none() && NEEDED.contains(column))
        .map(|(column, _)| *column)
        .collect();
    if missing.is_empty() {
        Ok(places)
    } else {
        Err(Problem::new(format!(
            "`{name}`: {} missing: {}",
            if missing.len() == 1 {
                "a column is"
            } else {
                "columns are"
            },
            missing.join(", ")
        ))
        .hint(format!(
            "needed are {}; the header is the first line",
            NEEDED.join(", ")
        )))
    }
}

/// How many lots came in, and what is on hand now.
fn summary(view: View<'_>, number: usize, session: &Session<'_>) -> anyhow::Result<String> {
    Ok(format!(
        "Booked in {}; on hand are now {} in all. `draff shelf` lists them.\n",
        count(number, "lot"),
        Units::of(session.options.us).weighed(view.on_hand_total()?)
    ))
}

/// Every lot, as JSON or as words.
fn answer(
    view: View<'_>,
    lots: Vec<LotRecord>,
    now: Instant,
    session: &Session<'_>,
) -> anyhow::Result<String> {
    let about = view.about();
    let number = lots.len();
    let units = Units::of(session.options.us);
    let mut gatherer = Gatherer::new(view)?;
    let answers = lots
        .into_iter()
        .map(|lot| {
            Ok(gatherer
                .facts(lot)?
                .answer(&about.rules, &about.zone, now)?)
        })
        .collect::<anyhow::Result<Vec<_>>>()?;
    if session.options.json {
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
        &ShelfAnswer::new(now, answers),
        units,
        &about.zone,
        &about.rules.name,
    ));
    Ok(out)
}
