//! Bringing a copy of a book back: proved whole first, the book that was there set aside.

use super::audit::Audit;
use super::backup::STAMP;
use super::connection::{self, look};
use super::failure::{self, Damage};
use super::files::{self, Draft, belongs_to_book, folder_of, make_private_folder, with_suffix};
use super::migrate::{self, Identity};
use super::pages::copy_pages;
use super::{Book, open};
use crate::quantity::{Instant, Problem};
use rusqlite::{Connection, OpenFlags};
use std::fs;
use std::path::{Path, PathBuf};

/// A book that was brought back.
pub struct Restored {
    /// The book as it is now.
    pub book: Book,
    /// How many entries are in it.
    pub entries: i64,
    /// What was there before.
    pub set_aside: Option<SetAside>,
}

/// The book that was there before.
#[derive(Debug, Clone)]
pub struct SetAside {
    /// Where it lies now.
    pub path: PathBuf,
    /// How many entries are in it, where they can be counted.
    pub entries: Option<i64>,
}

impl Book {
    /// Puts a copy in the place of the book at `path`, which is set aside under a name of its own. An older
    /// copy is upgraded on the way; the file that is copied is only read.
    pub fn restore(copy: &Path, path: &Path, now: Instant) -> anyhow::Result<Restored> {
        refuse_unusable(copy, path)?;
        // Where the book is a link, what it points to is meant.
        let path = &path.canonicalize().unwrap_or_else(|_| path.to_owned());
        let at = Place::of(path)?;
        make_private_folder(folder_of(path))?;
        let draft = Draft::private(path)?;
        let entries = prove(copy, draft.path(), now)
            .map_err(|error| within(error, copy))?
            .entries;
        let set_aside = at.swap(draft, path, now)?;
        Ok(Restored {
            book: Self::open(path, now)?,
            entries,
            set_aside,
        })
    }
}

/// Refuses what cannot be a copy of a book before anything is read from it.
fn refuse_unusable(copy: &Path, path: &Path) -> Result<(), Problem> {
    let shown = copy.display();
    match fs::metadata(copy) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return Err(Problem::new(format!("there is no copy at `{shown}`"))
                .hint("name a file that `draff backup` made; the book was not touched"));
        }
        Err(error) => {
            return Err(Problem::new(format!("`{shown}` cannot be read: {error}")));
        }
        Ok(found) if !found.is_file() => {
            return Err(Problem::new(format!("`{shown}` is not a plain file"))
                .hint("name a file that `draff backup` made; the book was not touched"));
        }
        Ok(_) => {}
    }
    if belongs_to_book(copy, path) {
        return Err(Problem::new(format!("`{shown}` is the book itself"))
            .hint("name a copy of it; the book was not touched"));
    }
    let journal = with_suffix(copy, "-journal");
    if fs::metadata(&journal).is_ok_and(|found| found.len() > 0) {
        return Err(Problem::new(format!(
            "`{shown}` was copied in the middle of an act: `{}` lies beside it",
            journal.display()
        ))
        .hint(format!(
            "`draff --book {shown} check` takes the unfinished act back; then restore it"
        )));
    }
    Ok(())
}

/// Copies into the draft, upgrades that and proves it whole.
fn prove(copy: &Path, draft: &Path, now: Instant) -> anyhow::Result<Audit> {
    {
        let from = look(copy).map_err(|error| connection::or_cut_off(error, copy))?;
        let steps = migrate::all();
        match connection::identity(&from, copy)? {
            Identity::Book(version) => migrate::refuse_newer(version, &steps)?,
            Identity::Blank => {
                return Err(Problem::new("the file is empty: there is no book in it").into());
            }
            Identity::Foreign => {
                return Err(Problem::new("it is another program's SQLite file, not a book").into());
            }
        }
        copy_pages(&from, draft)?;
    }
    let mut connection = connection::connect(draft, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    open::bring_up(&mut connection, &migrate::all(), now)?;
    let audit = Book::read(connection, draft)?.audit()?;
    match audit.damage.first() {
        None => Ok(audit),
        Some(found) => Err(Damage(found.clone()).into()),
    }
}

/// Says which file a refusal is about, and that the book is as it was.
fn within(error: anyhow::Error, copy: &Path) -> anyhow::Error {
    let shown = copy.display();
    let untouched = "the book was not touched; name another copy";
    if let Some(found) = failure::damage(&error) {
        return Problem::new(format!("the copy `{shown}` is damaged: {found}"))
            .hint(untouched)
            .into();
    }
    let refusal = error
        .chain()
        .find_map(|cause| {
            let told = cause.downcast_ref::<Problem>().cloned();
            told.or_else(|| failure::explain(cause))
        })
        .map(|problem| Problem::new(format!("`{shown}`: {problem}")).hint(untouched));
    refusal.map_or(error, Into::into)
}

/// What is where the book is to be.
enum Place {
    /// Nothing.
    Free,
    /// A book. It is locked, so that nobody writes to it while it is set aside, unless it is too damaged to
    /// be locked.
    Taken {
        lock: Option<Connection>,
        entries: Option<i64>,
    },
}

impl Place {
    fn of(path: &Path) -> anyhow::Result<Self> {
        match fs::metadata(path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Self::Free),
            Err(error) => {
                return Err(files::unwritable(path, &error).into());
            }
            Ok(found) if !found.is_file() => {
                return Err(
                    Problem::new(format!("`{}` is not a plain file", path.display()))
                        .hint("name where the book is to lie with --book FILE")
                        .into(),
                );
            }
            Ok(_) => {}
        }
        let locked =
            connection::connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE).and_then(|connection| {
                connection.execute_batch("BEGIN EXCLUSIVE")?;
                Ok((migrate::identity(&connection)?, connection))
            });
        match locked {
            Ok((Identity::Foreign, _)) => Err(connection::foreign(path).into()),
            Ok((Identity::Blank | Identity::Book(_), connection)) => {
                let entries = connection
                    .query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
                    .ok();
                Ok(Self::Taken {
                    lock: Some(connection),
                    entries,
                })
            }
            Err(error) if failure::is_unreadable(&error) => Ok(Self::Taken {
                lock: None,
                entries: None,
            }),
            Err(error) => Err(error.into()),
        }
    }

    /// Gives the draft the place of the book. At every moment the old book has at least one name, and there
    /// is a book at `path`; a program that has the old one open is refused its next write, since SQLite
    /// notices that the file was moved.
    fn swap(self, draft: Draft, path: &Path, now: Instant) -> anyhow::Result<Option<SetAside>> {
        let Self::Taken { lock, entries } = self else {
            draft.put(path)?;
            return Ok(None);
        };
        let refuse = |error: std::io::Error| files::unwritable(path, &error);
        let rights = fs::metadata(path).map_err(refuse)?.permissions();
        fs::set_permissions(draft.path(), rights).map_err(refuse)?;
        let stamp = now.format(STAMP);
        let aside = files::unused(path, &format!(".set-aside-{stamp}"));
        second_name(path, &aside).map_err(refuse)?;
        // Only a book that is too damaged to be locked has a journal still. It is part of that book, and
        // would spoil the one that takes its place.
        let journal = with_suffix(path, "-journal");
        if journal.exists() {
            fs::rename(&journal, with_suffix(&aside, "-journal")).map_err(refuse)?;
        }
        if let Err(problem) = draft.put(path) {
            undo(path, &aside);
            return Err(problem.into());
        }
        drop(lock);
        Ok(Some(SetAside {
            path: aside,
            entries,
        }))
    }
}

/// Gives a file another name. Where the disk knows no second names, as memory sticks do, the first is gone
/// until the next file takes it.
fn second_name(path: &Path, other: &Path) -> std::io::Result<()> {
    fs::hard_link(path, other).or_else(|_| fs::rename(path, other))
}

/// Takes the second name away again, so that the old book has the one that it had.
fn undo(path: &Path, aside: &Path) {
    let journal = with_suffix(aside, "-journal");
    let _ = fs::rename(journal, with_suffix(path, "-journal"));
    let _ = if path.exists() {
        fs::remove_file(aside)
    } else {
        fs::rename(aside, path)
    };
}
