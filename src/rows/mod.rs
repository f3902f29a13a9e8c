//! Rows that a person typed or a file brought, understood and checked: the same for every front end.
//!
//! What comes in. Rows that go into a table of the book are written by `ledger/bulk_insert.rs`, rows of a long JSON answer by
//! `render/json/rows.rs`.
//!
//! Files are handed over as bytes with a name; who opens them, or is sent them, is the front end's affair.

pub mod bounded;
pub mod logger_file;
pub mod pickup;
pub mod pickup_file;
