//! A JSON array whose rows are read while it is written. What is typed or sent in as rows is understood in `src/rows/`.

use crate::desk::Chunks;
use serde::ser::{Error, Serialize, SerializeSeq, Serializer};
use std::cell::RefCell;
use std::rc::Rc;

/// Why the book gave no more rows, if it did: a serializer's own error holds words only.
#[derive(Clone, Default)]
pub struct BrokenOff(Rc<RefCell<Option<anyhow::Error>>>);

impl BrokenOff {
    /// Takes the reason.
    pub fn why(&self) -> Option<anyhow::Error> {
        self.0.take()
    }
}

/// Makes a row of what was read, or leaves it out.
type MakeRow<'a, T, R> = Box<dyn Fn(&T) -> Option<R> + 'a>;

/// Rows of a long answer; a row may be left out.
pub struct Rows<'a, T, R> {
    chunks: RefCell<Chunks<'a, T>>,
    row: MakeRow<'a, T, R>,
    broken_off: BrokenOff,
}

impl<'a, T, R> Rows<'a, T, R> {
    /// One row for each of an answer, or none.
    pub fn new(
        chunks: Chunks<'a, T>,
        broken_off: &BrokenOff,
        row: impl Fn(&T) -> Option<R> + 'a,
    ) -> Self {
        Self {
            chunks: RefCell::new(chunks),
            row: Box::new(row),
            broken_off: broken_off.clone(),
        }
    }
}

impl<T, R: Serialize> Serialize for Rows<'_, T, R> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut rows = serializer.serialize_seq(None)?;
        for chunk in &mut *self.chunks.borrow_mut() {
            let chunk = chunk.map_err(|error| {
                self.broken_off.0.replace(Some(error));
                S::Error::custom("the book gives no more rows")
            })?;
            for row in chunk.iter().filter_map(&self.row) {
                rows.serialize_element(&row)?;
            }
        }
        rows.end()
    }
}
