//! Opening, making and upgrading a book.

use super::as_of::schema_count;
use super::connection::{begin_new, connect, foreign, identity, is_table, limit_work, or_cut_off};
use super::failure::{self, Damage};
use super::files::{self, make_private, make_private_folder};
use super::migrate::{self, Identity};
use super::moisture::Remembered;
use super::upgrade::{self, bring_up};
use super::{Act, BookRefusal, Once, Signature, View, chain, columns, places, schema};
use crate::keeping::RuleSet;
use crate::quantity::text::shell_word;
use crate::quantity::{Instant, Problem, Zone};
use rusqlite::{Connection, MAIN_DB, OpenFlags, OptionalExtension, TransactionBehavior, params};
use std::cell::RefCell;
use std::path::{Path, PathBuf};

/// An open book.
pub struct Book {
    pub(super) connection: Connection,
    about: About,
    /// SQLite's count of changes to the schema; it moves on when another book is put into the file.
    schema_count: i64,
    /// Whether a lot on hand may be named by the end of its code, as people type it.
    code_ends: bool,
    /// The file and what it said that it is, where it was opened to be written and may be asked again.
    opened: Option<(files::AsFound, Identity)>,
    remembered: RefCell<Remembered>,
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

impl About {
    /// What the book at `path` says of itself.
    pub(super) fn read(connection: &Connection, path: &Path) -> anyhow::Result<Self> {
        let (name, zone, rules_text) =
            row(connection)?.ok_or_else(|| Damage("table book: its row is missing".to_owned()))?;
        Ok(Self {
            path: path.to_owned(),
            name,
            zone: Zone::named(&zone).map_err(|problem| Damage(format!("table book: {problem}")))?,
            rules: RuleSet::from_text(&rules_text).map_err(|problem| {
                Damage(format!(
                    "table book: its rule set is not understood: {problem}"
                ))
            })?,
            rules_text,
        })
    }
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
    /// Opens the book at `path`, upgrading an older one after copying it aside. One whose schema somebody changed
    /// is refused.
    pub fn open(path: &Path, now: Instant) -> anyhow::Result<Self> {
        if Self::is_begun_at(path) {
            return Err(BookRefusal::EmptyFile(path.to_owned()).into());
        }
        Self::open_if(path, now, schema::refuse_changed, About::read)
    }

    /// Whether a file holds no book and nothing else: it is empty, or somebody was killed who began to fill it. What
    /// was begun is taken back.
    pub fn is_begun_at(path: &Path) -> bool {
        // A book has many more pages; an unfinished one has its journal beside it.
        const FEW: u64 = 65_536;
        match std::fs::metadata(path) {
            Ok(found) if found.is_file() => {
                let may_be = found.len() <= FEW || files::with_suffix(path, "-journal").exists();
                let is_blank = || {
                    connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
                        .and_then(|book| migrate::identity(&book))
                        .is_ok_and(|found| found == Identity::Blank)
                };
                found.len() == 0 || may_be && is_blank()
            }
            _ => false,
        }
    }

    /// Opens the book as it is found, for what has to work on a damaged one too: one with another schema is not
    /// refused, and not upgraded. What cannot be read of name, zone and rules is found by an audit.
    pub fn open_as_found(path: &Path, now: Instant) -> anyhow::Result<Self> {
        let mut book = Self::open_if(path, now, |_, _| Ok(()), about_as_found)?;
        limit_work(&mut book.connection, path)?;
        Ok(book)
    }

    fn open_if(
        path: &Path,
        now: Instant,
        check: fn(&Connection, i32) -> anyhow::Result<()>,
        about: fn(&Connection, &Path) -> anyhow::Result<About>,
    ) -> anyhow::Result<Self> {
        let file = match std::fs::metadata(path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                return Err(BookRefusal::NoBook(path.to_owned()).into());
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
                            shell_word(&path.join("book.draff").to_string_lossy())
                        ))
                        .into(),
                );
            }
            Ok(found) if !found.is_file() => return Err(files::not_plain(path).into()),
            Ok(_) => files::AsFound::at(path),
        };
        let mut connection = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
            .map_err(|error| or_cut_off(error, path))?;
        let steps = migrate::all();
        let found = identity(&connection, path)?;
        match found {
            Identity::Book(version) => {
                upgrade::refuse_newer(&connection, version, &steps)?;
                check(&connection, version)?;
                if steps.last().is_some_and(|newest| newest.version != version)
                    && upgrade::has_its_schema(&connection, version)?
                    && let Some(private) =
                        upgrade::upgrade(&mut connection, path, version, &steps, now)?
                {
                    connection = private;
                }
            }
            Identity::Blank => {
                return Err(Damage("the file is empty: there is no book in it".to_owned()).into());
            }
            Identity::Foreign => return Err(foreign(path).into()),
        }
        let is_own = !connection.is_readonly(MAIN_DB)? && connection.path() != Some("");
        Ok(Self {
            opened: file.filter(|_| is_own).map(|file| (file, found)),
            ..Self::of(about(&connection, path)?, connection)?
        })
    }

    /// Whether nobody has touched the file since the book was opened or laid by.
    pub fn is_untouched(&self) -> bool {
        self.opened.as_ref().is_some_and(|(file, _)| {
            files::AsFound::at(&self.about.path).is_some_and(|found| found == *file)
        })
    }

    /// The book for a later request, where it is still what it was when it was opened: the same file, whole, with the same
    /// schema, name, zone and rules. Otherwise, and where that cannot be told, it has to be opened anew.
    pub fn laid_by(mut self) -> Option<Self> {
        let (opened, identity) = self.opened.take()?;
        let found = files::AsFound::at(&self.about.path)?;
        if found != opened && !(found.is_file(&opened) && self.is_still(identity).unwrap_or(false))
        {
            return None;
        }
        // What an act took for its pages is given back.
        let given_back = self.connection.pragma_update(None, "cache_size", -2_000);
        self.opened = Some((found, identity));
        given_back.ok().map(|()| self)
    }

    fn is_still(&self, opened: Identity) -> anyhow::Result<bool> {
        let _still = self.view().hold_still()?;
        let about = &self.about;
        let known = (&*about.name, about.zone.name(), &*about.rules_text);
        Ok(schema_count(&self.connection)? == self.schema_count
            && identity(&self.connection, &about.path)? == opened
            && row(&self.connection)?
                .is_some_and(|(name, zone, rules)| (&*name, &*zone, &*rules) == known))
    }

    /// Makes a book at `path`; nothing where a book is there already. Of programs that try at once one makes it.
    pub fn make(path: &Path, new: &NewBook, signature: &Signature) -> anyhow::Result<Option<Self>> {
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
                chain::begin(&transaction)?;
            }
            Identity::Book(_) => return Ok(None),
            Identity::Foreign => return Err(foreign(path).into()),
        }
        transaction.commit()?;
        connection.pragma_update(None, "foreign_keys", true)?;
        Self::read(connection, path).map(Some)
    }

    pub(super) fn read(connection: Connection, path: &Path) -> anyhow::Result<Self> {
        Self::of(About::read(&connection, path)?, connection)
    }

    fn of(about: About, connection: Connection) -> anyhow::Result<Self> {
        Ok(Self {
            schema_count: schema_count(&connection)?,
            connection,
            about,
            code_ends: false,
            opened: None,
            remembered: RefCell::default(),
        })
    }

    /// The book at the newest schema.
    pub(super) fn brought_up(self, now: Instant) -> anyhow::Result<Self> {
        let Self {
            mut connection,
            about,
            ..
        } = self;
        bring_up(&mut connection, &migrate::all(), now)?;
        Self::of(about, connection)
    }

    /// Gives it ids where their row is missing. They are random and say nothing of what was written, so a book that is
    /// made of a copy or of tables does not stay without.
    pub(super) fn fill_identity(&self) -> rusqlite::Result<()> {
        self.connection
            .execute(
                "INSERT OR IGNORE INTO book_identity (id, house, line)
                 VALUES (1, lower(hex(randomblob(16))), lower(hex(randomblob(16))))",
                [],
            )
            .map(drop)
    }

    /// Makes it a line of its own: what is written from now on stands in no other copy of the book.
    /// No device was paired with it.
    pub(super) fn begin_line(&self, now: Instant) -> rusqlite::Result<()> {
        self.connection.execute(
            "UPDATE book_identity SET line = lower(hex(randomblob(16)))",
            [],
        )?;
        self.end_devices(now)
    }

    /// Takes the end of a code for the lot on hand that it names. Only for what a person types: later the same end
    /// may name another lot.
    #[must_use]
    pub fn with_code_ends(self) -> Self {
        Self {
            code_ends: true,
            ..self
        }
    }

    /// Questions to the book.
    pub fn view(&self) -> View<'_> {
        View {
            connection: &self.connection,
            about: &self.about,
            code_ends: self.code_ends,
            // Another program's schema may know of no chain.
            remembered: self.opened.as_ref().map(|_| &self.remembered),
        }
    }

    /// Does one act of the user in one transaction: all of it is written, or nothing.
    ///
    /// With an id an act that was done before under it is refused, see [`BookRefusal::DoneBefore`].
    pub(crate) fn act<T>(
        &mut self,
        signature: &Signature,
        once: Option<&Once>,
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
        // What was read before, rules and numbers of rows, is of the book that was there then.
        if schema_count(&transaction)? != self.schema_count {
            return Err(
                Problem::new("the book was replaced by another while this was worked out")
                    .hint("nothing was written; look at it and type it again")
                    .into(),
            );
        }
        let mut act = Act::new(transaction, (&self.about, self.code_ends), signature)?;
        let before = act.view().last_entry()?;
        if let Some(once) = once {
            act.refuse_done(once)?;
        }
        let done = work(&mut act)?;
        if let Some(once) = once {
            act.keep_id(once, before)?;
        }
        act.finish()?;
        Ok(done)
    }
}

/// What a book that may be damaged says of itself. Where it cannot be read the book has no name and the strictest rules: what opens
/// such a book judges no grain by them.
fn about_as_found(connection: &Connection, path: &Path) -> anyhow::Result<About> {
    if is_table(connection, "book")? {
        match About::read(connection, path) {
            Err(error) if failure::damage(&error).is_some() => {}
            found => return found,
        }
    }
    let rules_text = RuleSet::built_in_text("strict")?.to_owned();
    Ok(About {
        path: path.to_owned(),
        name: String::new(),
        zone: Zone::utc(),
        rules: RuleSet::from_text(&rules_text)?,
        rules_text,
    })
}

/// Name, zone and rules of a book.
fn row(connection: &Connection) -> rusqlite::Result<Option<(String, String, String)>> {
    connection
        .prepare_cached("SELECT name, zone, rules FROM book")?
        .query_row([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
        .optional()
}
