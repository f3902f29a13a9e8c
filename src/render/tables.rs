//! Rows of any table as CSV that loses nothing and that a spreadsheet may open.
//!
//! A cell without a value is empty. A text that is empty, or that begins with an apostrophe or with what a
//! spreadsheet would run as a formula, has one apostrophe put in front, which is taken off again when it is
//! read. Bytes are hexadecimal digits after `0x`.

use super::csv::safe;
use crate::ledger::tables::{Cell, Kind, Table, Unread};
use crate::quantity::Problem;
use std::io::{Read, Write};

/// Writes the header line of a table; rows follow with [`row`].
pub fn header<W: Write>(writer: &mut csv::Writer<W>, table: &Table) -> anyhow::Result<()> {
    writer.write_record(table.columns.iter().map(|column| &column.name))?;
    Ok(())
}

/// Writes one row.
pub fn row<W: Write>(writer: &mut csv::Writer<W>, cells: &[Cell]) -> anyhow::Result<()> {
    writer.write_record(cells.iter().map(written))?;
    Ok(())
}

/// Writes the header line of a list of what cannot be read; its lines follow with [`damage`].
pub fn damage_header<W: Write>(writer: &mut csv::Writer<W>) -> anyhow::Result<()> {
    writer.write_record(["table", "rows", "found"])?;
    Ok(())
}

/// Writes one part that cannot be read. A table as a whole has no rows.
pub fn damage<W: Write>(writer: &mut csv::Writer<W>, unread: &Unread) -> anyhow::Result<()> {
    let rows = unread.rows.as_deref().unwrap_or_default();
    writer.write_record([unread.table.as_str(), rows, unread.found.as_str()])?;
    Ok(())
}

/// Rows of a file, each with the words for where it stands.
pub fn rows<'a>(
    file: &'a str,
    table: &'a Table,
    from: impl Read + 'a,
) -> Result<impl Iterator<Item = Result<(String, Vec<Cell>), Problem>> + 'a, Problem> {
    let unreadable =
        move |error: csv::Error| Problem::new(format!("`{file}` cannot be read: {error}"));
    let mut reader = csv::Reader::from_reader(from);
    let header: Vec<String> = reader
        .headers()
        .map_err(unreadable)?
        .iter()
        .map(str::to_owned)
        .collect();
    let wanted: Vec<&str> = table
        .columns
        .iter()
        .map(|column| column.name.as_str())
        .collect();
    if header != wanted {
        return Err(Problem::new(format!(
            "`{file}` has other columns than the table: `{}`",
            header.join(",")
        ))
        .hint(format!("its columns are `{}`", wanted.join(","))));
    }
    Ok(reader.into_records().map(move |record| {
        let record = record.map_err(unreadable)?;
        let line = record.position().map_or(0, csv::Position::line);
        let place = format!("{file}, line {line}");
        let cells = record
            .iter()
            .zip(&table.columns)
            .map(|(text, column)| {
                read(text, column.kind).ok_or_else(|| {
                    Problem::new(format!(
                        "{place}, column {}: `{text}` is no {}",
                        column.name,
                        word(column.kind)
                    ))
                })
            })
            .collect::<Result<_, _>>()?;
        Ok((place, cells))
    }))
}

/// What a column holds, in words.
pub fn word(kind: Kind) -> &'static str {
    match kind {
        Kind::Whole => "whole number",
        Kind::Real => "number",
        Kind::Text => "text",
        Kind::Bytes => "bytes",
    }
}

fn written(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Whole(number) => number.to_string(),
        // The shortest digits that are read as the same number again.
        Cell::Real(number) => format!("{number:?}"),
        Cell::Text(text) if text.is_empty() || text.starts_with('\'') => format!("'{text}"),
        Cell::Text(text) => safe(text),
        Cell::Bytes(bytes) => {
            let digits: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
            format!("0x{digits}")
        }
    }
}

fn read(text: &str, kind: Kind) -> Option<Cell> {
    if text.is_empty() {
        return Some(Cell::Empty);
    }
    match kind {
        Kind::Whole => text.parse().ok().map(Cell::Whole),
        Kind::Real => text.parse().ok().map(Cell::Real),
        Kind::Text => Some(Cell::Text(
            text.strip_prefix('\'').unwrap_or(text).to_owned(),
        )),
        Kind::Bytes => {
            let digits = text
                .strip_prefix("0x")
                .filter(|digits| digits.bytes().all(|byte| byte.is_ascii_hexdigit()))?;
            let bytes = digits
                .as_bytes()
                .chunks(2)
                .map(|pair| {
                    let pair = std::str::from_utf8(pair).ok()?;
                    (pair.len() == 2).then(|| u8::from_str_radix(pair, 16).ok())?
                })
                .collect::<Option<_>>()?;
            Some(Cell::Bytes(bytes))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn cell() -> impl Strategy<Value = (Cell, Kind)> {
        // Texts of what tears CSV apart or is run by spreadsheets, beside any text at all.
        let nasty = "[=+@|%'\"\t\r\n,;0 a-]{0,6}";
        prop_oneof![
            any::<i64>().prop_map(|number| (Cell::Whole(number), Kind::Whole)),
            any::<f64>()
                .prop_filter("NaN is no value of a book", |number| !number.is_nan())
                .prop_map(|number| (Cell::Real(number), Kind::Real)),
            any::<String>().prop_map(|text| (Cell::Text(text), Kind::Text)),
            nasty.prop_map(|text| (Cell::Text(text), Kind::Text)),
            any::<Vec<u8>>().prop_map(|bytes| (Cell::Bytes(bytes), Kind::Bytes)),
            Just((Cell::Empty, Kind::Text)),
            Just((Cell::Empty, Kind::Whole)),
        ]
    }

    proptest! {
        #[test]
        fn every_value_comes_back_and_none_is_run_as_a_formula((cell, kind) in cell()) {
            let text = written(&cell);
            if kind == Kind::Text {
                prop_assert!(!text.starts_with(['=', '+', '-', '@', '\t', '\r', '|', '%']));
            }
            let mut writer = csv::Writer::from_writer(Vec::new());
            writer.write_record(["beside", &text]).unwrap();
            let file = writer.into_inner().unwrap();
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(false)
                .from_reader(file.as_slice());
            let record = reader.records().next().unwrap().unwrap();
            prop_assert_eq!(read(&record[1], kind), Some(cell));
        }

        #[test]
        fn what_is_no_value_is_refused_and_never_panics(text in any::<String>()) {
            for kind in [Kind::Whole, Kind::Real, Kind::Text, Kind::Bytes] {
                let _ = read(&text, kind);
            }
        }
    }

    #[test]
    fn digits_that_are_no_bytes_are_refused() {
        for text in ["0x0", "0x0g", "00", "0x+1", "0xß"] {
            assert_eq!(read(text, Kind::Bytes), None, "{text}");
        }
    }
}
