//! A report as CSV and as a spreadsheet: the same cells as dates and numbers, text never as a formula.

use super::table::{Cell, Reader, Section, Table, unit};
use crate::quantity::text::visible;
use crate::quantity::{Milligrams, mass};
use crate::render::csv::{failed, safe};
use crate::report::period::PeriodReport;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};
use serde_json::Value;

/// The name of each CSV file and its text.
pub fn csv(report: &PeriodReport, reader: Reader<'_>) -> anyhow::Result<Vec<(String, String)>> {
    super::sections(report, reader)
        .iter()
        .flat_map(|section| &section.tables)
        .map(|table| Ok((format!("{}.csv", table.key), csv_of(table, reader)?)))
        .collect()
}

fn csv_of(table: &Table, reader: Reader<'_>) -> anyhow::Result<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heads = table.columns.iter().map(|(key, _)| *key);
    writer.write_record(heads).map_err(failed)?;
    for row in &table.rows {
        let cells = row.iter().map(|cell| match cell.json(reader.zone) {
            Value::Null => String::new(),
            Value::String(text) => safe(&visible(&text)),
            value => value.to_string(),
        });
        writer.write_record(cells).map_err(failed)?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}

/// The same tables as the bytes of a spreadsheet, a sheet each, the answers on the first.
pub fn xlsx(report: &PeriodReport, reader: Reader<'_>) -> anyhow::Result<Vec<u8>> {
    let mut book = Workbook::new();
    // The file says nothing of when it was made: the same book gives the same bytes.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&made));
    let sections = super::sections(report, reader);
    answers(book.add_worksheet(), &sections, report, reader)?;
    // Each row goes to a temporary file once it is written, and each table is let go once its sheet holds it.
    for table in sections.into_iter().flat_map(|section| section.tables) {
        sheet(book.add_worksheet_with_constant_memory()?, &table, reader)?;
    }
    Ok(book.save_to_buffer()?)
}

fn answers(
    sheet: &mut Worksheet,
    sections: &[Section],
    report: &PeriodReport,
    reader: Reader<'_>,
) -> Result<(), XlsxError> {
    sheet.set_name("answers")?.set_freeze_panes(1, 0)?;
    sheet.set_column_width(0, 40)?.set_column_width(1, 110)?;
    let bold = Format::new().set_bold();
    sheet.write_string_with_format(0, 0, "Question", &bold)?;
    sheet.write_string_with_format(0, 1, "Answer", &bold)?;
    let first = [("What stands out?", super::heading(report, reader))];
    let others = sections
        .iter()
        .map(|section| (section.title, section.says.clone()));
    for (row, (question, answer)) in (1u32..).zip(first.into_iter().chain(others)) {
        sheet.write_string(row, 0, question)?;
        sheet.write_string(row, 1, visible(&answer))?;
    }
    Ok(())
}

fn sheet(sheet: &mut Worksheet, table: &Table, reader: Reader<'_>) -> Result<(), XlsxError> {
    sheet.set_name(table.key)?.set_freeze_panes(1, 0)?;
    let bold = Format::new().set_bold();
    for (column, (key, head)) in (0u16..).zip(table.columns) {
        let head = match unit(key) {
            Some(unit) => format!("{head} ({unit})"),
            None => (*head).to_owned(),
        };
        sheet.set_column_width(column, head.chars().count().max(12) as f64)?;
        sheet.write_string_with_format(0, column, head, &bold)?;
    }
    for (row, cells) in (1u32..).zip(&table.rows) {
        for (column, cell) in (0u16..).zip(cells) {
            write(sheet, (row, column), cell, reader)?;
        }
    }
    Ok(())
}

fn write(
    sheet: &mut Worksheet,
    (row, column): (u32, u16),
    cell: &Cell,
    reader: Reader<'_>,
) -> Result<(), XlsxError> {
    let mut number = |value: f64, format: &str| {
        let format = Format::new().set_num_format(format);
        sheet
            .write_number_with_format(row, column, value, &format)
            .map(|_| ())
    };
    match cell {
        Cell::None => Ok(()),
        Cell::Text(text) | Cell::Code(text) => {
            sheet.write_string(row, column, visible(text)).map(|_| ())
        }
        Cell::KnownFrom(key) => sheet.write_string(row, column, *key).map(|_| ()),
        Cell::Weighed(wet) | Cell::ForFiles(wet) => {
            number(Milligrams::new(*wet).grams(), "#,##0.0##")
        }
        Cell::Mass(dry) => number(mass::grams(*dry), "#,##0"),
        Cell::Count(count) => number(*count as f64, "0"),
        Cell::Part(part) | Cell::Moisture(part) => number(*part, "0.0%"),
        Cell::HalfWidth(half) => number(half * 100.0, "0.0"),
        Cell::Days(days) => number(*days, "0.0"),
        Cell::Minutes(minutes) => number(*minutes as f64, "0"),
        Cell::Money(money) => number(*money, "0.00"),
        Cell::Temperature(temperature) => number(temperature.degrees_celsius(), "0.0"),
        Cell::At(at) => {
            let format = Format::new().set_num_format("yyyy-mm-dd hh:mm");
            let local = reader.zone.local(*at);
            sheet
                .write_datetime_with_format(row, column, local, &format)
                .map(|_| ())
        }
        Cell::Day(day) => {
            let format = Format::new().set_num_format("yyyy-mm-dd");
            sheet
                .write_datetime_with_format(row, column, *day, &format)
                .map(|_| ())
        }
    }
}
