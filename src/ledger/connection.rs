//! A connection to a book's file: what is set on each, and what kind of file it is.

use super::failure::Damage;
use super::migrate::{self, Identity};
use crate::quantity::Problem;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};
use std::io::Read;
use std::path::Path;
use std::time::Duration;

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

/// Opens a file to read it and no more.
pub(super) fn look(path: &Path) -> rusqlite::Result<Connection> {
    connect(path, OpenFlags::SQLITE_OPEN_READ_ONLY)
}

/// Steps of SQLite's machine that a book that may be damaged may take: some for every byte, and enough for a small book. An
/// honest book takes a hundredth of that; a file made to keep the program busy is given up as damaged.
const STEPS_A_BYTE: u64 = 200;
const LEAST_STEPS: u64 = 1_000_000_000;

/// Ends whatever takes more steps than a book of that size can ask for.
pub(super) fn limit_work(connection: &mut Connection, path: &Path) -> rusqlite::Result<()> {
    const AT_ONCE: u16 = 10_000;
    let bytes = std::fs::metadata(path).map_or(0, |found| found.len());
    let mut left = (LEAST_STEPS + STEPS_A_BYTE * bytes) / u64::from(AT_ONCE);
    connection.progress_handler(
        AT_ONCE.into(),
        Some(move || {
            left = left.saturating_sub(1);
            left == 0
        }),
    )
}

/// Whether a name is that of a table: a view in its place may never end.
pub(super) fn is_table(connection: &Connection, name: &str) -> rusqlite::Result<bool> {
    connection.query_row(
        "SELECT EXISTS (SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?1)",
        [name],
        |row| row.get(0),
    )
}
