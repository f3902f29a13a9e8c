//! Writes a file whole or not at all, and never over the book.

use crate::context::{Errand, Shown};
use crate::error::usage;
use crate::ledger::files::{Draft, belongs_to_book, may_be_book, unwritable};
use crate::quantity::Problem;
use crate::quantity::text::visible;
use crate::render;
use crate::report::Caution;
use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// Writes `text` to `path` under a fresh name first, so that a full disk leaves what was there. Returns
/// whether a file was replaced.
///
/// Only a plain file is replaced, and keeps its rights: not a book, a copy of one or what lies beside it, not a
/// link, not a device.
fn write(
    path: &Path,
    book: &Path,
    put: impl FnOnce(&mut dyn Write) -> anyhow::Result<String>,
) -> anyhow::Result<(String, bool)> {
    let replaces = match fs::symlink_metadata(path) {
        Ok(found) if found.is_file() && found.permissions().readonly() => {
            return Err(Problem::new(format!("`{}` is read-only", path.display()))
                .hint("it was not touched; name another file")
                .into());
        }
        Ok(found) if found.is_file() => true,
        Ok(_) => {
            return Err(
                Problem::new(format!("`{}` is not a plain file", path.display()))
                    .hint("it was not touched; name another file")
                    .into(),
            );
        }
        Err(_) => false,
    };
    if belongs_to_book(path, book) {
        return Err(
            Problem::new(format!("`{}` belongs to the book", path.display()))
                .hint("it was not touched; name another file")
                .into(),
        );
    }
    if replaces && may_be_book(path) {
        return Err(
            Problem::new(format!("`{}` is a book or a copy of one", path.display()))
                .hint("it was not touched; name another file")
                .into(),
        );
    }
    let draft = Draft::beside(path)?;
    let unwritable = |error| unwritable(path, &error);
    let mut file = fs::File::create(draft.path()).map_err(unwritable)?;
    let wrote = put(&mut file).map_err(|error| match error.downcast::<io::Error>() {
        Ok(error) => unwritable(error).into(),
        Err(error) => error,
    })?;
    if replaces {
        draft.with_rights_of(path)?;
    }
    draft.put(path)?;
    Ok((wrote, replaces))
}

/// Refuses `--json` beside a file that is to go to stdout: two answers in one are none.
pub fn refuse_two_answers<'a>(
    errand: &Errand<'_>,
    files: impl IntoIterator<Item = Option<&'a str>>,
) -> anyhow::Result<()> {
    let to_stdout = files.into_iter().filter(|file| *file == Some("-")).count();
    if to_stdout + usize::from(errand.options.json && to_stdout > 0) > 1 {
        return Err(usage(
            Problem::new("stdout takes one answer")
                .hint("name a file instead of -, or leave --json out"),
        ));
    }
    Ok(())
}

/// Writes `text` to the file that was asked for, or to stdout where that is `-`, see [`save`].
pub fn put(
    errand: &mut Errand<'_>,
    path: &str,
    book: &Path,
    text: &str,
    wrote: &str,
) -> anyhow::Result<()> {
    if path == "-" {
        errand.print(text)
    } else {
        save(errand, path, book, text, wrote)
    }
}

/// The same for what `text` writes piece by piece; it gives back what was written, in words.
pub fn put_long(
    errand: &mut Errand<'_>,
    path: &str,
    book: &Path,
    text: impl FnOnce(&mut dyn Write) -> anyhow::Result<String>,
) -> anyhow::Result<()> {
    if path == "-" {
        let mut out = errand.shown();
        text(&mut out)?;
        Ok(out.end()?)
    } else {
        save_with(errand, path, book, |file| {
            let mut shown = Shown::new(file);
            let wrote = text(&mut shown)?;
            shown.end()?;
            Ok(wrote)
        })
    }
}

/// Shows the cautions beside a file, as below an answer in words. What goes to stdout has to hold them itself.
pub fn put_cautions(
    errand: &mut Errand<'_>,
    path: &str,
    cautions: &[Caution],
) -> anyhow::Result<()> {
    if path == "-" {
        return Ok(());
    }
    let mut text = String::new();
    render::words::cautions(&mut text, cautions, errand.units());
    errand.print(text.trim_start())
}

/// Writes `text` to a file and says so: `wrote 3 lines to usage.csv`, where `wrote` is all before the path.
pub fn save(
    errand: &mut Errand<'_>,
    path: &str,
    book: &Path,
    text: &str,
    wrote: &str,
) -> anyhow::Result<()> {
    // As on stdout: whatever a name in the book holds moves no cursor when the file is shown.
    save_bytes(errand, path, book, visible(text).as_bytes(), wrote)
}

/// Writes the bytes of a file that is no text, and says so.
pub fn save_bytes(
    errand: &mut Errand<'_>,
    path: &str,
    book: &Path,
    bytes: &[u8],
    wrote: &str,
) -> anyhow::Result<()> {
    save_with(errand, path, book, |file| {
        file.write_all(bytes)?;
        Ok(wrote.to_owned())
    })
}

fn save_with(
    errand: &mut Errand<'_>,
    path: &str,
    book: &Path,
    put: impl FnOnce(&mut dyn Write) -> anyhow::Result<String>,
) -> anyhow::Result<()> {
    let (wrote, replaces) = write(Path::new(path), book, put)?;
    let replacing = if replaces {
        ", in place of what was there"
    } else {
        ""
    };
    errand.say(&format!("{wrote} {path}{replacing}"));
    Ok(())
}
