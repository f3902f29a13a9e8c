//! Opening, making and upgrading a book.

use super::failure::Damage;
use super::files::{self, make_private, make_private_folder};
use super::migrate::{self, Identity};
use super::upgrade::{self, bring_up};
use super::{Act, Signature, View, columns, places, schema};
use crate::keeping::RuleSet;
use crate::quantity::{Instant, Problem, Zone};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, OptionalExtension, TransactionBehavior, params};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// An open book.
pub struct Book {
    connection: Connection,
    about: About,
    /// SQLite's count of changes to the schema; it moves on when another book is put into the file.
    schema_count: i64,
}

fn schema_count(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(None, "schema_version", |row| row.get(0))
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

/// How often a write that waits for another program asks whether that has finished, and how many times: 5 s
/// in all.
const ASKS_EVERY: Duration = Duration::from_millis(5);
const ASKS: i32 = 1_000;

/// Waits a little, as long as patience lasts.
///
/// SQLite's own waiting grows to a tenth of a second, so who has waited long asks seldom and loses to whoever
/// comes fresh: of eight programs that write without a pause some waited in vain. Asking as often as the
/// others gives each the same chance.
fn wait_a_little(asked: i32) -> bool {
    if asked < ASKS {
        std::thread::sleep(ASKS_EVERY);
    }
    asked < ASKS
}

impl Book {
    /// Opens the book at `path`, upgrading an older one after copying it aside. One whose schema somebody changed
    /// is refused.
    pub fn open(path: &Path, now: Instant) -> anyhow::Result<Self> {
        let found = std::fs::metadata(path).is_ok_and(|found| found.is_file() && found.len() == 0);
        if found {
            return Err(Problem::new(format!(
                "the file `{}` is empty: there is no book in it",
                path.display()
            ))
            .hint("`draff new-book` makes one there")
            .into());
        }
        Self::open_if(path, now, schema::refuse_changed)
    }

    /// Opens the book as it is found, for what has to work on a damaged one too: one with another schema is not
    /// refused, and not upgraded.
    pub fn open_as_found(path: &Path, now: Instant) -> anyhow::Result<Self> {
        Self::open_if(path, now, |_, _| Ok(()))
    }

    fn open_if(
        path: &Path,
        now: Instant,
        check: fn(&Connection, i32) -> anyhow::Result<()>,
    ) -> anyhow::Result<Self> {
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
            Ok(found) if !found.is_file() => return Err(files::not_plain(path).into()),
            Ok(_) => {}
        }
        let mut connection = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
            .map_err(|error| or_cut_off(error, path))?;
        let steps = migrate::all();
        match identity(&connection, path)? {
            Identity::Book(version) => {
                upgrade::refuse_newer(&connection, version, &steps)?;
                check(&connection, version)?;
                if steps.last().is_some_and(|newest| newest.version != version)
                    && schema::refuse_changed(&connection, version).is_ok()
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
        let (name, zone, rules_text): (String, String, String) = connection
            .query_row("SELECT name, zone, rules FROM book", [], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })
            .optional()?
            .ok_or_else(|| Damage("table book: its row is missing".to_owned()))?;
        let about = About {
            path: path.to_owned(),
            name,
            zone: Zone::named(&zone).map_err(|problem| Damage(format!("table book: {problem}")))?,
            rules: RuleSet::from_text(&rules_text).map_err(|problem| {
                Damage(format!(
                    "table book: its rule set is not understood: {problem}"
                ))
            })?,
            rules_text,
        };
        Ok(Self {
            schema_count: schema_count(&connection)?,
            connection,
            about,
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
        Ok(Self {
            schema_count: schema_count(&connection)?,
            connection,
            about,
        })
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
        // What was read before, rules and numbers of rows, is of the book that was there then.
        if schema_count(&transaction)? != self.schema_count {
            return Err(
                Problem::new("the book was replaced by another while this was worked out")
                    .hint("nothing was written; look at it and type it again")
                    .into(),
            );
        }
        let mut act = Act::new(transaction, &self.about, signature);
        let done = work(&mut act)?;
        act.finish()?;
        Ok(done)
    }
}

/// What a file is. Refused where it is shorter than its own head says: SQLite itself would read, and even
/// write, what is left of it.
pub(super) fn identity(connection: &Connection, path: &Path) -> anyhow::Result<Identity> {
    let identity = migrate::identity(connection).map_err(|error| or_cut_off(error, path))?;
    if matches!(identity, Identity::Book(_)) {
        let number =
            |pragma: &str| connection.pragma_query_value(None, pragma, |row| row.get::<_, i64>(0));
        let wanted = number("page_count")? * number("page_size")?;
        refuse_shorter(path, u64::try_from(wanted)?)?;
    }
    Ok(identity)
}

/// Why SQLite gave up on a file: it is shorter than its head says, so that its tables may have been in what is
/// gone, or else what SQLite says.
pub(super) fn or_cut_off(error: rusqlite::Error, path: &Path) -> anyhow::Error {
    let Ok(wanted) = wanted_by_head(path) else {
        return error.into();
    };
    let shorter = refuse_shorter(path, wanted);
    shorter.err().unwrap_or_else(|| error.into())
}

fn refuse_shorter(path: &Path, wanted: u64) -> anyhow::Result<()> {
    let found = std::fs::metadata(path)?.len();
    if found < wanted {
        return Err(Damage(format!(
            "the file is cut off: {found} bytes of {wanted} are there"
        ))
        .into());
    }
    Ok(())
}

/// What every SQLite file begins with.
const MAGIC: &[u8] = b"SQLite format 3\0";

/// How long a file should be by its head: page size at byte 16, number of pages at byte 28 (SQLite, Database
/// File Format, section 1.3). Only for a file that SQLite gave up on: closing a book that is open elsewhere in
/// the program would let go of its locks.
fn wanted_by_head(path: &Path) -> std::io::Result<u64> {
    let mut head = [0; 32];
    std::fs::File::open(path)?.read_exact(&mut head)?;
    if !head.starts_with(MAGIC) {
        return Ok(0);
    }
    let page_size = match u16::from_be_bytes([head[16], head[17]]) {
        // The one size that two bytes do not hold.
        1 => 65_536,
        size => u64::from(size),
    };
    let pages = u32::from_be_bytes([head[28], head[29], head[30], head[31]]);
    Ok(u64::from(pages) * page_size)
}

pub(super) fn foreign(path: &Path) -> Problem {
    Problem::new(format!(
        "`{}` is another program's SQLite file, not a book",
        path.display()
    ))
    .hint("name another file with --book; it was not touched")
}

/// Opens the file.
pub(super) fn connect(path: &Path, flags: OpenFlags) -> rusqlite::Result<Connection> {
    // SQLite keeps no file for some bare names; with a folder before it every name is a file.
    let path = &Path::new(".").join(path);
    configured(Connection::open_with_flags(
        path,
        flags | OpenFlags::SQLITE_OPEN_NO_MUTEX,
    )?)
}

/// What has to be set anew on every connection.
pub(super) fn configured(mut connection: Connection) -> rusqlite::Result<Connection> {
    connection.busy_handler(Some(wait_a_little))?;
    // A misspelt column in double quotes must be an error, not a string.
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DQS_DML, false)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DQS_DDL, false)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
    // A plan must not hang on the values bound to it: otherwise SQLite plans most questions anew each
    // time they are asked with another lot or another moment.
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    connection.pragma_update(None, "foreign_keys", true)?;
    // With a rollback journal a book copied by hand is whole; full synchronisation keeps what was acknowledged.
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.set_prepared_statement_cache_capacity(64);
    Ok(connection)
}

/// Opens an empty file that is to become a book.
pub(super) fn begin_new(path: &Path) -> rusqlite::Result<Connection> {
    let connection = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    // Fewer, larger pages: a file of pickups is written a twentieth faster. Counts for a new file only.
    connection.pragma_update(None, "page_size", 8192)?;
    // A step may make a table anew that others point to; they are all checked when it is done.
    connection.pragma_update(None, "foreign_keys", false)?;
    Ok(connection)
}
