//! `backup --json`, `restore --json` and `check --json`.

use crate::ledger::audit::Audit;
use crate::ledger::backup::{Copied, Pruned};
use crate::ledger::restore::Restored;
use serde::Serialize;
use std::path::Path;

/// The answer of `backup`.
#[derive(Serialize)]
pub struct Backup {
    copy: String,
    entries: i64,
    digest: Option<String>,
    kept: Option<usize>,
    removed: Vec<String>,
}

impl Backup {
    /// A copy, and what became of the older ones.
    pub fn new(copied: &Copied, pruned: Option<&Pruned>) -> Self {
        Self {
            copy: shown(&copied.path),
            entries: copied.entries,
            digest: copied.newest.map(|digest| digest.to_string()),
            kept: pruned.map(|pruned| pruned.kept),
            removed: pruned.map_or_else(Vec::new, |pruned| {
                pruned.removed.iter().map(|path| shown(path)).collect()
            }),
        }
    }
}

/// The answer of `restore`.
#[derive(Serialize)]
pub struct Restore {
    book: String,
    entries: i64,
    last_entry_at: Option<String>,
    set_aside: Option<String>,
    set_aside_entries: Option<i64>,
}

impl Restore {
    /// A book that is back, and where the one before it lies.
    pub fn new(restored: &Restored) -> Self {
        let about = &restored.about;
        let aside = restored.set_aside.as_ref();
        Self {
            book: shown(&about.path),
            entries: restored.entries,
            last_entry_at: restored.last.map(|last| about.zone.rfc3339(last)),
            set_aside: aside.map(|aside| shown(&aside.path)),
            set_aside_entries: aside.and_then(|aside| aside.entries),
        }
    }
}

/// `check --json`.
#[derive(Serialize)]
pub struct Check<'a> {
    whole: bool,
    entries: i64,
    lots_on_hand: usize,
    digest: Option<String>,
    damage: &'a [String],
}

impl<'a> From<&'a Audit> for Check<'a> {
    fn from(audit: &'a Audit) -> Self {
        Self {
            whole: audit.damage.is_empty(),
            entries: audit.entries,
            lots_on_hand: audit.on_hand,
            digest: audit.newest.map(|digest| digest.to_string()),
            damage: &audit.damage,
        }
    }
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}
