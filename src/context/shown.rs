//! What is shown of an answer as it comes.

use crate::quantity::text::visible;
use std::io::{Error, ErrorKind, Result, Write};

/// Passes an answer on in whole lines, without anything that could move a cursor. What a program wrote last is
/// passed on by [`Shown::end`] only.
pub struct Shown<'a> {
    to: &'a mut dyn Write,
    waiting: Vec<u8>,
}

impl<'a> Shown<'a> {
    /// Passes on when so many bytes wait.
    const MOST: usize = 65_536;

    /// An answer that is shown here.
    pub fn new(to: &'a mut dyn Write) -> Self {
        Self {
            to,
            waiting: Vec::new(),
        }
    }

    /// Passes on what is left.
    pub fn end(mut self) -> Result<()> {
        self.pass_on(self.waiting.len())
    }

    fn pass_on(&mut self, bytes: usize) -> Result<()> {
        let text = std::str::from_utf8(&self.waiting[..bytes])
            .map_err(|error| Error::new(ErrorKind::InvalidData, error))?;
        self.to.write_all(visible(text).as_bytes())?;
        self.waiting.drain(..bytes);
        Ok(())
    }
}

impl Write for Shown<'_> {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        self.waiting.extend_from_slice(bytes);
        if self.waiting.len() >= Self::MOST
            && let Some(last) = self.waiting.iter().rposition(|byte| *byte == b'\n')
        {
            self.pass_on(last + 1)?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> Result<()> {
        Ok(())
    }
}
