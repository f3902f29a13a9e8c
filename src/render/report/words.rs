//! A report in words for a terminal.

use super::table::{Cell, Reader, SHOWN, Table};
use crate::render::words::{Columns, WIDTH, wrapped};
use crate::report::period::PeriodReport;

/// The whole answer.
pub fn text(report: &PeriodReport, reader: Reader<'_>) -> String {
    let mut out = String::new();
    let days = super::days_of(report, reader.zone);
    wrapped(
        &mut out,
        "",
        "",
        &format!("Report on {}, {days}", report.book),
    );
    wrapped(&mut out, "", "", &super::heading(report, reader));
    for section in super::sections(report, reader) {
        out.push('\n');
        out.push_str(section.title);
        out.push('\n');
        wrapped(&mut out, "  ", "  ", &section.says);
        // Day by day is for pages and files.
        for table in section.tables.iter().filter(|table| table.key != "days") {
            write(&mut out, table, reader);
        }
    }
    out
}

/// A table as wide as it may be, or turned so that its columns are lines, or each row as a list. Of a long one it is told how
/// many rows there are.
fn write(out: &mut String, table: &Table, reader: Reader<'_>) {
    if table.rows.is_empty() {
        return;
    }
    let shown = &table.rows[..table.rows.len().min(SHOWN)];
    out.push('\n');
    let all = rows(table, shown, &[], reader);
    let is_set = (0..=table.spare.len()).any(|spared| {
        let right = |column: &usize| table.rows.iter().any(|row| row[*column].is_number());
        let columns = columns(table, &table.spare[..spared]);
        let right: Vec<bool> = columns.iter().map(right).collect();
        set(
            out,
            &rows(table, shown, &table.spare[..spared], reader),
            &right,
        )
    });
    if !is_set {
        let turned: Vec<Vec<String>> = (0..all[0].len())
            .map(|column| all.iter().map(|row| row[column].clone()).collect())
            .collect();
        let right: Vec<bool> = (0..all.len()).map(|column| column > 0).collect();
        if !set(out, &turned, &right) {
            listed(out, &all);
        }
    }
    let more = table.rows.len() - shown.len();
    if more > 0 {
        let words = format!("and {more} more: --json has all, --from and --to a part of them");
        wrapped(out, "  ", "  ", &words);
    }
}

/// The columns that say something, but for those that are spared.
fn columns(table: &Table, spared: &[&str]) -> Vec<usize> {
    let mut columns = table.used_columns();
    columns.retain(|column| !spared.contains(&table.columns[*column].0));
    columns
}

/// The heading and the rows as words.
fn rows(
    table: &Table,
    shown: &[Vec<Cell>],
    spared: &[&str],
    reader: Reader<'_>,
) -> Vec<Vec<String>> {
    let columns = columns(table, spared);
    let head = columns
        .iter()
        .map(|column| table.columns[*column].1.to_owned());
    let unit = reader.unit_of(table);
    let mut rows = vec![head.collect()];
    for row in shown {
        rows.push(
            columns
                .iter()
                .map(|column| reader.cell(&row[*column], unit))
                .collect(),
        );
    }
    rows
}

/// Writes rows as lines, if they are not too wide.
fn set(out: &mut String, rows: &[Vec<String>], right: &[bool]) -> bool {
    let mut columns = Columns::new(right);
    rows.iter().for_each(|row| columns.measure(row));
    if columns.width() + 2 > WIDTH {
        return false;
    }
    for row in rows {
        out.push_str("  ");
        out.push_str(&columns.line(row));
        out.push('\n');
    }
    true
}

/// Each row below the other, a line for each of its cells that says something.
fn listed(out: &mut String, rows: &[Vec<String>]) {
    let (head, rows) = (&rows[0], &rows[1..]);
    let names = head.iter().map(|name| name.chars().count());
    let wide = names.max().unwrap_or(0) + 2;
    for row in rows {
        wrapped(out, "  ", "    ", &row[0]);
        for (name, cell) in head
            .iter()
            .zip(row)
            .skip(1)
            .filter(|(_, cell)| !cell.is_empty())
        {
            wrapped(
                out,
                &format!("    {name:<wide$}"),
                &" ".repeat(wide + 4),
                cell,
            );
        }
    }
}
