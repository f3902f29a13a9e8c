//! A long answer, a chunk at a time, so that ten years fit into little memory and nothing holds the book while a
//! chunk is shown.

use crate::ledger::AsOf;

/// Rows to a chunk: few enough that others wait for milliseconds, enough that reading them costs more than
/// beginning to.
pub(super) const AT_ONCE: usize = 4_096;

/// Chunks of a long answer, each read when it is asked for. The book is free again when a chunk is handed out.
pub struct Chunks<'a, T> {
    read: Box<dyn FnMut() -> anyhow::Result<Option<Vec<T>>> + 'a>,
    has_failed: bool,
}

impl<'a, T> Chunks<'a, T> {
    /// Chunks that `read` gives until it gives none.
    pub(super) fn new(read: impl FnMut() -> anyhow::Result<Option<Vec<T>>> + 'a) -> Self {
        Self {
            read: Box::new(read),
            has_failed: false,
        }
    }

    /// Chunks of what was found by number, in the order of the numbers.
    pub(super) fn of_numbers(
        as_of: AsOf<'a>,
        numbers: &'a [i64],
        read: impl Fn(crate::ledger::View<'a>, &[i64]) -> anyhow::Result<Vec<T>> + 'a,
    ) -> Self {
        let mut chunks = numbers.chunks(AT_ONCE);
        Self::new(move || {
            let chunk = chunks.next();
            chunk
                .map(|chunk| as_of.read(|view| read(view, chunk)))
                .transpose()
        })
    }

    /// All rows at once, for answers that are short.
    pub fn all(self) -> anyhow::Result<Vec<T>> {
        let chunks = self.collect::<anyhow::Result<Vec<_>>>()?;
        Ok(chunks.into_iter().flatten().collect())
    }
}

impl<T> Iterator for Chunks<'_, T> {
    type Item = anyhow::Result<Vec<T>>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.has_failed {
            return None;
        }
        let chunk = (self.read)();
        self.has_failed = chunk.is_err();
        chunk.transpose()
    }
}
