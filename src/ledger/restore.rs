//! Bringing a copy of a book back: proved whole first, the book that was there set aside.

use super::audit::Audit;
use super::connection::{self, look};
use super::failure::{self, Damage};
use super::files::{self, Draft, belongs_to_book, folder_of, make_private_folder, with_suffix};
use super::migrate::{self, Identity};
use super::pages::copy_pages;
use super::replace::{self, Found, Held};
use super::{About, Book, schema, upgrade};
use crate::quantity::{Instant, Problem};
use rusqlite::OpenFlags;
use std::fs;
use std::path::{Path, PathBuf};

/// A book that was brought back.
pub struct Restored {
    /// What the book is now, and where.
    pub about: About,
    /// How many entries are in it.
    pub entries: i64,
    /// When the last of them was written.
    pub last: Option<Instant>,
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
    /// Puts a copy into the file of the book at `path`, which is set aside under a name of its own. An older
    /// copy is upgraded on the way; the file that is copied is only read.
    pub fn restore(copy: &Path, path: &Path, now: Instant) -> anyhow::Result<Restored> {
        refuse_unusable(copy, path)?;
        // Where the book is a link, what it points to is meant.
        let path = &path.canonicalize().unwrap_or_else(|_| path.to_owned());
        refuse_no_file(path)?;
        make_private_folder(folder_of(path))?;
        let draft = Draft::private(path)?;
        // Proved before anything is locked: however long a copy takes, nobody waits for it.
        let (about, audit, last) =
            prove(copy, draft.path(), now).map_err(|error| within(error, copy))?;
        let set_aside = put(&draft, path, now)?;
        Ok(Restored {
            about: About {
                path: path.clone(),
                ..about
            },
            entries: audit.entries,
            last,
            set_aside,
        })
    }
}

/// Puts the proved draft where the book is to lie.
fn put(draft: &Draft, path: &Path, now: Instant) -> anyhow::Result<Option<SetAside>> {
    let (held, moved) = match Held::take(path)? {
        Found::Held(held) => (held, None),
        // No lock holds on a file that is no database. It gets another name, and the book a new file.
        Found::Unreadable => {
            let rights = std::fs::metadata(path).map(|found| found.permissions());
            let moved = replace::move_aside(path, now)?;
            let Found::Held(held) = Held::take(path)? else {
                return Err(files::taken(path).into());
            };
            if let Ok(rights) = rights {
                // The book is whole whatever its rights are: they are its owner's to set.
                let _ = std::fs::set_permissions(path, rights);
            }
            (held, Some(moved))
        }
    };
    let entries = held.entries;
    let aside = match entries {
        Some(_) => Some(held.set_aside(now)?),
        None => moved,
    };
    held.fill(draft.path())
        .map_err(|error| replace::not_filled(&error, path, aside.as_deref()))?;
    Ok(aside.map(|path| SetAside { path, entries }))
}

/// Refuses what cannot be a copy of a book before anything is read from it.
fn refuse_unusable(copy: &Path, path: &Path) -> Result<(), Problem> {
    let shown = copy.display();
    match fs::metadata(copy) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return Err(Problem::new(format!("there is no copy at `{shown}`"))
                .hint("name a file that `backup` made; the book was not touched"));
        }
        Err(error) => {
            return Err(Problem::new(format!("`{shown}` cannot be read: {error}")));
        }
        Ok(found) if !found.is_file() => {
            return Err(Problem::new(format!("`{shown}` is not a plain file"))
                .hint("name a file that `backup` made; the book was not touched"));
        }
        Ok(_) => {}
    }
    if belongs_to_book(copy, path) {
        return Err(Problem::new(format!("`{shown}` is the book itself"))
            .hint("name a copy of it; the book was not touched"));
    }
    Ok(())
}

/// Refuses a place where no file may lie.
fn refuse_no_file(path: &Path) -> Result<(), Problem> {
    match fs::metadata(path) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(files::unwritable(path, &error)),
        Ok(found) if !found.is_file() => Err(files::not_plain(path)),
        Ok(_) => Ok(()),
    }
}

/// Copies into the draft, upgrades that and proves it whole.
fn prove(
    copy: &Path,
    draft: &Path,
    now: Instant,
) -> anyhow::Result<(About, Audit, Option<Instant>)> {
    match take_pages(copy, draft) {
        Err(error) if failure::wants_rollback(&error) => {
            // An act was cut short in the copy. It is taken back in a second copy, journal and all, since the
            // first is only read.
            let second = Draft::private(&with_suffix(draft, ".act"))?;
            fs::copy(copy, second.path())
                .and_then(|_| {
                    fs::copy(
                        with_suffix(copy, "-journal"),
                        with_suffix(second.path(), "-journal"),
                    )
                })
                .map_err(|error| files::unwritable(second.path(), &error))?;
            connection::connect(second.path(), OpenFlags::SQLITE_OPEN_READ_WRITE)?
                .execute_batch("BEGIN IMMEDIATE; COMMIT")?;
            take_pages(second.path(), draft)?;
        }
        taken => taken?,
    }
    let mut connection = connection::connect(draft, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    connection::limit_work(&mut connection, draft)?;
    // Before a statement runs that a trigger or a view of somebody else could answer.
    if let Identity::Book(version) = connection::identity(&connection, draft)? {
        schema::refuse_changed(&connection, version)?;
    }
    upgrade::bring_up(&mut connection, &migrate::all(), now)?;
    let book = Book::read(connection, draft)?;
    book.fill_identity()?;
    let audit = book.audit()?;
    match audit.damage.first() {
        None => {
            book.begin_line(now)?;
            Ok((
                book.view().about().clone(),
                audit,
                book.view().last_written()?,
            ))
        }
        Some(found) => Err(Damage(found.clone()).into()),
    }
}

/// Copies all pages of a book of a version that is known.
fn take_pages(copy: &Path, draft: &Path) -> anyhow::Result<()> {
    let from = look(copy).map_err(|error| connection::or_cut_off(error, copy))?;
    match connection::identity(&from, copy)? {
        Identity::Book(version) => migrate::refuse_newer(version, &migrate::all())?,
        Identity::Blank => {
            return Err(Problem::new("the file is empty: there is no book in it").into());
        }
        Identity::Foreign => {
            return Err(Problem::new("it is another program's SQLite file, not a book").into());
        }
    }
    Ok(copy_pages(&from, draft)?)
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
