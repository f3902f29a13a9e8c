//! One refusal: what was found, what is allowed, what to type next.

/// Why something was refused, in a baker's words.
///
/// The message is a lowercase fragment without a final stop; the hint says what to type. A problem
/// knows nothing of exit codes: the caller decides whether it was the command line or the book.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct Problem {
    message: String,
    hints: Vec<String>,
}

impl Problem {
    /// A refusal that says what was found and what is allowed.
    pub fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            hints: Vec::new(),
        }
    }

    /// Adds a line that says what to do or type next.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Puts words in front of the message, such as the line and column of a file.
    #[must_use]
    pub fn within(mut self, place: impl AsRef<str>) -> Self {
        self.message = format!("{}: {}", place.as_ref(), self.message);
        self
    }

    /// What to do next, one line each.
    pub fn hints(&self) -> &[String] {
        &self.hints
    }
}
