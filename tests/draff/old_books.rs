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
    let before = read(format!("version-{version}-usage.csv"));
    assert_eq!(held(&usage), held(&before), "all that was written down");
    let (now, then) = (moistures(&usage), moistures(&before));
    assert_eq!(now.len(), then.len());
    for (now, then) in now.iter().zip(&then) {
        // What is expected of a lot is worked out anew, from all tests that the book holds.
        assert!((now - then).abs() < 0.005, "{now} was {then}");
    }
}

/// The columns that follow from the moisture that is expected of a lot.
const WORKED_OUT: [&str; 4] = [
    "moisture_wet_basis",
    "dry_g",
    "carried_water_g",
    "flour_equivalent_g",
];

/// The rows of a usage file without what is worked out.
fn held(usage: &[u8]) -> Vec<Vec<String>> {
    let mut reader = csv::Reader::from_reader(usage);
    let head = reader.headers().unwrap().clone();
    assert!(
        WORKED_OUT
            .iter()
            .all(|name| head.iter().any(|cell| cell == *name))
    );
    let kept = |row: &csv::StringRecord| {
        let cells = head.iter().zip(row);
        let cells = cells.filter(|(name, _)| !WORKED_OUT.contains(name));
        cells.map(|(_, cell)| cell.to_owned()).collect()
    };
    reader.records().map(|row| kept(&row.unwrap())).collect()
}

fn moistures(usage: &[u8]) -> Vec<f64> {
    let mut reader = csv::Reader::from_reader(usage);
    let head = reader.headers().unwrap().clone();
    let column = head.iter().position(|name| name == WORKED_OUT[0]).unwrap();
    let rows = reader.records().map(|row| row.unwrap()[column].to_owned());
    rows.filter_map(|cell| cell.parse().ok()).collect()
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
