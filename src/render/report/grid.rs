//! A table of a report on its page: as wide as paper, and turned where it has more columns than fit.

use super::table::{Cell, Reader, Table};
use maud::{Markup, html};

/// Columns that fit beside each other on paper; a table of more is turned, so that its columns are lines.
const ACROSS: usize = 8;
/// Rows that stand beside each other in a turned table; of more there are several tables.
const TURNED: usize = 6;
/// A word of up to so many letters never breaks; a longer one may, or it could make the table wider than the page.
const LETTERS: usize = 14;

/// A cell as it is set.
struct Shown {
    text: String,
    is_right: bool,
    is_code: bool,
}

impl Shown {
    /// None of plain words, which most cells hold: an empty one in each of them weighs kilobytes.
    fn class(&self) -> Option<String> {
        let classes = [
            (self.is_right, "number"),
            (self.is_code, "whole"),
            (self.may_break(), "breaks"),
        ];
        let names = classes.iter().filter(|(is_so, _)| *is_so);
        let names: Vec<&str> = names.map(|(_, name)| *name).collect();
        (!names.is_empty()).then(|| names.join(" "))
    }

    fn may_break(&self) -> bool {
        let mut words = self.text.split_whitespace();
        !self.is_code && words.any(|word| word.chars().count() > LETTERS)
    }
}

/// The table; nothing of one without rows.
pub fn grid(table: &Table, reader: Reader<'_>) -> Markup {
    if table.rows.is_empty() {
        return html! {};
    }
    let columns = table.used_columns();
    let unit = reader.unit_of(table);
    let head = |column: usize, is_right: bool| Shown {
        text: table.columns[column].1.to_owned(),
        is_right,
        is_code: false,
    };
    let cell = |row: &[Cell], column: usize, is_right: bool| Shown {
        text: reader.cell(&row[column], unit),
        is_right,
        is_code: row[column].is_code(),
    };
    if columns.len() <= ACROSS {
        let is_number = |column: usize| table.rows.iter().any(|row| row[column].is_number());
        let columns: Vec<(usize, bool)> = columns
            .into_iter()
            .map(|column| (column, is_number(column)))
            .collect();
        let first = columns.iter().map(|(column, right)| head(*column, *right));
        let lines = table.rows.iter().map(|row| {
            let line = columns.iter();
            line.map(|(column, right)| cell(row, *column, *right))
                .collect::<Vec<_>>()
        });
        return drawn(table.title, first.collect(), lines);
    }
    let parts = table.rows.chunks(TURNED);
    let is_parted = parts.len() > 1;
    html! {
        @for (number, rows) in (1..).zip(parts) {
            @let title = if is_parted { format!("{}, part {number}", table.title) } else { table.title.to_owned() };
            @let mut lines = columns.iter().map(|column| {
                let name = std::iter::once(head(*column, false));
                name.chain(rows.iter().map(|row| cell(row, *column, true))).collect::<Vec<_>>()
            });
            (drawn(&title, lines.next().unwrap_or_default(), lines))
        }
    }
}

fn drawn(title: &str, head: Vec<Shown>, lines: impl Iterator<Item = Vec<Shown>>) -> Markup {
    html! {
        // What scrolls is reached by keys too.
        div.wide role="region" tabindex="0" aria-label=(title) {
            table {
                caption { (title) }
                thead { tr { @for cell in head { th class=[cell.class()] { (cell.text) } } } }
                tbody {
                    @for line in lines {
                        tr {
                            @for cell in line {
                                td class=[cell.class()] { (cell.text) }
                            }
                        }
                    }
                }
            }
        }
    }
}
