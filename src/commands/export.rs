//! Writes a file whole or not at all, and never over the book.

use crate::quantity::Problem;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Writes `text` to `path` under a fresh name first, so that a full disk leaves what was there. Returns
/// whether a file was replaced.
///
/// Only a plain file is replaced: not the book or what lies beside it, not a link, not a device.
pub fn write(path: &Path, book: &Path, text: &str) -> Result<bool, Problem> {
    let replaces = match fs::symlink_metadata(path) {
        Ok(found) if found.is_file() => true,
        Ok(_) => {
            return Err(
                Problem::new(format!("`{}` is not a plain file", path.display()))
                    .hint("it was not touched; name another file"),
            );
        }
        Err(_) => false,
    };
    if belongs_to_book(path, book) {
        return Err(
            Problem::new(format!("`{}` belongs to the book", path.display()))
                .hint("it was not touched; name another file"),
        );
    }
    let refuse = |error: std::io::Error| {
        Problem::new(format!("`{}` cannot be written: {error}", path.display()))
    };
    let beside = fresh_name(path);
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&beside)
        .map_err(refuse)?;
    let written = file
        .write_all(text.as_bytes())
        .and_then(|()| file.sync_all())
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written.map_err(refuse)?;
    Ok(replaces)
}

/// What is said after the name of a file that took the place of another.
pub const fn replacing(replaced: bool) -> &'static str {
    if replaced {
        ", in place of what was there"
    } else {
        ""
    }
}

/// Whether a path is the book, however it is called, or a file that SQLite keeps beside it.
fn belongs_to_book(path: &Path, book: &Path) -> bool {
    let Ok(book) = book.canonicalize() else {
        return false;
    };
    let beside = |suffix: &str| PathBuf::from(format!("{}{suffix}", book.display()));
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    // The file itself may not be there yet, its folder is.
    let whole = match (path.canonicalize(), folder.canonicalize(), path.file_name()) {
        (Ok(whole), ..) => whole,
        (Err(_), Ok(folder), Some(name)) => folder.join(name),
        _ => return false,
    };
    ["", "-journal", "-wal", "-shm"]
        .into_iter()
        .any(|suffix| whole == beside(suffix))
        || is_same_file(&whole, &book)
}

/// Whether two names lead to one file, as hard links do.
#[cfg(unix)]
fn is_same_file(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (fs::metadata(one), fs::metadata(other)) {
        (Ok(one), Ok(other)) => (one.dev(), one.ino()) == (other.dev(), other.ino()),
        _ => false,
    }
}

/// Whether two names lead to one file; links are not looked through on this system.
#[cfg(not(unix))]
fn is_same_file(one: &Path, other: &Path) -> bool {
    one == other
}

/// A name beside `path` that nobody else uses: opening it refuses a file that is there already.
fn fresh_name(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}.part", std::process::id()))
}
