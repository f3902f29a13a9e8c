//! Files of rows from anywhere: read up to a size that memory holds, and never echoed whole.

use crate::quantity::Problem;
use crate::quantity::text::count;

/// The largest file of rows that is read, in bytes.
pub const LARGEST_FILE: u64 = 64 << 20;
/// The longest line of it, in bytes.
const LONGEST_LINE: usize = 64 << 10;
/// Bad rows named one by one; of more it is told only how many there are.
pub const NAMED: usize = 20;
/// Characters of a cell that a refusal shows.
const SHOWN: usize = 60;
/// Characters that a refusal says of one row and column.
const LONGEST_WORDS: usize = 500;

/// A file of rows as it came: no more than a byte above [`LARGEST_FILE`] needs to be read of it.
pub struct RowFile {
    /// What it is called in refusals.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The text of a file in UTF-8, a byte order mark left out.
pub(super) fn plain_text(file: RowFile) -> Result<String, Problem> {
    let RowFile { name, bytes } = file;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(Problem::new(format!(
            "the file `{name}` holds more than {} MiB: that is the most",
            LARGEST_FILE >> 20
        ))
        .hint("split it by rows, each part with the first line of the file"));
    }
    let hint = "save it from the spreadsheet as CSV UTF-8";
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(
            Problem::new(format!("the file `{name}` is UTF-16: allowed is UTF-8")).hint(hint),
        );
    }
    let mut text = String::from_utf8(bytes).map_err(|error| {
        let understood = &error.as_bytes()[..error.utf8_error().valid_up_to()];
        let line = understood.iter().filter(|byte| **byte == b'\n').count() + 1;
        Problem::new(format!("the file `{name}` is not UTF-8: see line {line}")).hint(hint)
    })?;
    for (line, found) in text.split('\n').enumerate() {
        if found.len() > LONGEST_LINE {
            return Err(Problem::new(format!(
                "the file `{name}`: line {} has {} bytes: at most {LONGEST_LINE} are allowed",
                line + 1,
                found.len()
            )));
        }
    }
    if text.starts_with('\u{feff}') {
        text.drain(..'\u{feff}'.len_utf8());
    }
    Ok(text)
}

/// What is wrong with the rows of a file: the first of them in words, of the others how many.
#[derive(Debug, Default)]
pub struct BadRows {
    rows: usize,
    named: Vec<(u64, String)>,
    advice: Option<&'static str>,
}

impl BadRows {
    /// Whether none was found.
    pub const fn is_empty(&self) -> bool {
        self.rows == 0
    }

    /// Adds a row with all that is wrong with it, each perhaps with its column.
    pub fn add<'a>(
        &mut self,
        line: u64,
        wrong: impl IntoIterator<Item = (Option<&'a str>, &'a Problem)>,
    ) {
        self.rows += 1;
        if self.rows > NAMED {
            return;
        }
        for (column, problem) in wrong {
            let hint = problem
                .hints()
                .first()
                .map_or(String::new(), |hint| format!(" ({hint})"));
            let column = column.map_or(String::new(), |column| format!(", column {column}"));
            let words = cut(&format!("{problem}{hint}"));
            self.named
                .push((line, format!("line {line}{column}: {words}")));
        }
    }

    /// Advice that holds for several of them, said once at the end.
    pub const fn advise(&mut self, advice: &'static str) {
        self.advice = Some(advice);
    }

    /// All of it as one refusal; `refused` are the words behind the number of rows.
    pub fn refusal(mut self, name: &str, rows: usize, refused: &str) -> Problem {
        self.named.sort_by_key(|(line, _)| *line);
        let mut problem = Problem::new(format!(
            "`{name}`: {} of {rows} cannot be {refused}, so none was",
            count(self.rows, "row")
        ));
        for (_, words) in self.named {
            problem = problem.hint(words);
        }
        if self.rows > NAMED {
            problem = problem.hint(format!("and {} more rows", self.rows - NAMED));
        }
        match self.advice {
            Some(advice) => problem.hint(advice),
            None => problem,
        }
    }
}

/// Shortens what stands in backticks, where a refusal shows a cell, and what is still long then: a cell may hold
/// backticks of its own.
fn cut(words: &str) -> String {
    let shown: Vec<String> = words
        .split('`')
        .enumerate()
        .map(|(part, found)| shortened(found, if part % 2 == 1 { SHOWN } else { usize::MAX }))
        .collect();
    shortened(&shown.join("`"), LONGEST_WORDS)
}

/// A cell as a refusal shows it.
pub fn cut_cell(cell: &str) -> String {
    shortened(cell, SHOWN)
}

fn shortened(text: &str, longest: usize) -> String {
    match text.char_indices().nth(longest) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_cell_holds_is_shown_in_sixty_characters() {
        let long = "ß".repeat(61);
        assert_eq!(
            cut(&format!("mass `{long}` has no unit: write `4 kg`")),
            format!("mass `{}…` has no unit: write `4 kg`", "ß".repeat(60))
        );
        assert_eq!(cut("mass `4` has no unit"), "mass `4` has no unit");
    }
}
