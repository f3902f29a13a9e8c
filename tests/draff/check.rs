//! `check`: finds damage that was done past the program.

use crate::env::Kitchen;
use rusqlite::Connection;

/// A book with some of everything.
fn lived_in() -> Kitchen {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    kitchen.ok(&format!("move {lot} --wet 4kg --to freezer"));
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason dropped"));
    let entry = kitchen.last_entry("discard");
    kitchen.ok(&format!("strike {entry} --reason \"it was not\""));
    kitchen
}

#[track_caller]
fn finds(tamper: &str, words: &str) {
    let kitchen = lived_in();
    kitchen.sqlite().execute_batch(tamper).unwrap();
    let ran = kitchen.run("check");
    assert_eq!(ran.code, 3, "{tamper}\n{}{}", ran.out, ran.err);
    assert!(ran.out.contains(words), "{words}\n{}", ran.out);
}

#[test]
fn a_whole_book_is_called_whole() {
    let kitchen = lived_in();
    let out = kitchen.ok("check");
    let (whole, digest) = out.split_once('\n').unwrap();
    assert_eq!(
        whole,
        "The book is whole: 11 entries, 2 lots on hand, and the sums agree."
    );
    let digest = digest.strip_prefix("Newest digest: ").unwrap().trim_end();
    assert_eq!(digest.len(), 64);
    assert!(digest.chars().all(|c| c.is_ascii_hexdigit()));
}

#[test]
fn stock_that_differs_from_its_entries_is_found() {
    finds(
        "UPDATE stock SET wet_mg = wet_mg + 1 WHERE lot_id = 1",
        "its entries come to 5000000 mg",
    );
    finds(
        "UPDATE stock SET place_id = 3 WHERE lot_id = 2",
        "its entries come to 4000000 mg in place 2",
    );
    finds(
        "DELETE FROM stock WHERE lot_id = 2",
        "kept as on hand is nothing",
    );
}

#[test]
fn a_list_of_tested_lots_that_differs_from_the_tests_is_found() {
    finds("DELETE FROM tested", "the list of tested lots differs");
}

#[test]
fn a_loosened_schema_is_found() {
    finds("DROP TRIGGER entry_keeps", "trigger entry_keeps is missing");
    finds("CREATE TABLE ours (id INTEGER)", "table ours is not ours");
}

#[test]
fn an_entry_that_points_nowhere_is_found() {
    finds(
        "PRAGMA foreign_keys = OFF;
         INSERT INTO entry (kind, lot_id, at, recorded_at, wet_mg, words) VALUES ('use', 99, 1, 1, 5, 'x')",
        "points to no lot",
    );
}

#[test]
fn an_entry_changed_behind_the_triggers_is_found() {
    finds(
        "DROP TRIGGER entry_keeps;
         UPDATE entry SET wet_mg = wet_mg - 1 WHERE kind = 'use';
         CREATE TRIGGER entry_keeps BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;",
        "its entries come to 5000001 mg",
    );
}

/// Any SQLite program is refused, not only ours.
#[test]
fn entries_are_never_changed_or_deleted() {
    let kitchen = lived_in();
    let book: Connection = kitchen.sqlite();
    for table in ["entry", "lot", "place_setting", "moisture_test"] {
        for statement in [
            format!("DELETE FROM {table}"),
            format!(
                "UPDATE {table} SET {}",
                match table {
                    "entry" => "wet_mg = 1",
                    "lot" => "brewed_on = '2026-01-01'",
                    "place_setting" => "stated_mc = 0",
                    _ => "readability_mg = 1",
                }
            ),
        ] {
            let error = book.execute(&statement, []).unwrap_err().to_string();
            assert!(error.contains("never"), "{statement}: {error}");
        }
    }
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn checking_changes_nothing() {
    let kitchen = lived_in();
    let before = kitchen.files();
    kitchen.ok("check");
    assert!(before == kitchen.files());
}
