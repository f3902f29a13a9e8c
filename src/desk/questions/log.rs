//! The entries of the book.

use crate::desk::{Answer, Desk};
use crate::dough::bake_code::BakeCode;
use crate::ledger::{EntryRecord, LogFilter};

/// Which entries are asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct Log<'a> {
    /// Only those about the lot or bake with this code.
    pub about: Option<&'a str>,
    /// Only the last so many.
    pub last: Option<u32>,
}

impl Desk {
    /// Entries in the order in which they were written, struck ones too.
    pub fn log(&self, request: Log<'_>) -> anyhow::Result<Answer<Vec<EntryRecord>>> {
        let view = self.view();
        let bake = request
            .about
            .filter(|code| BakeCode::looks_like(code))
            .map(|code| view.bake(code))
            .transpose()?;
        let lot = request
            .about
            .filter(|_| bake.is_none())
            .map(|code| view.lot_even_struck(code))
            .transpose()?;
        let entries = view.log(&LogFilter {
            lot: lot.as_ref(),
            bake: bake.map(|bake| bake.code),
            last: request.last,
            entry: None,
        })?;
        Ok(Answer::new(entries, Vec::new()))
    }
}
