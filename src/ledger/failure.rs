//! What SQLite says, in words a baker can act on.

use crate::quantity::Problem;
use rusqlite::{Error, ErrorCode, ffi};

/// A book that is not whole, found before anything was read from it.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct Damage(pub String);

/// What is damaged, if that is what an error says.
pub fn damage(error: &anyhow::Error) -> Option<String> {
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
