//! Rows that a person typed or a file brought, understood and checked: the same for every front end.
//!
//! Files are handed over as bytes with a name; who opens them, or is sent them, is the front end's affair.

pub mod bounded;
pub mod logger_file;
pub mod pickup;
pub mod pickup_file;
