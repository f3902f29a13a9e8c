//! Lines of prose for a terminal: wrapped, labelled, aligned.

use crate::report::Caution;
use std::fmt::Write;

/// Lines are no longer than this, so that they read on the narrowest usual terminal.
pub const WIDTH: usize = 80;

/// Width of the label column.
const LABEL: usize = 12;

/// `label      text`, wrapped under the text.
pub fn labelled(out: &mut String, label: &str, text: &str) {
    let first = format!("{label:<LABEL$}");
    let rest = " ".repeat(LABEL);
    wrapped(out, &first, &rest, text);
}

/// Text wrapped with a first and a following indent.
pub fn wrapped(out: &mut String, first: &str, rest: &str, text: &str) {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(rest)
        .break_words(false);
    for line in textwrap::wrap(text, options) {
        let _ = writeln!(out, "{}", line.trim_end());
    }
}

/// The cautions at the end of an answer.
pub fn cautions(out: &mut String, cautions: &[Caution]) {
    out.push('\n');
    for caution in cautions {
        wrapped(out, "! ", "  ", caution.text());
    }
}

/// Columns of text, two spaces apart. Columns marked `true` are set flush right.
pub fn table(rows: &[Vec<String>], right: &[bool]) -> Vec<String> {
    let width = |column: usize| {
        rows.iter()
            .map(|row| columns_wide(&row[column]))
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..right.len()).map(width).collect();
    rows.iter()
        .map(|row| {
            let mut line = String::new();
            for (column, cell) in row.iter().enumerate() {
                let gap = " ".repeat(widths[column].saturating_sub(columns_wide(cell)));
                let (before, after) = if right[column] {
                    (gap, String::new())
                } else {
                    (String::new(), gap)
                };
                if column > 0 {
                    line.push_str("  ");
                }
                line.push_str(&before);
                line.push_str(cell);
                line.push_str(&after);
            }
            line.trim_end().to_owned()
        })
        .collect()
}

fn columns_wide(text: &str) -> usize {
    unicode_width::UnicodeWidthStr::width(text)
}
