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

/// Text wrapped with a first and a following indent. Codes and numbers with their unit stay whole.
pub fn wrapped(out: &mut String, first: &str, rest: &str, text: &str) {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .break_words(false);
    for line in textwrap::wrap(&bound(text), options) {
        let _ = writeln!(out, "{}", line.trim_end().replace(NO_BREAK, " "));
    }
}

/// A blank at which no line breaks; it is a plain blank again once the lines are set.
const NO_BREAK: &str = "\u{a0}";

/// Binds units and the other side of a ± to the number before them.
fn bound(text: &str) -> String {
    const UNITS: [&str; 13] = [
        "±", "%", "°C", "°F", "kg", "g", "lb", "oz", "h", "min", "days", "cm", "in",
    ];
    let mut bound = String::with_capacity(text.len() + 16);
    let mut before = "";
    for (index, word) in text.split(' ').enumerate() {
        let bare = word.trim_end_matches([',', ';', '.', ':', ')', ']']);
        let follows_number =
            before.ends_with(|c: char| c.is_ascii_digit()) && UNITS.contains(&bare);
        if index > 0 {
            bound.push_str(if follows_number || before == "±" {
                NO_BREAK
            } else {
                " "
            });
        }
        bound.push_str(word);
        before = word;
    }
    bound
}

/// The cautions at the end of an answer.
pub fn cautions(out: &mut String, cautions: &[Caution]) {
    if !cautions.is_empty() {
        out.push('\n');
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_codes_stay_whole_at_the_end_of_a_line() {
        for filler in 50..90 {
            let mut out = String::new();
            let text = format!(
                "{} moisture 78 ± 7 %, lot ALD-261120-1T of 18.4 kg.",
                "x".repeat(filler)
            );
            wrapped(&mut out, "", "", &text);
            for whole in ["78 ± 7 %,", "ALD-261120-1T", "18.4 kg."] {
                assert!(out.contains(whole), "{out}");
            }
            assert!(!out.contains(NO_BREAK));
        }
    }
}
