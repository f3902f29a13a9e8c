//! Putting a proved book into a file where a book lies or is to lie: into the same file, under its lock.
//!
//! SQLite finds journals by the name of a file and locks by the file itself. A book that gets another file under
//! its name can so be given the journal of the old one, and who had the old file open writes where nobody looks.

use super::backup::STAMP;
use super::connection::{self, look};
use super::failure::{self, Damage};
use super::files::{self, folder_of, make_private, make_private_folder};
use super::migrate::Identity;
use super::pages;
use crate::quantity::{Instant, Problem};
use rusqlite::{Connection, OpenFlags};
use std::path::{Path, PathBuf};

/// A file that nobody else may read or write until this is dropped: others wait.
pub(super) struct Held {
    connection: Connection,
    path: PathBuf,
    /// Entries of the book that is there; nothing where the file is empty.
    pub entries: Option<i64>,
}

/// What was found where a book is to lie.
pub(super) enum Found {
    /// A book or nothing, held.
    Held(Held),
    /// A file that SQLite can make nothing of.
    Unreadable,
}

impl Held {
    /// Takes hold of the file, making an empty one where nothing is.
    pub fn take(path: &Path) -> anyhow::Result<Found> {
        make_private_folder(folder_of(path))?;
        match make_private(path) {
            Err(error) if error.kind() != std::io::ErrorKind::AlreadyExists => {
                return Err(files::unwritable(path, &error).into());
            }
            _ => {}
        }
        match Self::lock(path) {
            Ok(held) => Ok(Found::Held(held)),
            Err(error) if failure::is_unreadable_book(&error) => Ok(Found::Unreadable),
            Err(error) => Err(error),
        }
    }

    fn lock(path: &Path) -> anyhow::Result<Self> {
        let connection = connection::connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        // A lock that outlives its transaction: copying into a file refuses one in which a transaction is open.
        // Only set once the lock is there, since who waits for it must not keep another one meanwhile.
        connection.execute_batch("BEGIN IMMEDIATE; PRAGMA locking_mode = EXCLUSIVE; COMMIT")?;
        let entries = match connection::identity(&connection, path)? {
            Identity::Foreign => return Err(connection::foreign(path).into()),
            Identity::Blank => None,
            Identity::Book(_) if !connection::is_table(&connection, "entry")? => {
                return Err(Damage("table entry is missing".to_owned()).into());
            }
            Identity::Book(_) => {
                Some(connection.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?)
            }
        };
        Ok(Self {
            connection,
            path: path.to_owned(),
            entries,
        })
    }

    /// Copies the book that is there to a name of its own.
    pub fn set_aside(&self, now: Instant) -> anyhow::Result<PathBuf> {
        let stamp = now.format(STAMP);
        pages::copy_aside(&self.connection, &self.path, &format!(".set-aside-{stamp}"))
    }

    /// Puts all pages of another book into the file, in one transaction.
    pub fn fill(mut self, from: &Path) -> anyhow::Result<()> {
        let copied =
            look(from).and_then(|from| pages::copy_pages_into(&from, &mut self.connection));
        if let Err(error) = copied {
            if self.entries.is_none() {
                // What was begun in an empty file is taken back to nothing while the lock still holds, so that
                // every command takes it for no book and the same act can be done again.
                let file = std::fs::OpenOptions::new().write(true).open(&self.path);
                let _ = file.and_then(|file| file.set_len(0));
            }
            return Err(error.into());
        }
        // The book is there. A lock that outlives transactions leaves its journal; this takes it away.
        let _ = self
            .connection
            .pragma_update(None, "locking_mode", "NORMAL");
        let _ = self
            .connection
            .pragma_update(None, "journal_mode", "PERSIST");
        let _ = self
            .connection
            .pragma_update(None, "journal_mode", "DELETE");
        Ok(())
    }
}

/// Gives a file that SQLite can make nothing of another name, and the journal that belongs to it.
pub(super) fn move_aside(path: &Path, now: Instant) -> anyhow::Result<PathBuf> {
    let stamp = now.format(STAMP);
    let aside = files::unused(path, &format!(".set-aside-{stamp}"));
    let refuse = |error: std::io::Error| files::unwritable(path, &error);
    std::fs::rename(path, &aside).map_err(refuse)?;
    let journal = files::with_suffix(path, "-journal");
    if journal.exists() {
        std::fs::rename(&journal, files::with_suffix(&aside, "-journal")).map_err(refuse)?;
    }
    Ok(aside)
}

/// What to say when a file could not be filled after the old book was set aside.
pub(super) fn not_filled(error: &anyhow::Error, path: &Path, aside: Option<&Path>) -> Problem {
    let why = error
        .chain()
        .find_map(failure::explain)
        .map_or_else(|| format!("{error:#}"), |problem| problem.to_string());
    let problem = Problem::new(format!(
        "the copy could not be put in place of `{}`: {why}",
        path.display()
    ));
    match aside {
        Some(aside) => problem.hint(format!(
            "the book is as it was; a copy of it lies at `{}` too",
            aside.display()
        )),
        None => problem.hint("no book was made; try again"),
    }
}

/// Refuses a file that holds a book, or fills an empty one.
pub(super) fn fill_free(from: &Path, path: &Path) -> anyhow::Result<()> {
    match Held::take(path)? {
        Found::Held(held) if held.entries.is_none() => held
            .fill(from)
            .map_err(|error| not_filled(&error, path, None).into()),
        _ => Err(files::taken(path).into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The lock lets nobody in until the file is filled, and leaves no journal.
    #[test]
    fn a_held_file_is_neither_read_nor_written_until_it_is_filled() {
        let folder = tempfile::tempdir().unwrap();
        let [path, from] = ["book", "from"].map(|name| folder.path().join(name));
        for (path, entries) in [(&path, 1), (&from, 2)] {
            make_private(path).unwrap();
            let book = connection::begin_new(path).unwrap();
            book.execute_batch("CREATE TABLE entry (id INTEGER PRIMARY KEY)")
                .unwrap();
            for id in 0..entries {
                book.execute("INSERT INTO entry VALUES (?1)", [id]).unwrap();
            }
            super::super::migrate::mark(&book, 1).unwrap();
        }
        let count = |book: &Connection| -> i64 {
            book.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
                .unwrap()
        };
        let other = Connection::open(&path).unwrap();
        other.busy_timeout(std::time::Duration::ZERO).unwrap();
        let Found::Held(held) = Held::take(&path).unwrap() else {
            panic!("it is a book")
        };
        assert_eq!(held.entries, Some(1));
        assert!(other.prepare("SELECT id FROM entry").is_err());
        assert!(other.execute("INSERT INTO entry VALUES (9)", []).is_err());
        held.fill(&from).unwrap();
        assert_eq!(count(&other), 2);
        other.execute("INSERT INTO entry VALUES (9)", []).unwrap();
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2);
    }
}
