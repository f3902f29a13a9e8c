//! A logger's file: its columns found, its scale settled, every row read or named.

use super::bounded::{BadRows, RowFile, cut_cell, plain_text};
use super::pickup_file::Lines;
use crate::quantity::clock_change::{RowTime, RowTimes};
use crate::quantity::text::count;
use crate::quantity::{Instant, Problem, Scale, Temperature, Zone, decimal, when};
use csv::{Reader, ReaderBuilder, StringRecord};

/// How a logger's file is to be read.
pub struct Reading<'a> {
    /// The column of moments, where it was named.
    pub time_column: Option<&'a str>,
    /// The column of temperatures, where it was named.
    pub temp_column: Option<&'a str>,
    /// The scale, where it was given.
    pub unit: Option<Scale>,
    /// Whether every figure has a decimal comma, although commas part the cells.
    pub decimal_comma: bool,
    /// The zone of times without an offset.
    pub zone: &'a Zone,
    /// No reading that is taken lies after it.
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
    /// Rows outside of the time asked for, in the same way.
    pub left_out: Vec<(Instant, i32)>,
}

/// Columns that a refusal names.
const NAMED: usize = 20;

/// Bytes of the text that are read before they are let go: the rows of a large file take as much memory again.
const PART: u64 = 8 << 20;

/// Rows that are understood, and those that cannot be read.
#[derive(Default)]
struct Rows {
    /// Moment, temperature and line.
    kept: Vec<(Instant, i32, u32)>,
    left_out: Vec<(Instant, i32)>,
    empty: usize,
    bad: BadRows,
}

/// What a logger that keeps one offset all year needs said.
const ONE_OFFSET: &str = "where the logger keeps one offset all year, name a zone of that offset: --zone UTC, or --zone Etc/GMT-1 for one hour ahead of UTC";

/// Reads a file. One bad row refuses all of it.
pub fn read(file: RowFile, reading: &Reading<'_>) -> Result<Logged, Problem> {
    let name = file.name.clone();
    let mut text = plain_text(file)?;
    if text.trim().is_empty() {
        return Err(Problem::new(format!("the file `{name}` is empty")));
    }
    let separator = separator(&text);
    let mut reader = reader_of(&text, separator);
    let not_understood =
        |error: csv::Error| Problem::new(format!("the file `{name}` is not understood: {error}"));
    let mut header = StringRecord::new();
    reader.read_record(&mut header).map_err(not_understood)?;
    let mut done = reader.position().byte();
    let [time, temperature] = columns(&header, reading, &name)?;
    let cells = Cells {
        columns: header.len(),
        time,
        temperature,
        separator,
        decimal_comma: reading.decimal_comma,
    };
    let scale = scale(&text, &header, &cells, reading, &name)?;
    let mut found = Rows::default();
    let mut times = RowTimes::default();
    let mut doubled = Vec::new();
    let mut rows = 0;
    let mut first_line = 1;
    let mut record = StringRecord::new();
    while !text.is_empty() {
        let mut lines = Lines::new(&text, first_line);
        first_line = lines.of(done);
        let end = lines.counted();
        text.drain(..end);
        text.shrink_to_fit();
        let mut lines = Lines::new(&text, first_line);
        let mut reader = reader_of(&text, separator);
        while reader.position().byte() < PART
            && reader.read_record(&mut record).map_err(not_understood)?
        {
            if record.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            rows += 1;
            let line = lines.of(record.position().map_or(0, csv::Position::byte));
            let read = cells.of(&record).and_then(|(time, temperature)| {
                Ok((moment(time, reading)?, milli_celsius(&temperature, scale)?))
            });
            match read {
                Ok((time, milli)) => {
                    times.add(time);
                    match time {
                        RowTime::Once(at) => found.add(line, at, milli, reading),
                        RowTime::Twice { .. } => doubled.push((line, milli)),
                    }
                }
                Err(problem) => found.bad.add(line, [(None, &problem)]),
            }
        }
        done = reader.position().byte();
    }
    if rows == 0 {
        return Err(
            Problem::new(format!("the file `{name}` has no rows under its header"))
                .hint("the first line names the columns, as in `time,temperature`"),
        );
    }
    for ((line, milli), at) in doubled.into_iter().zip(times.settled()) {
        match at {
            Some(at) => found.add(line, at, milli, reading),
            None => {
                found.bad.advise(ONE_OFFSET);
                let problem = Problem::new(format!(
                    "its time comes twice in {}: nothing beside it shows which one is meant",
                    reading.zone.name()
                ));
                found.bad.add(line, [(None, &problem)]);
            }
        }
    }
    found.kept.sort_unstable();
    found.left_out.sort_unstable();
    for (line, problem) in contradictions(&found.kept) {
        found.bad.add(line, [(None, &problem)]);
    }
    if !found.bad.is_empty() {
        return Err(found.bad.refusal(&name, rows, "read"));
    }
    // Both are of one alignment, so that the readings take the place of the rows.
    let kept = found.kept.into_iter();
    let mut readings: Vec<(Instant, i32)> = kept.map(|(at, milli, _)| (at, milli)).collect();
    readings.dedup_by_key(|(at, _)| *at);
    Ok(Logged {
        scale,
        readings,
        empty: found.empty,
        left_out: found.left_out,
    })
}

impl Rows {
    /// Adds a row whose moment is known.
    fn add(&mut self, line: u64, at: Instant, milli: Option<i32>, reading: &Reading<'_>) {
        let is_left_out = reading.leaves_out(at);
        match milli {
            _ if at > reading.now && !is_left_out => {
                let problem =
                    Problem::new(format!("time {} lies after now", reading.zone.in_words(at)))
                        .hint(
                            "set the logger's clock, or --zone where its times are of another zone",
                        );
                self.bad.add(line, [(None, &problem)]);
            }
            None => self.empty += 1,
            Some(milli) if is_left_out => self.left_out.push((at, milli)),
            Some(milli) => self.kept.push((at, milli, line as u32)),
        }
    }
}

fn reader_of(text: &str, separator: u8) -> Reader<&[u8]> {
    ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
}

impl Reading<'_> {
    fn leaves_out(&self, at: Instant) -> bool {
        self.from.is_some_and(|from| at < from) || self.before.is_some_and(|before| at >= before)
    }
}

/// How the cells of a row are told apart.
struct Cells {
    columns: usize,
    time: usize,
    temperature: usize,
    separator: u8,
    decimal_comma: bool,
}

impl Cells {
    /// The cells of time and temperature, the latter with a decimal point.
    ///
    /// A decimal comma between cells that commas part makes two cells of a figure. With two columns only one
    /// reading of such a row is possible; with more, the option has to say that every figure is written so.
    fn of<'r>(&self, record: &'r StringRecord) -> Result<(&'r str, String), Problem> {
        let cell = |at: usize| record.get(at).unwrap_or("");
        let figures = self.columns - 1;
        let is_split = self.separator == b','
            && record.len() == 1 + 2 * figures
            && (self.columns == 2 || self.decimal_comma);
        if is_split {
            let before = |place: usize| {
                let shift = if self.time < place { place - 1 } else { place };
                2 * shift + usize::from(self.time < place)
            };
            let at = before(self.temperature);
            let (whole, part) = (decimal::trim(cell(at)), decimal::trim(cell(at + 1)));
            let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
            let end = part
                .find(|c: char| !c.is_ascii_digit())
                .unwrap_or(part.len());
            if digits(whole.trim_start_matches(['-', '+', '\u{2212}'])) && digits(&part[..end]) {
                return Ok((cell(2 * self.time), format!("{whole}.{part}")));
            }
        }
        if record.len() != self.columns {
            let refused = Problem::new(format!(
                "{} where the header has {}",
                count(record.len(), "cell"),
                self.columns
            ));
            return Err(if self.separator == b',' && record.len() > self.columns {
                refused.hint("where every figure has a decimal comma, add --decimal-comma")
            } else {
                refused
            });
        }
        Ok((cell(self.time), with_a_point(cell(self.temperature))))
    }
}

/// A temperature on the scale of the file, or nothing where the cell is empty.
fn milli_celsius(cell: &str, scale: Scale) -> Result<Option<i32>, Problem> {
    let cell = decimal::trim(cell);
    if cell.is_empty() {
        return Ok(None);
    }
    let letter = match scale {
        Scale::Celsius => "C",
        Scale::Fahrenheit => "F",
    };
    let typed: Temperature = if cell.ends_with(|c: char| c.is_ascii_digit() || c == '.') {
        format!("{cell}{letter}").parse()?
    } else {
        cell.parse()?
    };
    if typed.scale() != scale {
        return Err(Problem::new(format!(
            "temperature `{cell}` is on another scale than the rest: {letter} is taken"
        )));
    }
    Ok(Some(typed.milli_celsius()))
}

/// A moment as loggers write it: a date with its year, then the time of day.
fn moment(cell: &str, reading: &Reading<'_>) -> Result<RowTime, Problem> {
    let text = decimal::trim(cell);
    let bytes = text.as_bytes();
    let begins_with_a_date = bytes.len() > 10
        && bytes[..4].iter().all(u8::is_ascii_digit)
        && bytes[4] == b'-'
        && text.is_char_boundary(10)
        && text[10..].contains(':');
    if !text.is_ascii() || !begins_with_a_date {
        return Err(Problem::new(format!(
            "time `{text}` is no moment as a file of readings has it"
        ))
        .hint("write it like 2026-11-20 07:30, 2026-11-20 07:30:15 or 2026-11-20T07:30:00+01:00"));
    }
    when::row_time(without_fraction(text), reading.now, reading.zone)
}

/// Leaves out a fraction of a second at the end; one before an offset is understood as it is.
fn without_fraction(text: &str) -> &str {
    match text.rsplit_once('.') {
        Some((whole, fraction)) if fraction.bytes().all(|byte| byte.is_ascii_digit()) => whole,
        _ => text,
    }
}

/// Within a cell a comma can only be a decimal one: no place is a thousand degrees warm.
fn with_a_point(cell: &str) -> String {
    if cell.matches(',').count() == 1 && !cell.contains('.') {
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
    let shown = |places: &[usize]| {
        let names: Vec<String> = places
            .iter()
            .take(NAMED)
            .map(|place| cut_cell(names[*place]))
            .collect();
        names.join(", ")
    };
    let all: Vec<usize> = (0..names.len()).collect();
    if names.iter().any(|name| name.parse::<f64>().is_ok()) {
        return Err(Problem::new(format!(
            "`{name}`: the first line holds figures, and no names of columns"
        ))
        .hint("put a line above it, as in `time,temperature`"));
    }
    let find = |typed: Option<&str>, option: &str, begins: &[&str]| {
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
                shown(&all)
            ))),
            ([], None) => Err(Problem::new(format!(
                "`{name}`: no column begins with {}: its columns are {}",
                begins.join(" or "),
                shown(&all)
            ))
            .hint(format!("say which one it is: {option} NAME"))),
            (several, _) => Err(Problem::new(format!(
                "`{name}`: {} columns may be meant: {}",
                several.len(),
                shown(several)
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
    cells: &Cells,
    reading: &Reading<'_>,
    name: &str,
) -> Result<Scale, Problem> {
    let column = header.get(cells.temperature).map_or("", decimal::trim);
    let named = scale_of_name(column);
    let mut reader = reader_of(text, cells.separator);
    let cell = reader.records().skip(1).flatten().find_map(|record| {
        let (_, cell) = cells.of(&record).ok()?;
        (!cell.trim().is_empty()).then_some(cell)
    });
    let in_cell = cell
        .and_then(|cell| cell.parse::<Temperature>().ok())
        .map(Temperature::scale);
    let mut said = [reading.unit, named, in_cell].into_iter().flatten();
    let Some(first) = said.next() else {
        return Err(Problem::new(format!(
            "`{name}`: nothing says whether `{}` is in °C or °F",
            cut_cell(column)
        ))
        .hint("give --unit C or --unit F"));
    };
    if said.any(|other| other != first) {
        return Err(Problem::new(format!(
            "`{name}`: --unit, the name of the column `{}` and its cells do not say the same scale",
            cut_cell(column)
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
fn contradictions(sorted: &[(Instant, i32, u32)]) -> impl Iterator<Item = (u64, Problem)> {
    sorted
        .windows(2)
        .filter(|two| two[0].0 == two[1].0 && two[0].1 != two[1].1)
        .map(|two| {
            let [(at, one, first), (_, other, line)] = [two[0], two[1]];
            let degrees = |milli: i32| f64::from(milli) / 1000.0;
            (
                u64::from(line),
                Problem::new(format!(
                    "{} comes twice, with {} °C here and {} °C in line {first}",
                    at.format("%Y-%m-%d %H:%M:%S UTC"),
                    degrees(other),
                    degrees(one)
                )),
            )
        })
}
