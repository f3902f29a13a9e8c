//! A file of pickups: its header understood, every row checked, all bad rows refused together.

use super::bounded::{BadRows, RowFile, cut_cell, plain_text};
use super::pickup::{self, Bench, COLUMNS, CheckedPickup, KnownGrists, PickupRow};
use crate::quantity::Problem;
use crate::quantity::text::{self, count};
use csv::{Position, Reader, ReaderBuilder, StringRecord};

/// Columns without which a row says too little.
const NEEDED: [&str; 3] = ["source", "brewed", "wet"];
/// A file whose header is understood.
pub struct Sheet {
    name: String,
    text: String,
    columns: usize,
    places: [Option<usize>; COLUMNS.len()],
}

impl Sheet {
    /// Reads the text of a file and its header.
    pub fn read(file: RowFile) -> Result<Self, Problem> {
        let name = file.name.clone();
        let text = plain_text(file)?;
        if text.trim().is_empty() {
            return Err(Problem::new(format!("the file `{name}` is empty")));
        }
        refuse_other_separators(&text, &name)?;
        let mut reader = reader_of(&text);
        let header = reader
            .headers()
            .map_err(|error| not_understood(&name, &error))?;
        Ok(Self {
            columns: header.len(),
            places: place_columns(header, &name)?,
            name,
            text,
        })
    }

    /// Every pickup of the file, in the order of the rows. One bad row refuses all of it, and every bad row is told.
    pub fn check(&self, bench: &Bench<'_>) -> Result<Vec<CheckedPickup>, Problem> {
        let mut known = KnownGrists::new();
        let mut lines = Lines::new(&self.text, 1);
        let (mut good, mut bad, mut rows) = (Vec::new(), BadRows::default(), 0);
        for record in reader_of(&self.text).records() {
            let record = record.map_err(|error| not_understood(&self.name, &error))?;
            let Some((line, record)) = self.row(record, &mut lines)? else {
                continue;
            };
            rows += 1;
            let cell = |index: usize| {
                self.places[index]
                    .and_then(|place| record.get(place))
                    .unwrap_or("")
            };
            match pickup::check_next(&PickupRow::from_columns(cell), bench, &mut known) {
                Ok(pickup) => good.push(pickup),
                Err(wrong) => bad.add(
                    line,
                    wrong
                        .iter()
                        .map(|found| (Some(found.column), &found.problem)),
                ),
            }
        }
        if !bad.is_empty() {
            return Err(bad.refusal(&self.name, rows, "booked"));
        }
        if rows == 0 {
            return Err(Problem::new(format!(
                "the file `{}` has no rows under its header",
                self.name
            )));
        }
        Ok(good)
    }

    /// The name of the file.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The first line whose source is this.
    pub fn line_of_source(&self, name: &str) -> Option<u64> {
        let source = self.places[0]?;
        let mut lines = Lines::new(&self.text, 1);
        reader_of(&self.text)
            .records()
            .filter_map(|record| self.row(record.ok()?, &mut lines).ok()?)
            .find(|(_, row)| {
                let typed = row.get(source).unwrap_or("").trim();
                text::is_same_name(typed, name)
            })
            .map(|(line, _)| line)
    }

    /// A row with its line; nothing for a blank one.
    fn row(
        &self,
        record: StringRecord,
        lines: &mut Lines<'_>,
    ) -> Result<Option<(u64, StringRecord)>, Problem> {
        let line = lines.of(record.position().map_or(0, Position::byte));
        if record.iter().all(|cell| cell.trim().is_empty()) {
            return Ok(None);
        }
        if record.len() != self.columns {
            return Err(Problem::new(format!(
                "`{}`, line {line}: {} where the header has {}",
                self.name,
                count(record.len(), "cell"),
                self.columns
            ))
            .hint("a cell that holds a comma, such as a grist, stands in double quotes"));
        }
        Ok(Some((line, record)))
    }
}

fn reader_of(text: &str) -> Reader<&[u8]> {
    ReaderBuilder::new()
        .flexible(true)
        .from_reader(text.as_bytes())
}

fn not_understood(name: &str, error: &csv::Error) -> Problem {
    Problem::new(format!("the file `{name}` is not understood: {error}"))
}

fn refuse_other_separators(text: &str, name: &str) -> Result<(), Problem> {
    let header = text.lines().next().unwrap_or("");
    if header.contains(',') {
        return Ok(());
    }
    for (separator, called) in [(';', "semicolons"), ('\t', "tabs")] {
        if header.contains(separator) {
            return Err(Problem::new(format!(
                "the file `{name}` is separated by {called}: allowed are commas"
            ))
            .hint(
                "save it as comma-separated; a decimal point, not a comma, belongs in the cells",
            ));
        }
    }
    Ok(())
}

/// Counts lines as an editor does; a reader of CSV passes over empty ones without a word.
pub struct Lines<'a> {
    bytes: &'a [u8],
    counted: usize,
    line: u64,
}

impl<'a> Lines<'a> {
    /// Of a text that begins in a line.
    pub fn new(text: &'a str, line: u64) -> Self {
        Self {
            bytes: text.as_bytes(),
            counted: 0,
            line,
        }
    }

    /// The byte of which the line was asked last.
    pub const fn counted(&self) -> usize {
        self.counted
    }

    /// The line of the first byte at or after `start` that ends no line. Asked in rising order.
    pub fn of(&mut self, start: u64) -> u64 {
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
                    "`{name}`: column `{}` is not known: {}",
                    cut_cell(found),
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
