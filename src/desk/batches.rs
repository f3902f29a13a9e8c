//! A long answer, a piece at a time, so that ten years fit into little memory and nothing holds the book while a
//! piece is shown.

use crate::ledger::AsOf;

/// Rows to a piece: few enough that others wait for milliseconds, enough that reading them costs more than
/// beginning to.
pub(super) const AT_ONCE: usize = 4_096;

/// Pieces of a long answer, each read when it is asked for. The book is free again when a piece is handed out.
pub struct Batches<'a, T> {
    read: Box<dyn FnMut() -> anyhow::Result<Option<Vec<T>>> + 'a>,
    has_failed: bool,
}

impl<'a, T> Batches<'a, T> {
    /// Pieces that `read` gives until it gives none.
    pub(super) fn new(read: impl FnMut() -> anyhow::Result<Option<Vec<T>>> + 'a) -> Self {
        Self {
            read: Box::new(read),
            has_failed: false,
        }
    }

    /// Pieces of what was found by number, in the order of the numbers.
    pub(super) fn of_numbers(
        as_of: AsOf<'a>,
        numbers: &'a [i64],
        read: impl Fn(crate::ledger::View<'a>, &[i64]) -> anyhow::Result<Vec<T>> + 'a,
    ) -> Self {
        let mut pieces = numbers.chunks(AT_ONCE);
        Self::new(move || {
            let piece = pieces.next();
            piece
                .map(|piece| as_of.read(|view| read(view, piece)))
                .transpose()
        })
    }

    /// All rows at once, for answers that are short.
    pub fn all(self) -> anyhow::Result<Vec<T>> {
        let pieces = self.collect::<anyhow::Result<Vec<_>>>()?;
        Ok(pieces.into_iter().flatten().collect())
    }
}

impl<T> Iterator for Batches<'_, T> {
    type Item = anyhow::Result<Vec<T>>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.has_failed {
            return None;
        }
        let piece = (self.read)();
        self.has_failed = piece.is_err();
        piece.transpose()
    }
}
