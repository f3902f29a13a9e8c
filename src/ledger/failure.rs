//! What SQLite says, in words a baker can act on.

use super::columns;
use crate::quantity::Problem;
use rusqlite::{Error, ErrorCode, ffi};

/// A book that is not whole, found before anything was read from it.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct Damage(pub String);

/// Stands above an error: a newer program wrote the book.
#[derive(Debug, thiserror::Error)]
#[error("a newer program wrote the book")]
pub struct Newer;

/// What can be done where one entry or formula cannot be read.
pub(super) const STILL_WORKS: &str = "`check`, `export-all` and `restore` still work, and so does what does not read it: try `shelf`, `ticket`, `place`";

/// One entry or formula that cannot be read, in a book that is whole otherwise.
#[derive(Debug, thiserror::Error)]
#[error("{part}: {why}")]
struct DamagedPart {
    part: String,
    why: String,
}

/// Names the entry or formula in which SQLite found what nobody of us has written. What has a name keeps it, and what says
/// nothing of a value stays as it is.
pub(super) fn in_part(error: Error, part: impl FnOnce() -> String) -> Error {
    let is_of_value = matches!(
        error,
        Error::FromSqlConversionFailure(..)
            | Error::InvalidColumnType(..)
            | Error::IntegralValueOutOfRange(..)
            | Error::Utf8Error(..)
            | Error::QueryReturnedNoRows
    );
    if !is_of_value || part_of(&error).is_some() {
        return error;
    }
    let why = std::error::Error::source(&error)
        .map_or_else(|| error.to_string(), |inner| inner.to_string());
    columns::damaged(DamagedPart { part: part(), why })
}

/// The same for an entry.
pub(super) fn in_entry(error: Error, entry: i64) -> Error {
    in_part(error, || format!("entry {entry}"))
}

fn part_of<'e>(cause: &'e (dyn std::error::Error + 'static)) -> Option<&'e DamagedPart> {
    match cause.downcast_ref::<Error>()? {
        Error::FromSqlConversionFailure(_, _, inner) => inner.downcast_ref(),
        _ => None,
    }
}

/// The entry or formula that cannot be read and why, if that is what an error says.
pub fn damaged_part(error: &anyhow::Error) -> Option<String> {
    error.chain().find_map(part_of).map(ToString::to_string)
}

/// What is damaged, if that is what an error says.
pub fn damage(error: &anyhow::Error) -> Option<String> {
    damaged_part(error).or_else(|| {
        error
            .chain()
            .find_map(|cause| match cause.downcast_ref::<Damage>() {
                Some(found) => Some(found.to_string()),
                None => match code(cause)? {
                    ErrorCode::DatabaseCorrupt | ErrorCode::SystemIoFailure => {
                        Some(format!("file: {cause}"))
                    }
                    ErrorCode::OperationInterrupted => {
                        Some("file: it keeps the program busy longer than a book can".to_owned())
                    }
                    ErrorCode::NotADatabase => Some("file: it is no SQLite file".to_owned()),
                    _ => None,
                },
            })
    })
}

/// SQLite's code behind an error of the book.
fn code(cause: &(dyn std::error::Error + 'static)) -> Option<ErrorCode> {
    match cause.downcast_ref::<Error>()? {
        Error::SqliteFailure(_, Some(words)) if words == "integer overflow" => {
            Some(ErrorCode::DatabaseCorrupt)
        }
        Error::SqliteFailure(failure, _) => Some(failure.code),
        Error::SqlInputError { msg, .. } if msg.starts_with("no such ") => {
            Some(ErrorCode::DatabaseCorrupt)
        }
        Error::SqlInputError { error, .. } => Some(error.code),
        // No question of ours can be asked in vain: what it finds no place or no row for is gone, and what it
        // cannot read nobody of us has written.
        Error::FromSqlConversionFailure(..)
        | Error::InvalidColumnType(..)
        | Error::IntegralValueOutOfRange(..)
        | Error::Utf8Error(..)
        | Error::QueryReturnedNoRows => Some(ErrorCode::DatabaseCorrupt),
        _ => None,
    }
}

/// Whether SQLite can make nothing of a file.
fn is_unreadable(error: &Error) -> bool {
    matches!(
        code(error),
        Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt | ErrorCode::SystemIoFailure)
    )
}

/// Whether another program holds the book.
pub fn is_busy(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        matches!(
            code(cause),
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked)
        )
    })
}

/// Whether nothing can be made of the file of a book.
pub fn is_unreadable_book(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        cause.is::<Damage>() || cause.downcast_ref::<Error>().is_some_and(is_unreadable)
    })
}

/// Whether a file that may only be read holds an act that was cut short.
pub fn wants_rollback(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        matches!(
            cause.downcast_ref::<Error>(),
            Some(Error::SqliteFailure(failure, _))
                if failure.extended_code == ffi::SQLITE_READONLY_ROLLBACK
                    || failure.extended_code == ffi::SQLITE_READONLY_RECOVERY
                    || failure.code == ErrorCode::CannotOpen
        )
    })
}

/// The refusal behind an error of the book, or nothing where it is another error or a defect of ours.
pub fn explain(cause: &(dyn std::error::Error + 'static)) -> Option<Problem> {
    if let Some(found) = cause.downcast_ref::<Damage>() {
        return Some(Problem::new(format!("the book is damaged: {found}")).hint(
            "go back to a copy of the file made while it was whole; this one was not touched",
        ));
    }
    if let Some(found) = part_of(cause) {
        return Some(
            Problem::new(format!("the book is damaged: {found}"))
                .hint(STILL_WORKS)
                .hint("go back to a copy of the file made while it was whole"),
        );
    }
    Some(match code(cause)? {
        ErrorCode::DatabaseCorrupt => Problem::new(format!("the book is damaged: {cause}"))
            .hint("`check` says where; go back to a copy of the file made while it was whole"),
        ErrorCode::OperationInterrupted => {
            Problem::new("the book is damaged: it keeps the program busy longer than a book can")
                .hint("go back to a copy of the file made while it was whole")
        }
        ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => {
            Problem::new("the book is being written by another program and stayed locked for 5 s")
                .hint("try again; nothing was written")
        }
        ErrorCode::ReadOnly | ErrorCode::PermissionDenied => {
            Problem::new("the book may not be written: the file or its folder is read-only")
                .hint("nothing was written; check the permissions of the file and its folder")
        }
        ErrorCode::DiskFull => Problem::new("the disk is full")
            .hint("nothing was written; free some space and try again"),
        ErrorCode::NotADatabase => Problem::new("the file is not a book: it is no SQLite file")
            .hint("name another file with --book"),
        ErrorCode::CannotOpen => Problem::new("the book cannot be opened")
            .hint("check that the folder exists and that you may write to it"),
        ErrorCode::SystemIoFailure => Problem::new("the disk refused to read or write the book")
            .hint("nothing of this act was written; check the disk and its free space"),
        _ => return None,
    })
}
