//! A logger's file: its columns found, its scale settled, every row read or named.

use super::pickup_sheet::{Lines, plain_text};
use crate::quantity::text::count;
use crate::quantity::{Instant, Problem, Scale, Temperature, Zone, decimal, when};
use csv::{ReaderBuilder, StringRecord};
use std::path::Path;

/// How a logger's file is to be read.
pub struct Reading<'a> {
    /// The column of moments, where it was named.
    pub time_column: Option<&'a str>,
    /// The column of temperatures, where it was named.
    pub temp_column: Option<&'a str>,
    /// The scale, where it was given.
    pub unit: Option<Scale>,
    /// The zone of times without an offset.
    pub zone: &'a Zone,
    /// No reading lies after it.
    pub now: Instant,
    /// Only readings from here on.
    pub from: Option<Instant>,
    /// Only readings before.
    pub before: Option<Instant>,
}

/// What a logger's file holds.
#[derive(Debug)]
pub struct Logged {
    /// The scale of all its figures.
    pub scale: Scale,
    /// Moments and thousandths of a degree Celsius, in time order, each moment once.
    pub readings: Vec<(Instant, i32)>,
    /// Rows whose cell for the temperature is empty.
    pub empty: usize,
    /// Rows outside of the time asked for.
    pub outside: usize,
}

/// Bad rows named one by one; of more it is told only how many there are.
const NAMED: usize = 20;

/// The cells of a row that matter, with its line.
struct Row<'a> {
    line: u64,
    time: &'a str,
    temperature: &'a str,
}

/// Reads a file. One bad row refuses all of it.
pub fn read(path: &Path, reading: &Reading<'_>) -> Result<Logged, Problem> {
    let name = path.display().to_string();
    let text = plain_text(path, &name)?;
    if text.trim().is_empty() {
        return Err(Problem::new(format!("the file `{name}` is empty")));
    }
    let separator = separator(&text);
    let mut reader = ReaderBuilder::new()
        .delimiter(separator)
        .flexible(true)
        .from_reader(text.as_bytes());
    let not_understood =
        |error: csv::Error| Problem::new(format!("the file `{name}` is not understood: {error}"));
    let header = reader.headers().map_err(not_understood)?.clone();
    let [time, temperature] = columns(&header, reading, &name)?;
    let scale = scale(
        &text,
        &header,
        (time, temperature),
        separator,
        reading,
        &name,
    )?;
    let mut lines = Lines::new(&text);
    let mut found: Vec<(Instant, i32, u64)> = Vec::new();
    let mut bad: Vec<(u64, Problem)> = Vec::new();
    let (mut rows, mut empty, mut outside) = (0, 0, 0);
    let mut record = StringRecord::new();
    while reader.read_record(&mut record).map_err(not_understood)? {
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        rows += 1;
        let row = Row {
            line: lines.of(record.position().map_or(0, csv::Position::byte)),
            time: record.get(time).unwrap_or(""),
            temperature: record.get(temperature).unwrap_or(""),
        };
        match row.read(scale, separator, reading) {
            Ok((_, None)) => empty += 1,
            Ok((at, Some(_))) if reading.leaves_out(at) => outside += 1,
            Ok((at, Some(milli))) => found.push((at, milli, row.line)),
            Err(problem) => bad.push((row.line, problem)),
        }
    }
    if rows == 0 {
        return Err(
            Problem::new(format!("the file `{name}` has no rows under its header"))
                .hint("the first line names the columns, as in `time,temperature`"),
        );
    }
    found.sort_unstable();
    bad.extend(contradictions(&found));
    if !bad.is_empty() {
        return Err(refusal(bad, rows, &name));
    }
    found.dedup_by_key(|(at, ..)| *at);
    Ok(Logged {
        scale,
        readings: found
            .into_iter()
            .map(|(at, milli, _)| (at, milli))
            .collect(),
        empty,
        outside,
    })
}

impl Reading<'_> {
    fn leaves_out(&self, at: Instant) -> bool {
        self.from.is_some_and(|from| at < from) || self.before.is_some_and(|before| at >= before)
    }
}

impl Row<'_> {
    /// Its moment, and its temperature unless the cell is empty.
    fn read(
        &self,
        scale: Scale,
        separator: u8,
        reading: &Reading<'_>,
    ) -> Result<(Instant, Option<i32>), Problem> {
        let at = moment(self.time, reading)?;
        let cell = decimal::trim(self.temperature);
        if cell.is_empty() {
            return Ok((at, None));
        }
        let point = with_a_point(cell, separator);
        let letter = match scale {
            Scale::Celsius => "C",
            Scale::Fahrenheit => "F",
        };
        let typed: Temperature = if point.ends_with(|c: char| c.is_ascii_digit() || c == '.') {
            format!("{point}{letter}").parse()?
        } else {
            point.parse()?
        };
        if typed.scale() != scale {
            return Err(Problem::new(format!(
                "temperature `{cell}` is on another scale than the rest: {letter} is taken"
            )));
        }
        Ok((at, Some(typed.milli_celsius())))
    }
}

/// A moment as loggers write it: a date with its year, then the time of day.
fn moment(cell: &str, reading: &Reading<'_>) -> Result<Instant, Problem> {
    let text = decimal::trim(cell);
    let bytes = text.as_bytes();
    let begins_with_a_date = bytes.len() > 10
        && bytes[..4].iter().all(u8::is_ascii_digit)
        && bytes[4] == b'-'
        && text[10..].contains(':');
    if !text.is_ascii() || !begins_with_a_date {
        return Err(Problem::new(format!(
            "time `{text}` is no moment as a file of readings has it"
        ))
        .hint("write it like 2026-11-20 07:30, 2026-11-20 07:30:15 or 2026-11-20T07:30:00+01:00"));
    }
    let at = when::moment(without_fraction(text), reading.now, reading.zone)?;
    if at > reading.now {
        return Err(Problem::new(format!("time `{text}` lies after now"))
            .hint("set the logger's clock, or --zone where its times are of another zone"));
    }
    Ok(at)
}

/// Leaves out a fraction of a second at the end; one before an offset is understood as it is.
fn without_fraction(text: &str) -> &str {
    match text.rsplit_once('.') {
        Some((whole, fraction)) if fraction.bytes().all(|byte| byte.is_ascii_digit()) => whole,
        _ => text,
    }
}

/// Between semicolons or tabs a comma can only be a decimal one.
fn with_a_point(cell: &str, separator: u8) -> String {
    if separator != b',' && cell.matches(',').count() == 1 && !cell.contains('.') {
        cell.replace(',', ".")
    } else {
        cell.to_owned()
    }
}

/// What stands between the cells of the first line: semicolons or tabs where there are any, else commas.
fn separator(text: &str) -> u8 {
    let header = text.lines().next().unwrap_or("");
    [(';', b';'), ('\t', b'\t')]
        .into_iter()
        .find(|(found, _)| header.contains(*found))
        .map_or(b',', |(_, byte)| byte)
}

/// The places of the two columns: those that were named, else those that say by their name what they are.
fn columns(
    header: &StringRecord,
    reading: &Reading<'_>,
    name: &str,
) -> Result<[usize; 2], Problem> {
    let names: Vec<&str> = header.iter().map(decimal::trim).collect();
    if names.iter().any(|name| name.parse::<f64>().is_ok()) {
        return Err(Problem::new(format!(
            "`{name}`: the first line holds figures, and no names of columns"
        ))
        .hint("put a line above it, as in `time,temperature`"));
    }
    let find =
        |typed: Option<&str>, option: &str, begins: &[&str]| {
            let fits = |column: &str| match typed {
                Some(typed) => column.eq_ignore_ascii_case(decimal::trim(typed)),
                None => {
                    let small = column.to_lowercase();
                    begins.iter().any(|begin| small.starts_with(begin))
                }
            };
            let found: Vec<usize> = (0..names.len())
                .filter(|index| fits(names[*index]))
                .collect();
            match (found.as_slice(), typed) {
            ([one], _) => Ok(*one),
            ([], Some(typed)) => Err(Problem::new(format!(
                "`{name}`: there is no column `{typed}`: its columns are {}",
                names.join(", ")
            ))),
            ([], None) => Err(Problem::new(format!(
                "`{name}`: no column begins with {}: its columns are {}",
                begins.join(" or "),
                names.join(", ")
            ))
            .hint(format!("say which one it is: {option} NAME"))),
            (several, _) => Err(Problem::new(format!(
                "`{name}`: {} columns may be meant: {}",
                several.len(),
                several.iter().map(|index| names[*index]).collect::<Vec<_>>().join(", ")
            ))
            .hint(format!(
                "say which one it is: {option} NAME; a date and a time of day belong in one column"
            ))),
        }
        };
    Ok([
        find(reading.time_column, "--time-column", &["time", "date"])?,
        find(reading.temp_column, "--temp-column", &["temp"])?,
    ])
}

/// The scale of the file: as given, as the column's name says, or as its first cell says. Two that differ
/// are refused, and so is none.
fn scale(
    text: &str,
    header: &StringRecord,
    (_, temperature): (usize, usize),
    separator: u8,
    reading: &Reading<'_>,
    name: &str,
) -> Result<Scale, Problem> {
    let column = header.get(temperature).map(decimal::trim).unwrap_or("");
    let named = scale_of_name(column);
    let mut reader = ReaderBuilder::new()
        .delimiter(separator)
        .flexible(true)
        .from_reader(text.as_bytes());
    let cell = reader.records().flatten().find_map(|record| {
        record
            .get(temperature)
            .map(str::to_owned)
            .filter(|cell| !cell.trim().is_empty())
    });
    let in_cell = cell
        .and_then(|cell| {
            with_a_point(decimal::trim(&cell), separator)
                .parse::<Temperature>()
                .ok()
        })
        .map(Temperature::scale);
    let mut said = [reading.unit, named, in_cell].into_iter().flatten();
    let Some(first) = said.next() else {
        return Err(Problem::new(format!(
            "`{name}`: nothing says whether `{column}` is in °C or °F"
        ))
        .hint("give --unit C or --unit F"));
    };
    if said.any(|other| other != first) {
        return Err(Problem::new(format!(
            "`{name}`: --unit, the name of the column `{column}` and its cells do not say the same scale"
        ))
        .hint("leave --unit away, or correct the file"));
    }
    Ok(first)
}

/// The scale that a column's name ends in: `temperature_c`, `Temp (°F)`, `temp [C]`.
fn scale_of_name(column: &str) -> Option<Scale> {
    let bare = column.trim_end_matches([')', ']', ' ']);
    let before = |letter: char| {
        let rest = bare.strip_suffix([letter, letter.to_ascii_uppercase()])?;
        rest.ends_with(['_', ' ', '(', '[', '°', '/']).then_some(())
    };
    match (before('c'), before('f')) {
        (Some(()), None) => Some(Scale::Celsius),
        (None, Some(())) => Some(Scale::Fahrenheit),
        _ => None,
    }
}

/// Moments that come twice with figures that differ. Sorted, they stand side by side.
fn contradictions(sorted: &[(Instant, i32, u64)]) -> Vec<(u64, Problem)> {
    sorted
        .windows(2)
        .filter(|two| two[0].0 == two[1].0 && two[0].1 != two[1].1)
        .map(|two| {
            let [(at, one, first), (_, other, line)] = [two[0], two[1]];
            let degrees = |milli: i32| f64::from(milli) / 1000.0;
            (
                line,
                Problem::new(format!(
                    "{} comes twice, with {} °C here and {} °C in line {first}",
                    at.format("%Y-%m-%d %H:%M:%S UTC"),
                    degrees(other),
                    degrees(one)
                )),
            )
        })
        .collect()
}

fn refusal(mut bad: Vec<(u64, Problem)>, rows: usize, name: &str) -> Problem {
    bad.sort_by_key(|(line, _)| *line);
    let mut problem = Problem::new(format!(
        "`{name}`: {} of {rows} cannot be read, so none was",
        count(bad.len(), "row")
    ));
    for (line, found) in bad.iter().take(NAMED) {
        let hint = found
            .hints()
            .first()
            .map_or(String::new(), |hint| format!(" ({hint})"));
        problem = problem.hint(format!("line {line}: {found}{hint}"));
    }
    if bad.len() > NAMED {
        problem = problem.hint(format!("and {} more", bad.len() - NAMED));
    }
    problem
}
