//! Copies that were made or brought back, in words.

use super::{times, words};
use crate::ledger::backup::{Copied, Pruned};
use crate::ledger::restore::Restored;
use crate::quantity::Instant;

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

/// A book that is back, and where the one before it lies.
pub fn restore(restored: &Restored, last: Option<Instant>, now: Instant) -> String {
    let mut text = String::new();
    let about = restored.book.view().about().clone();
    words::labelled(&mut text, "Book", &about.path.display().to_string());
    let last = last.map_or(String::new(), |last| {
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
    let held = aside.entries.map_or(String::new(), |number| {
        format!(" ({})", entries(number))
    });
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

fn entries(number: i64) -> String {
    match number {
        1 => "1 entry".to_owned(),
        number => format!("{number} entries"),
    }
}
