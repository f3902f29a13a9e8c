//! Strikes a wrong entry. It stays in the book and no longer counts.

use crate::desk::guard::Touches;
use crate::desk::{Answer, Desk, Notice};
use crate::ledger::{EntryKind, LogFilter};

/// Which entry is wrong.
pub struct Strike<'a> {
    /// Its number.
    pub entry: i64,
    /// Why it was wrong.
    pub reason: &'a str,
}

/// What striking did.
pub struct Struck {
    /// The entry that was struck.
    pub entry: i64,
    /// The entry that strikes it.
    pub struck_by: i64,
}

impl Desk {
    /// Strikes an entry. The one act that may make past grain usable again: it corrects a history, with the reason.
    pub fn strike(&mut self, request: &Strike<'_>) -> anyhow::Result<Answer<Struck>> {
        let (struck_by, lacking) = self.act(Touches::Stock, |act| {
            act.strike(request.entry, request.reason)
        })?;
        let struck = self.view().log(&LogFilter {
            entry: Some(request.entry),
            ..LogFilter::default()
        })?;
        let back = struck
            .into_iter()
            .filter(|entry| entry.kind == EntryKind::Discard)
            .map(|entry| Notice::BackInStock(entry.ending));
        let done = Struck {
            entry: request.entry,
            struck_by,
        };
        Ok(Answer::new(done, Vec::new())
            .with_notices(lacking)
            .with_notices(back))
    }
}
