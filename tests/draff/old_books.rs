//! Books that earlier versions of the program wrote: each is upgraded and holds what it held.
//!
//! Each is the main job of the demo, played by a program of that schema version, and the usage that it
//! wrote as CSV; the book of version 3 holds bakes and settings besides, that of version 5 a treatment, a
//! count and readings of a logger too, that of version 6 an accepted plan.

use crate::env::Kitchen;
use std::path::Path;

fn is_upgraded_and_holds_what_it_held(version: i64) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas");
    let read = |name: String| std::fs::read(folder.join(name)).unwrap();
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20 18:20");
    kitchen.file("book.draff", read(format!("version-{version}.draff")));
    let before: i64 = kitchen.entries();
    assert!(before > 10, "{before}");
    let found: i64 = kitchen
        .sqlite()
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .unwrap();
    assert_eq!(found, version);
    let whole = kitchen.ok("check");
    assert!(whole.starts_with("The book is whole"), "{whole}");
    assert_eq!(kitchen.entries(), before);
    let copy = kitchen
        .folder()
        .join(format!("book.draff.version-{version}"));
    assert_eq!(copy.exists(), version < crate::export_all::newest());
    kitchen.ok("usage --csv usage.csv");
    let usage = std::fs::read(kitchen.folder().join("usage.csv")).unwrap();
    assert!(
        usage == read(format!("version-{version}-usage.csv")),
        "{}",
        String::from_utf8_lossy(&usage)
    );
}

#[test]
fn a_book_of_schema_1_is_upgraded_and_holds_what_it_held() {
    is_upgraded_and_holds_what_it_held(1);
}

#[test]
fn a_book_of_schema_2_is_upgraded_and_holds_what_it_held() {
    is_upgraded_and_holds_what_it_held(2);
}

#[test]
fn a_book_of_schema_3_is_upgraded_and_holds_what_it_held() {
    is_upgraded_and_holds_what_it_held(3);
}

#[test]
fn a_book_of_schema_5_is_upgraded_and_holds_what_it_held() {
    is_upgraded_and_holds_what_it_held(5);
}

#[test]
fn a_book_of_schema_6_is_upgraded_and_holds_what_it_held() {
    is_upgraded_and_holds_what_it_held(6);
}
