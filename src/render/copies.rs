//! Copies that were made or brought back, in words.

use super::json::tables::Description;
use super::{times, words};
use crate::ledger::backup::{Copied, Pruned};
use crate::ledger::restore::Restored;
use crate::quantity::Instant;
use crate::quantity::text::shell_word;
use std::path::Path;

/// A copy, and what became of the older ones.
pub fn backup(copied: &Copied, pruned: Option<&Pruned>) -> String {
    let mut text = String::new();
    let path = copied.path.display().to_string();
    words::labelled(&mut text, "Copy", &path);
    words::labelled(
        &mut text,
        "Proved",
        &format!("opened again and whole, {}", entries(copied.entries)),
    );
    if let Some(digest) = &copied.newest {
        words::labelled(&mut text, "Digest", &digest.to_string());
    }
    if let Some(pruned) = pruned {
        let kept = match pruned.kept {
            1 => "1 copy".to_owned(),
            kept => format!("{kept} copies"),
        };
        words::labelled(&mut text, "Kept", &format!("{kept} of this book"));
        for path in &pruned.removed {
            words::labelled(&mut text, "Removed", &path.display().to_string());
        }
    }
    text
}

/// A book that is back, and where the one before it lies: `whole, 82 entries, the last written Fri 20 Nov 18:20`.
pub fn restore(restored: &Restored, now: Instant) -> String {
    let mut text = String::new();
    let about = &restored.about;
    words::labelled(&mut text, "Book", &about.path.display().to_string());
    let last = restored.last.map_or(String::new(), |last| {
        format!(
            ", the last written {}",
            times::moment(last, now, &about.zone)
        )
    });
    words::labelled(
        &mut text,
        "Proved",
        &format!("whole, {}{last}", entries(restored.entries)),
    );
    let Some(aside) = &restored.set_aside else {
        return text;
    };
    let held = aside
        .entries
        .map_or(String::new(), |number| format!(" ({})", entries(number)));
    words::labelled(
        &mut text,
        "Set aside",
        &format!("{}{held}", aside.path.display()),
    );
    words::labelled(
        &mut text,
        "Next",
        "enter again what was done since the copy was made; `draff log` of either book shows it",
    );
    text
}

/// A folder of tables that was written.
pub fn exported(folder: &Path, entries: i64, description: &Description) -> String {
    let mut text = String::new();
    words::labelled(&mut text, "Folder", &folder.display().to_string());
    let held = format!(
        "{}: {} tables, {} rows, and description.json",
        self::entries(entries),
        description.tables.len(),
        description.rows()
    );
    words::labelled(&mut text, "Written", &held);
    if description.complete {
        words::labelled(
            &mut text,
            "Next",
            &format!(
                "`draff --book NEW import-all {}` makes a book of it again",
                shell_word(&folder.to_string_lossy())
            ),
        );
    }
    text
}

/// What is told of a damaged book whose readable part was written; `more` of the parts that cannot be read were not named.
pub fn damaged(list: &Path, number: usize, more: usize) -> String {
    let parts = match number {
        1 => "1 part of it".to_owned(),
        number => format!("{number} parts of it"),
    };
    let more = match more {
        0 => String::new(),
        more => format!(" ({more} of them not named here)"),
    };
    format!(
        "the book is damaged: {parts} cannot be read{more}; `{}` lists all of it. The rest was written. `import-all` refuses \
         this folder; `restore` brings back a copy made while the book was whole",
        list.display()
    )
}

/// A book that was made from a folder of tables.
pub fn imported(book: &Path, entries: i64, description: &Description) -> String {
    let mut text = String::new();
    words::labelled(&mut text, "Book", &book.display().to_string());
    let held = format!(
        "whole, {}; exported again, all {} tables with {} rows come to the same bytes",
        self::entries(entries),
        description.tables.len(),
        description.rows()
    );
    words::labelled(&mut text, "Proved", &held);
    text
}

fn entries(number: i64) -> String {
    match number {
        1 => "1 entry".to_owned(),
        number => format!("{number} entries"),
    }
}
