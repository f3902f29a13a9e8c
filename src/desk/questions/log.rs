//! The entries of the book.

use crate::desk::chunks::{AT_ONCE, Chunks};
use crate::desk::{Answer, Desk};
use crate::dough::bake_code::BakeCode;
use crate::ledger::{
    AsOf, EntryHead, EntryKind, EntryRecord, FormulaRecord, LogFilter, LotRecord, View,
};

/// Which entries are asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct LogOf<'a> {
    /// Only those about the lot or bake with this code.
    pub about: Option<&'a str>,
    /// Only those of this kind.
    pub kind: Option<EntryKind>,
    /// Only the last so many.
    pub last: Option<u32>,
}

/// Entries, as of the newest one when they were asked for.
pub struct Log<'a> {
    as_of: AsOf<'a>,
    lot: Option<LotRecord>,
    bake: Option<BakeCode>,
    /// Entries that name the bake in words, as older books have them.
    beside: Vec<i64>,
    kind: Option<EntryKind>,
    after: i64,
    /// Every version of every formula, which have no entries; none where only some entries are asked for.
    pub formulas: Vec<FormulaRecord>,
}

impl Desk {
    /// Entries in the order in which they were written, struck ones too.
    pub fn log(&self, request: LogOf<'_>) -> anyhow::Result<Answer<Log<'_>>> {
        let view = self.view();
        let _still = view.hold_still()?;
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
        let beside = match &bake {
            Some(bake) => view.entries_in_words(bake.code)?,
            None => Vec::new(),
        };
        let is_whole = request.about.is_none() && request.kind.is_none() && request.last.is_none();
        let mut log = Log {
            formulas: if is_whole {
                view.all_formulas()?
            } else {
                Vec::new()
            },
            as_of: view.as_of_newest()?,
            lot,
            bake: bake.map(|bake| bake.code),
            beside,
            kind: request.kind,
            after: 0,
        };
        log.after = view.before_last(&LogFilter {
            last: request.last,
            ..log.filter()
        })?;
        Ok(Answer::new(log, Vec::new()))
    }
}

impl<'a> Log<'a> {
    fn filter(&self) -> LogFilter<'_> {
        LogFilter {
            lot: self.lot.as_ref(),
            bake: self.bake,
            beside: &self.beside,
            kind: self.kind,
            ..LogFilter::default()
        }
    }

    /// The entries.
    pub fn entries(&self) -> Chunks<'_, EntryRecord> {
        self.chunks(View::log_after, |last| last.entry)
    }

    /// What names each of them.
    pub fn heads(&self) -> Chunks<'_, EntryHead> {
        self.chunks(View::heads_after, |last| last.entry)
    }

    /// What `read` finds of the entries after one, chunk by chunk; `number` is that of an entry.
    fn chunks<T: 'static>(
        &self,
        read: fn(&View<'a>, &LogFilter<'_>, i64, usize) -> anyhow::Result<Vec<T>>,
        number: fn(&T) -> i64,
    ) -> Chunks<'_, T> {
        let mut after = self.after;
        Chunks::new(move || {
            let found = self
                .as_of
                .read(|view| read(&view, &self.filter(), after, AT_ONCE))?;
            let Some(last) = found.last() else {
                return Ok(None);
            };
            after = number(last);
            Ok(Some(found))
        })
    }
}
