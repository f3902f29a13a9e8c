//! Lines of prose for a terminal: wrapped, labelled, aligned.

use super::numbers::Units;
use crate::report::Caution;
use std::fmt::Write;

/// Lines are no longer than this, so that they read on the narrowest usual terminal.
pub const WIDTH: usize = 80;

/// Width of the label column.
const LABEL: usize = 12;

/// `label      text`, wrapped under the text.
pub fn labelled(out: &mut String, label: &str, text: &str) {
    Lines::Wrapped.labelled(out, label, text);
}

/// Where lines of prose end.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Lines {
    /// Where a terminal is full.
    Wrapped,
    /// Where the text does: a page wraps them itself.
    Whole,
}

impl Lines {
    /// For whoever types commands, or for a page.
    pub const fn of(is_typed: bool) -> Self {
        if is_typed { Self::Wrapped } else { Self::Whole }
    }

    /// Adds a text with a first and a following indent.
    pub fn add(self, out: &mut String, first: &str, rest: &str, text: &str) {
        match self {
            Self::Wrapped => wrapped(out, first, rest, text),
            Self::Whole => {
                let _ = writeln!(out, "{first}{text}");
            }
        }
    }

    /// Adds a text with its label.
    pub fn labelled(self, out: &mut String, label: &str, text: &str) {
        let first = format!("{label:<LABEL$}");
        self.add(out, &first, &" ".repeat(LABEL), text);
    }
}

/// Names in a sentence.
pub fn quoted<T: std::fmt::Display>(names: &[T]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    quoted.join(", ")
}

/// The sources of grain that was joined.
pub fn together(sources: &[String]) -> String {
    sources.join(" + ")
}

/// Text wrapped with a first and a following indent. Codes and numbers with their unit stay whole.
pub fn wrapped(out: &mut String, first: &str, rest: &str, text: &str) {
    wrapped_to(WIDTH, out, (first, rest), text);
}

/// A caution, marked as one.
pub fn caution(out: &mut String, text: &str) {
    wrapped_to(Caution::WIDTH, out, ("! ", "  "), text);
}

fn wrapped_to(width: usize, out: &mut String, (first, rest): (&str, &str), text: &str) {
    let options = textwrap::Options::new(width)
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
pub fn cautions(out: &mut String, cautions: &[Caution], units: Units) {
    if !cautions.is_empty() {
        out.push('\n');
    }
    for caution in cautions {
        let said = units.in_words(&caution.text());
        // Names of allergens may fill a line: what is said behind them stays together.
        let text = match said.rsplit_once(". ") {
            Some((names, check)) if matches!(caution, Caution::Allergens(_)) => {
                format!("{names}. {}", check.replace(' ', NO_BREAK))
            }
            _ => said.clone(),
        };
        self::caution(out, &text);
    }
}

/// Columns of text, two spaces apart. Columns marked `true` are set flush right.
pub fn table(rows: &[Vec<String>], right: &[bool]) -> Vec<String> {
    let mut columns = Columns::new(right);
    rows.iter().for_each(|row| columns.measure(row));
    rows.iter().map(|row| columns.line(row)).collect()
}

/// The columns of a table: first every row is measured, then each is set.
pub struct Columns<'r> {
    widths: Vec<usize>,
    right: &'r [bool],
}

impl<'r> Columns<'r> {
    /// Columns, those marked `true` set flush right.
    pub fn new(right: &'r [bool]) -> Self {
        Self {
            widths: vec![0; right.len()],
            right,
        }
    }

    /// Makes them wide enough for a row; columns that it leaves out at its end stay as they are.
    pub fn measure(&mut self, row: &[impl AsRef<str>]) {
        for (width, cell) in self.widths.iter_mut().zip(row) {
            *width = columns_wide(cell.as_ref()).max(*width);
        }
    }

    /// How wide a line is whose columns have something in them.
    pub fn width(&self) -> usize {
        let used = self.widths.iter().filter(|width| **width > 0);
        used.clone().sum::<usize>() + 2 * used.count().saturating_sub(1)
    }

    /// A row as lines that fit, each with its end: what the last column has no room for goes on below it.
    pub fn fitting<const N: usize>(&self, row: &[String; N]) -> String {
        let line = self.line(row);
        if columns_wide(&line) <= WIDTH {
            return line + "\n";
        }
        let others = &row[..N - 1];
        let before = self.widths[..N - 1].iter().map(|width| width + 2).sum();
        let head = format!("{:before$}", self.line(others));
        let mut out = String::new();
        wrapped(&mut out, &head, &" ".repeat(before), &row[N - 1]);
        out
    }

    /// A row as a line, without its end.
    pub fn line(&self, row: &[impl AsRef<str>]) -> String {
        let mut line = String::new();
        for (column, cell) in row.iter().enumerate() {
            let (cell, right) = (cell.as_ref(), self.right[column]);
            let gap = self.widths[column].saturating_sub(columns_wide(cell));
            if column > 0 {
                line.push_str("  ");
            }
            let (before, after) = if right { (gap, 0) } else { (0, gap) };
            line.extend(std::iter::repeat_n(' ', before));
            line.push_str(cell);
            line.extend(std::iter::repeat_n(' ', after));
        }
        line.truncate(line.trim_end().len());
        line
    }
}

/// Text cut to so many columns, with a sign where something was cut off.
pub fn cut(text: &str, room: usize) -> String {
    if columns_wide(text) <= room {
        return text.to_owned();
    }
    let mut cut = String::new();
    for letter in text.chars() {
        if columns_wide(&cut) + unicode_width::UnicodeWidthChar::width(letter).unwrap_or(0) >= room
        {
            break;
        }
        cut.push(letter);
    }
    cut.push('…');
    cut
}

fn columns_wide(text: &str) -> usize {
    unicode_width::UnicodeWidthStr::width(text)
}

/// With a capital at its begin.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_too_long_is_cut_to_its_room_with_a_sign() {
        for (text, room, cut_to) in [
            ("fridge", 6, "fridge"),
            ("fridge", 5, "frid…"),
            ("冷蔵庫", 6, "冷蔵庫"),
            ("冷蔵庫", 5, "冷蔵…"),
        ] {
            assert_eq!(cut(text, room), cut_to);
            assert!(columns_wide(&cut(text, room)) <= room);
        }
    }

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
