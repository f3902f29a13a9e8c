//! The first act on a book makes it, where nobody has made one.

use super::{Errand, is_absent};
use crate::keeping::RuleSet;
use crate::ledger::{Book, NewBook};
use std::path::Path;

impl Errand<'_> {
    /// Opens the book if there is one.
    pub fn book_if_there(&mut self) -> anyhow::Result<Option<Book>> {
        if self.named_book().is_none() || is_absent(&self.book_path()?) {
            Ok(None)
        } else {
            self.open_book().map(Some)
        }
    }

    /// Makes a plain book where nobody has made one: this machine's zone, the strict rules.
    pub(super) fn make_plain_book(&mut self) -> anyhow::Result<Book> {
        let (zone, trouble) = (self.surroundings.zone)();
        if let Some(trouble) = trouble {
            self.warn(&trouble);
        }
        let new = NewBook {
            name: "book".to_owned(),
            rules_text: RuleSet::built_in_text("strict")?.to_owned(),
            zone,
        };
        match self.make_book(&self.book_path()?, &new)? {
            Some(book) => Ok(book),
            // Another program made one meanwhile: the act is written there.
            None => self.open_book(),
        }
    }

    /// Makes a book and says where; nothing where another program made one first.
    pub fn make_book(&mut self, path: &Path, new: &NewBook) -> anyhow::Result<Option<Book>> {
        let made = Book::make(path, new, &self.signature(&new.zone)?)?;
        if let Some(book) = &made {
            self.say(&format!(
                "made a new book at {} (time zone {}, rules {})",
                path.display(),
                book.view().about().zone.name(),
                book.view().about().rules.name
            ));
        }
        Ok(made)
    }
}
