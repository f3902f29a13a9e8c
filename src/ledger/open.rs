//! Opening, making and upgrading a book.

use super::connection::{begin_new, connect, foreign, identity, or_cut_off};
use super::files::{self, make_private, make_private_folder};
use super::migrate::{self, Identity, Migration};
use super::{Act, Signature, View, columns, pages, places};
use crate::keeping::RuleSet;
use crate::quantity::{Instant, Problem, Zone};
use anyhow::Context;
use rusqlite::{Connection, OpenFlags, TransactionBehavior, params};
use std::path::{Path, PathBuf};

/// An open book.
pub struct Book {
    connection: Connection,
    about: About,
}

/// What a book is.
#[derive(Debug, Clone)]
pub struct About {
    /// Where it lies.
    pub path: PathBuf,
    /// Its name.
    pub name: String,
    /// Its time zone: where its days begin and end.
    pub zone: Zone,
    /// The rule set its keeping clock goes by.
    pub rules: RuleSet,
    /// The text of that rule set.
    pub rules_text: String,
}

/// What a new book is to be.
#[derive(Debug, Clone)]
pub struct NewBook {
    /// Its name.
    pub name: String,
    /// Its time zone.
    pub zone: Zone,
    /// The text of its rule set, already read once without complaint.
    pub rules_text: String,
}

impl Book {
    /// Opens the book at `path`, upgrading an older one after copying it aside.
    pub fn open(path: &Path, now: Instant) -> anyhow::Result<Self> {
        match std::fs::metadata(path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                return Err(Problem::new(format!("there is no book at `{}`", path.display()))
                    .hint("`draff pickup …` makes one at the first write, `draff new-book` one with a name and time zone")
                    .hint("`draff --book FILE …` or DRAFF_BOOK names another file")
                    .into());
            }
            Err(error) => {
                return Err(Problem::new(format!(
                    "the book `{}` cannot be opened: {error}",
                    path.display()
                ))
                .into());
            }
            Ok(found) if found.is_dir() => {
                return Err(
                    Problem::new(format!("`{}` is a folder, not a book", path.display()))
                        .hint(format!(
                            "name a file, such as --book {}",
                            path.join("book.draff").display()
                        ))
                        .into(),
                );
            }
            Ok(_) => {}
        }
        let mut connection = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
            .map_err(|error| or_cut_off(error, path))?;
        let steps = migrate::all();
        match identity(&connection, path)? {
            Identity::Book(version) => {
                migrate::refuse_newer(version, &steps)?;
                upgrade(&mut connection, path, version, &steps, now)?;
            }
            Identity::Blank => {
                return Err(Problem::new(format!(
                    "the file `{}` is empty: there is no book in it",
                    path.display()
                ))
                .hint("`draff new-book` makes one there")
                .into());
            }
            Identity::Foreign => return Err(foreign(path).into()),
        }
        Self::read(connection, path)
    }

    /// Makes a book at `path`. Two programs that try at once both end with the same one.
    pub fn make(path: &Path, new: &NewBook, signature: &Signature) -> anyhow::Result<Self> {
        make_private_folder(files::folder_of(path))?;
        // A book holds names and notes: its owner alone may read it, unless he opens it to others.
        match make_private(path) {
            Err(error) if error.kind() != std::io::ErrorKind::AlreadyExists => {
                return Err(Problem::new(format!(
                    "the book `{}` cannot be made: {error}",
                    path.display()
                ))
                .hint("check that you may write to its folder")
                .into());
            }
            _ => {}
        }
        let mut connection = begin_new(path)?;
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        match migrate::identity(&transaction)? {
            Identity::Blank => {
                migrate::apply(&transaction, 0, &migrate::all(), signature.now)?;
                transaction.execute(
                    "INSERT INTO book (id, name, zone, rules, made_at) VALUES (1, ?1, ?2, ?3, ?4)",
                    params![
                        new.name,
                        new.zone.name(),
                        new.rules_text,
                        columns::seconds(signature.now)
                    ],
                )?;
                places::add_usual(&transaction, signature)?;
            }
            Identity::Book(_) => {}
            Identity::Foreign => return Err(foreign(path).into()),
        }
        transaction.commit()?;
        connection.pragma_update(None, "foreign_keys", true)?;
        Self::read(connection, path)
    }

    pub(super) fn read(connection: Connection, path: &Path) -> anyhow::Result<Self> {
        let (name, zone, rules_text): (String, String, String) =
            connection.query_row("SELECT name, zone, rules FROM book", [], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })?;
        let about = About {
            path: path.to_owned(),
            name,
            zone: Zone::named(&zone)?,
            rules: RuleSet::from_text(&rules_text)
                .context("the book's own rule set is not understood")?,
            rules_text,
        };
        Ok(Self { connection, about })
    }

    /// The book at the newest schema.
    pub(super) fn brought_up(self, now: Instant) -> anyhow::Result<Self> {
        let Self {
            mut connection,
            about,
        } = self;
        bring_up(&mut connection, &migrate::all(), now)?;
        Ok(Self { connection, about })
    }

    /// Questions to the book.
    pub fn view(&self) -> View<'_> {
        View {
            connection: &self.connection,
            about: &self.about,
        }
    }

    /// Does one act of the user in one transaction: all of it is written, or nothing.
    pub fn act<T>(
        &mut self,
        signature: &Signature,
        work: impl FnOnce(&mut Act<'_>) -> anyhow::Result<T>,
    ) -> anyhow::Result<T> {
        // Room for what a file of pickups changes, so that nothing goes to the disk before it is all
        // there; and what undoes one failed statement needs no file of its own.
        self.connection.pragma_update(None, "cache_size", -65_536)?;
        self.connection
            .pragma_update(None, "temp_store", "MEMORY")?;
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut act = Act::new(transaction, &self.about, signature);
        let done = work(&mut act)?;
        act.finish()?;
        Ok(done)
    }
}

/// Copies an older book aside and brings it to the newest schema.
fn upgrade(
    connection: &mut Connection,
    path: &Path,
    version: i32,
    steps: &[Migration],
    now: Instant,
) -> anyhow::Result<()> {
    if steps.last().is_none_or(|newest| newest.version == version) {
        return Ok(());
    }
    let copy = files::unused(path, &format!(".version-{version}"));
    pages::copy(connection, &copy)?;
    bring_up(connection, steps, now)
}

/// Brings a book to the newest schema.
pub(super) fn bring_up(
    connection: &mut Connection,
    steps: &[Migration],
    now: Instant,
) -> anyhow::Result<()> {
    // As when a book is made: a step may make a table anew that others point to.
    connection.pragma_update(None, "foreign_keys", false)?;
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another program may have upgraded the book while the copy was made.
    if let Identity::Book(version) = migrate::identity(&transaction)? {
        migrate::apply(&transaction, version, steps, now)?;
    }
    transaction.commit()?;
    connection.pragma_update(None, "foreign_keys", true)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_older_book_is_copied_aside_and_upgraded() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.draff");
        let now: Instant = "2026-11-20T09:00:00Z".parse().unwrap();
        let new = NewBook {
            name: "old".into(),
            zone: Zone::utc(),
            rules_text: RuleSet::built_in_text("strict").unwrap().into(),
        };
        drop(Book::make(&path, &new, &Signature { now, by: None }).unwrap());
        let mut steps = migrate::all();
        let newest = steps.last().unwrap().version;
        steps.push(Migration {
            version: newest + 1,
            name: "9999_next",
            sql: "CREATE TABLE next (id INTEGER PRIMARY KEY) STRICT;",
        });
        let mut connection = connect(&path, OpenFlags::SQLITE_OPEN_READ_WRITE).unwrap();
        upgrade(&mut connection, &path, newest, &steps, now).unwrap();
        assert_eq!(
            migrate::identity(&connection).unwrap(),
            Identity::Book(newest + 1)
        );
        let copy = connect(
            &path.with_file_name(format!("book.draff.version-{newest}")),
            OpenFlags::SQLITE_OPEN_READ_ONLY,
        )
        .unwrap();
        assert_eq!(migrate::identity(&copy).unwrap(), Identity::Book(newest));
    }
}
