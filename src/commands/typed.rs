//! Command-line values in domain types.

use crate::quantity::{Problem, text};
use std::str::FromStr;

/// Reads a quantity for clap, with the hint beside the message.
pub fn value<T>(typed: &str) -> Result<T, String>
where
    T: FromStr<Err = Problem>,
{
    typed.parse::<T>().map_err(|problem| said(&problem))
}

/// Reads a name or a note for clap.
pub fn name(typed: &str) -> Result<String, String> {
    text::checked(typed, "name", text::LONGEST_NAME).map_err(|problem| said(&problem))
}

/// Reads a reason or a note for clap.
pub fn words(typed: &str) -> Result<String, String> {
    text::checked(typed, "text", text::LONGEST_NOTE).map_err(|problem| said(&problem))
}

/// A refusal as clap shows it, its hints below it.
pub fn said(problem: &Problem) -> String {
    let mut said = problem.to_string();
    for hint in problem.hints() {
        said.push_str("\n  ");
        said.push_str(hint);
    }
    said
}
