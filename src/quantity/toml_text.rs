//! TOML that a person wrote by hand: read into a table of words, or refused with line and column.

use super::Problem;
use serde::de::DeserializeOwned;
use std::ops::Range;

/// Reads a TOML text; `what` is what it holds, in the user's words.
pub fn read<T: DeserializeOwned>(text: &str, what: &str) -> Result<T, Problem> {
    toml::from_str(text).map_err(|error| {
        Problem::new(format!(
            "{what} is not understood: {}",
            error.message().trim()
        ))
        .hint(position(text, error.span()))
    })
}

/// Line and column of a byte position, counted from 1.
fn position(text: &str, span: Option<Range<usize>>) -> String {
    let start = span.map_or(0, |span| span.start.min(text.len()));
    let before = text.get(..start).unwrap_or("");
    let line = before.matches('\n').count() + 1;
    let column = before
        .rsplit('\n')
        .next()
        .map_or(0, |tail| tail.chars().count())
        + 1;
    format!("see line {line}, column {column}")
}
