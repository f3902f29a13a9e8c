//! Books that earlier versions of the program wrote: each is upgraded and holds what it held.

use crate::env::Kitchen;
use std::path::Path;

/// The main job of the demo, written by a program of schema version 2, and the usage it wrote as CSV.
#[test]
fn a_book_of_schema_2_is_upgraded_and_holds_what_it_held() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas");
    let written = std::fs::read_to_string(folder.join("version-2-usage.csv")).unwrap();
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20 18:20");
    kitchen.file(
        "book.draff",
        std::fs::read(folder.join("version-2.draff")).unwrap(),
    );
    let before: i64 = kitchen.entries();
    let whole = kitchen.ok("check");
    assert!(whole.starts_with("The book is whole"), "{whole}");
    assert_eq!(kitchen.entries(), before);
    assert!(kitchen.folder().join("book.draff.version-2").exists());
    kitchen.ok("usage --csv usage.csv");
    let read = std::fs::read_to_string(kitchen.folder().join("usage.csv")).unwrap();
    assert_eq!(read, written);
}
