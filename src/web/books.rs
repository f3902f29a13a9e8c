//! Open books that wait for the next request: opening one costs more than most questions.

use super::shared::AT_ONCE;
use crate::ledger::Book;
use crate::quantity::Instant;
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// As many as are asked at once.
#[derive(Default)]
pub struct Books(Mutex<Vec<Book>>);

impl Books {
    fn waiting(&self) -> MutexGuard<'_, Vec<Book>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The one that was asked last, where nobody has touched the file since; otherwise the book is opened.
    pub fn take(&self, path: &Path, now: Instant) -> anyhow::Result<Book> {
        let last = self.waiting().pop();
        match last.filter(Book::is_untouched) {
            Some(book) => Ok(book),
            None => Book::open(path, now),
        }
    }

    /// Keeps one for a later request.
    pub fn lay_by(&self, book: Book) {
        if let Some(book) = book.laid_by() {
            let mut waiting = self.waiting();
            waiting.push(book);
            if waiting.len() > AT_ONCE {
                waiting.remove(0);
            }
        }
    }
}
