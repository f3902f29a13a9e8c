//! What SQLite says, in words a baker can act on.

use crate::quantity::Problem;
use rusqlite::{Error, ErrorCode};

/// The refusal behind an error of the book, or nothing where it is another error or a defect of ours.
pub fn explain(cause: &(dyn std::error::Error + 'static)) -> Option<Problem> {
    let code = match cause.downcast_ref::<Error>()? {
        Error::SqliteFailure(failure, _) => failure.code,
        Error::SqlInputError { error, .. } => error.code,
        Error::FromSqlConversionFailure(..) | Error::InvalidColumnType(..) => {
            ErrorCode::DatabaseCorrupt
        }
        _ => return None,
    };
    Some(match code {
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
