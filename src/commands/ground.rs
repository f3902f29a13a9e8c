//! What is known before an act that may be the first one of a book.

use super::pickup_row::Bench;
use crate::context::Errand;
use crate::ledger::{Book, PlaceRecord, Signature};
use crate::quantity::Zone;

/// What an act is checked against before a book is made: a slip of the pen must not make one.
pub struct Ground {
    book: Option<Book>,
    places: Vec<PlaceRecord>,
    /// The zone of the book that is there, or this machine's.
    pub zone: Zone,
    /// Who records, and when.
    pub signature: Signature,
}

impl Ground {
    /// Takes the book's zone and places, or those that a new book will have.
    pub fn of(errand: &mut Errand<'_>) -> anyhow::Result<Self> {
        let book = errand.book_if_there()?;
        let (zone, places) = match &book {
            Some(book) => (book.view().about().zone.clone(), book.view().places()?),
            None => ((errand.surroundings.zone)().0, PlaceRecord::usual()),
        };
        Ok(Self {
            signature: errand.signature(&zone)?,
            book,
            places,
            zone,
        })
    }

    /// What a row, of a file or of the command line, is checked against.
    pub fn bench(&self, in_file: bool) -> Bench<'_> {
        Bench {
            now: self.signature.now,
            zone: &self.zone,
            places: &self.places,
            by: self.signature.by.as_deref(),
            in_file,
        }
    }

    /// The book, if there is one.
    pub fn take_book(&mut self) -> Option<Book> {
        self.book.take()
    }

    /// The book that is there, or a new plain one.
    pub fn book(self, errand: &mut Errand<'_>) -> anyhow::Result<Book> {
        match self.book {
            Some(book) => Ok(book),
            None => errand.make_plain_book(),
        }
    }
}
