//! What earlier tested lots were, remembered by an open book from one question to the next. Entries never change and
//! what is kept beside them follows from them, so it holds as long as nothing is written that says anything of it.

use super::EarlierLot;
use crate::ledger::chain::{self, Digest};
use crate::ledger::{EntryKind, View};
use rusqlite::params;
use std::collections::HashMap;

/// A source, kind and form, and how many lots at most.
pub type Group = (i64, &'static str, &'static str, usize);

/// Tested lots as of an entry.
#[derive(Default)]
pub struct Remembered {
    as_of: Option<AsOf>,
    lots: HashMap<Group, Vec<EarlierLot>>,
}

/// An entry and the newest link of the chain then. Where that link is still there, so is all that it was made of.
#[derive(Clone, Copy, PartialEq, Eq)]
struct AsOf {
    entry: i64,
    link: i64,
    digest: Digest,
}

/// Entries that make no tested lot another than it was.
const fn says_nothing_of_tests(kind: EntryKind) -> bool {
    matches!(
        kind,
        EntryKind::Move
            | EntryKind::Use
            | EntryKind::Discard
            | EntryKind::Give
            | EntryKind::Count
            | EntryKind::Reading
            | EntryKind::Cooled
            | EntryKind::Activity
            | EntryKind::Spoiled
            | EntryKind::Place
            | EntryKind::Readings
            | EntryKind::Bake
            | EntryKind::Baked
            | EntryKind::Drop
            | EntryKind::Plan
            | EntryKind::Setting
    )
}

impl Remembered {
    /// What is remembered of a group, or what `read` finds. Asked while the book is held still.
    pub fn of(
        &mut self,
        view: View<'_>,
        group: Group,
        read: impl FnOnce() -> anyhow::Result<Vec<EarlierLot>>,
    ) -> anyhow::Result<Vec<EarlierLot>> {
        let Some((link, digest)) = chain::newest(view.connection)? else {
            return read();
        };
        let entry = view.last_entry()?;
        let now = AsOf {
            entry,
            link,
            digest,
        };
        if self.as_of != Some(now) {
            if !self
                .as_of
                .is_some_and(|then| still_holds(view, then).unwrap_or(false))
            {
                self.lots.clear();
            }
            self.as_of = Some(now);
        }
        if let Some(known) = self.lots.get(&group) {
            return Ok(known.clone());
        }
        let found = read()?;
        self.lots.insert(group, found.clone());
        Ok(found)
    }
}

/// Whether the book has gone on from there, and with nothing that says anything of tested lots.
fn still_holds(view: View<'_>, then: AsOf) -> rusqlite::Result<bool> {
    let is_same = chain::link(view.connection, then.link)? == Some(then.digest);
    let said: bool = view
        .connection
        .prepare_cached(&format!(
            "SELECT EXISTS (SELECT 1 FROM entry WHERE id > ?1 AND kind NOT IN {kinds})",
            kinds = EntryKind::list(says_nothing_of_tests)
        ))?
        .query_row(params![then.entry], |row| row.get(0))?;
    Ok(is_same && !said)
}
