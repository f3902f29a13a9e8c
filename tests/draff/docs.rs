//! The pages under `docs/` say what the program does: tables, examples and the command reference are
//! written by these tests and compared. `UPDATE_DOCS=1 cargo test docs` writes them anew.

mod batch;
mod cautions;
mod commands;
mod doneness;
mod formats;
mod formulas;
mod keeping;
mod measures;
mod treatments;

use std::path::PathBuf;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Tests run side by side: no page is read while another test writes it.
static WRITING: Mutex<()> = Mutex::new(());

fn path(page: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("docs")
        .join(page)
}

fn alone() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}

fn read(page: &str) -> String {
    let _alone = alone();
    std::fs::read_to_string(path(page)).unwrap()
}

/// Splits a page at the text that stands after the line with `start` and before the next with `end`.
fn split<'a>(text: &'a str, start: &str, end: &str) -> (&'a str, &'a str, &'a str) {
    let at = text
        .find(start)
        .unwrap_or_else(|| panic!("the page has no {start}"));
    let from = at + text[at..].find('\n').expect("a line end after the mark") + 1;
    let to = from
        + text[from..]
            .find(end)
            .unwrap_or_else(|| panic!("the page has no {end} after {start}"));
    (&text[..from], &text[from..to], &text[to..])
}

/// Holds the part of a page between two marks against what the program says now.
fn hold_part(page: &str, start: &str, end: &str, expected: &str) {
    let _alone = alone();
    let text = std::fs::read_to_string(path(page)).unwrap();
    let (before, found, after) = split(&text, start, end);
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(path(page), format!("{before}{expected}{after}")).unwrap();
        return;
    }
    assert!(
        found == expected,
        "docs/{page} is out of step after {start}; UPDATE_DOCS=1 cargo test docs writes it anew.\n\
         --- the page says\n{found}\n--- the program says\n{expected}"
    );
}

/// Holds a whole page against what the program says now.
fn hold_page(page: &str, expected: &str) {
    let _alone = alone();
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(path(page), expected).unwrap();
        return;
    }
    let found = std::fs::read_to_string(path(page)).unwrap();
    let differs = found
        .lines()
        .zip(expected.lines())
        .find(|(found, expected)| found != expected);
    assert!(
        found == expected,
        "docs/{page} is out of step; UPDATE_DOCS=1 cargo test docs writes it anew. First line apart: {differs:?}"
    );
}

/// The cells of a Markdown table's rows, its two heading lines left out.
fn rows(table: &str) -> Vec<Vec<String>> {
    table
        .lines()
        .filter(|line| line.starts_with('|'))
        .skip(2)
        .map(|line| {
            line.trim_matches('|')
                .split(" | ")
                .map(|cell| cell.trim_matches([' ', '|']).to_owned())
                .collect()
        })
        .collect()
}
