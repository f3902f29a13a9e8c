//! What SQLite says, in words a baker can act on.

use crate::quantity::Problem;
use rusqlite::{Error, ErrorCode};

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
                _ => None,
            },
        })
}

/// SQLite's code behind an error of the book.
fn code(cause: &(dyn std::error::Error + 'static)) -> Option<ErrorCode> {
    match cause.downcast_ref::<Error>()? {
        Error::SqliteFailure(failure, _) => Some(failure.code),
        Error::SqlInputError { error, .. } => Some(error.code),
        Error::FromSqlConversionFailure(..) | Error::InvalidColumnType(..) => {
            Some(ErrorCode::DatabaseCorrupt)
        }
        _ => None,
    }
}

/// Whether SQLite can make nothing of a file.
pub fn is_unreadable(error: &Error) -> bool {
    matches!(
        code(error),
        Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt | ErrorCode::SystemIoFailure)
    )
}

/// The refusal behind an error of the book, or nothing where it is another error or a defect of ours.
pub fn explain(cause: &(dyn std::error::Error + 'static)) -> Option<Problem> {
    if let Some(found) = cause.downcast_ref::<Damage>() {
        return Some(Problem::new(format!("the book is damaged: {found}")).hint(
            "go back to a copy of the file made while it was whole; this one was not touched",
        ));
    }
    Some(match code(cause)? {
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
        ErrorCode::DatabaseCorrupt => Problem::new("the book is damaged").hint(
            "`draff check` says where; go back to a copy of the file made while it was whole",
        ),
        ErrorCode::CannotOpen => Problem::new("the book cannot be opened")
            .hint("check that the folder exists and that you may write to it"),
        ErrorCode::SystemIoFailure => Problem::new("the disk refused to read or write the book")
            .hint("nothing of this act was written; check the disk and its free space"),
        _ => return None,
    })
}
