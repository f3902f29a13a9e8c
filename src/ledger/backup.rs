//! Copies of a book: taken while others go on writing, opened again and checked before they get their name.

use super::audit::Audit;
use super::connection::look;
use super::files::{self, Draft, belongs_to_book, make_private_folder};
use super::migrate::{self, Identity};
use super::pages::copy_pages;
use super::{Book, BookRefusal, Digest};
use crate::quantity::{Instant, Problem};
use chrono::NaiveDateTime;
use rusqlite::Connection;
use std::fs;
use std::path::{Path, PathBuf};

/// A copy that was made.
#[derive(Debug, Clone)]
pub struct Copied {
    /// Where it lies.
    pub path: PathBuf,
    /// How many entries are in it.
    pub entries: i64,
    /// The digest of the newest link of its chain.
    pub newest: Option<Digest>,
}

/// What became of the older copies in a folder.
#[derive(Debug, Clone, Default)]
pub struct Pruned {
    /// How many copies of this book are left, the new one included.
    pub kept: usize,
    /// Those taken away, oldest first.
    pub removed: Vec<PathBuf>,
    /// Those that could not be taken away, and why.
    pub trouble: Vec<Problem>,
    /// How many are dated after now.
    pub after_now: usize,
}

/// How the moment stands in the name of a copy: UTC, so that names sort by age whatever the clocks do.
pub(super) const STAMP: &str = "%Y-%m-%dT%H%M%SZ";
/// How long that is.
const STAMP_LENGTH: usize = 18;
/// How the name ends.
const ENDING: &str = ".draff";

impl Book {
    /// Copies the book to a file that is not there yet. The copy has its name once it was opened again and
    /// found whole.
    pub fn back_up(&self, target: &Path) -> anyhow::Result<Copied> {
        if belongs_to_book(target, &self.view().about().path) {
            return Err(
                Problem::new(format!("`{}` belongs to the book", target.display()))
                    .hint("it was not touched; name another file")
                    .into(),
            );
        }
        if let Ok(found) = fs::symlink_metadata(target) {
            if found.is_dir() {
                return Err(BookRefusal::BackupNamesAFolder(target.to_owned()).into());
            }
            let refused = Problem::new(format!(
                "there is something at `{}` already",
                target.display()
            ));
            let name =
                "it was not touched; name another file, or a folder of dated copies with --keep 14";
            return Err(refused.hint(name).into());
        }
        // What is counted here is what is copied: nobody can write in between.
        let still = self.view().hold_still()?;
        let entries = self.view().entry_count()?;
        let draft = Draft::private(target)?;
        copy_pages(self.view().connection, draft.path())?;
        drop(still);
        let newest = proved(draft.path(), entries)?.newest;
        let mut draft = draft;
        if !draft.put_new(target)? {
            return Err(files::taken(target).into());
        }
        Ok(Copied {
            path: target.to_owned(),
            entries,
            newest,
        })
    }

    /// Copies the book into a folder under a dated name, then takes away the oldest copies of this book that
    /// are more than `keep`. Files of any other name, kind or book are left alone.
    pub fn back_up_into(
        &self,
        folder: &Path,
        keep: usize,
        now: Instant,
    ) -> anyhow::Result<(Copied, Pruned)> {
        make_private_folder(folder)?;
        let stem = self.stem();
        let stamp = now.format(STAMP);
        let name = folder.join(format!("{stem}-{stamp}"));
        let copied = self.back_up(&unused_before_ending(&name))?;
        let pruned = self.prune(folder, &stem, keep, now, &copied.path)?;
        Ok((copied, pruned))
    }

    /// The bytes of a copy that was opened again and found whole.
    pub fn proven_copy(&self) -> anyhow::Result<Vec<u8>> {
        let path = &self.view().about().path;
        let still = self.view().hold_still()?;
        let entries = self.view().entry_count()?;
        let draft = Draft::private(path)?;
        copy_pages(self.view().connection, draft.path())?;
        drop(still);
        proved(draft.path(), entries)?;
        Ok(fs::read(draft.path())?)
    }

    /// When the newest copy of this book in a folder was made, by its name.
    pub fn newest_copy_in(&self, folder: &Path) -> anyhow::Result<Option<Instant>> {
        let stem = self.stem();
        let Ok(found) = fs::read_dir(folder) else {
            return Ok(None);
        };
        let copies = found.filter_map(Result::ok).map(|found| found.path());
        let ours = copies.filter(|path| self.is_copied_to(path));
        let ages = ours.filter_map(|path| dated(path.file_name()?.to_str()?, &stem));
        Ok(ages.max().map(|(moment, _)| moment.and_utc()))
    }

    /// The name of the book's file without its ending.
    fn stem(&self) -> String {
        let stem = self.view().about().path.file_stem();
        stem.unwrap_or_default().to_string_lossy().into_owned()
    }

    fn prune(
        &self,
        folder: &Path,
        stem: &str,
        keep: usize,
        now: Instant,
        newest: &Path,
    ) -> anyhow::Result<Pruned> {
        let unreadable = |error: std::io::Error| {
            Problem::new(format!(
                "the folder `{}` cannot be read: {error}",
                folder.display()
            ))
        };
        let mut older = Vec::new();
        let mut pruned = Pruned::default();
        for found in fs::read_dir(folder).map_err(unreadable)? {
            let path = found.map_err(unreadable)?.path();
            let Some(age) = path
                .file_name()
                .and_then(|name| name.to_str())
                .and_then(|name| dated(name, stem))
            else {
                continue;
            };
            if path == newest || !self.is_copied_to(&path) {
                continue;
            }
            pruned.after_now += usize::from(age.0 > now.naive_utc());
            older.push((age, path));
        }
        older.sort();
        let surplus = (older.len() + 1).saturating_sub(keep);
        pruned.kept = older.len() + 1;
        for (_, path) in older.into_iter().take(surplus) {
            match fs::remove_file(&path) {
                Ok(()) => {
                    pruned.kept -= 1;
                    pruned.removed.push(path);
                }
                Err(error) => pruned.trouble.push(Problem::new(format!(
                    "`{}` cannot be removed: {error}",
                    path.display()
                ))),
            }
        }
        Ok(pruned)
    }

    /// Whether a file is a copy of this very book: a plain file that holds a book made at the same moment,
    /// with the same name, zone and rules.
    fn is_copied_to(&self, path: &Path) -> bool {
        let made = |connection: &Connection| -> rusqlite::Result<(String, String, String, i64)> {
            connection.query_row("SELECT name, zone, rules, made_at FROM book", [], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
            })
        };
        fs::symlink_metadata(path).is_ok_and(|found| found.is_file())
            && look(path).is_ok_and(|other| {
                matches!(migrate::identity(&other), Ok(Identity::Book(_)))
                    && matches!(
                        (made(&other), made(self.view().connection)),
                        (Ok(other), Ok(own)) if other == own
                    )
            })
    }
}

/// Opens a copy and refuses it unless it is whole and holds so many entries.
fn proved(copy: &Path, entries: i64) -> anyhow::Result<Audit> {
    let audit = Book::read(look(copy)?, copy)?.audit()?;
    if let Some(found) = audit.damage.first() {
        return Err(Problem::new(format!("the copy is not whole: {found}"))
            .hint("it was not kept; `check` says what is wrong with the book")
            .into());
    }
    if audit.entries != entries {
        return Err(Problem::new(format!(
            "the copy holds {} entries, the book {entries}",
            audit.entries
        ))
        .hint("it was not kept; try another disk")
        .into());
    }
    Ok(audit)
}

/// The moment and the number in a name that we gave, such as `book-2026-11-20T100000Z.draff` or
/// `book-2026-11-20T100000Z-2.draff`.
fn dated(name: &str, stem: &str) -> Option<(NaiveDateTime, u32)> {
    let middle = name
        .strip_prefix(stem)?
        .strip_prefix('-')?
        .strip_suffix(ENDING)?;
    let (stamp, number) = middle.split_at_checked(STAMP_LENGTH)?;
    let at = NaiveDateTime::parse_from_str(stamp, STAMP).ok()?;
    // Only what is written exactly as we write it is ours.
    let number = match number.strip_prefix('-') {
        None if number.is_empty() => 1,
        None => return None,
        Some(digits) => digits
            .parse::<u32>()
            .ok()
            .filter(|&number| number >= 2 && number.to_string() == digits)?,
    };
    (at.format(STAMP).to_string() == stamp).then_some((at, number))
}

/// The name with its ending, or with a number before it where that is taken.
fn unused_before_ending(name: &Path) -> PathBuf {
    std::iter::once(String::new())
        .chain((2..).map(|number: u32| format!("-{number}")))
        .map(|number| files::with_suffix(name, &format!("{number}{ENDING}")))
        .find(|name| fs::symlink_metadata(name).is_err())
        .unwrap_or_else(|| files::with_suffix(name, ENDING))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_that_we_give_are_ours() {
        let at = |text: &str| NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M:%S").unwrap();
        assert_eq!(
            dated("book-2026-11-20T100000Z.draff", "book"),
            Some((at("2026-11-20 10:00:00"), 1))
        );
        assert_eq!(
            dated("book-2026-11-20T100000Z-12.draff", "book"),
            Some((at("2026-11-20 10:00:00"), 12))
        );
        for name in [
            "book.draff",
            "book-2026-11-20.draff",
            "book-2026-11-20T100000Z",
            "book-2026-11-20T100000Z.draff.gz",
            "book-2026-11-20T100000Z-1.draff",
            "book-2026-11-20T100000Z-02.draff",
            "book-2026-11-20T100000Z copy.draff",
            "book-2026-13-20T100000Z.draff",
            "book-2026-1-020T100000Z.draff",
            "book2-2026-11-20T100000Z.draff",
            "booß-2026-11-20T100000Z.draff",
            "book-2026-11-20T10000ßZ.draff",
        ] {
            assert_eq!(dated(name, "book"), None, "{name}");
        }
    }
}
