//! `export-all` of a damaged book: all that can be read is written, the rest is named, and no book is made of a part.

use crate::env::{Kitchen, has};
use std::path::PathBuf;

/// Changes the book by SQL, past all that watches over it.
fn spoil(kitchen: &Kitchen, sql: &str) {
    kitchen.past_the_triggers(|book| {
        book.execute_batch("PRAGMA ignore_check_constraints = ON")
            .unwrap();
        book.execute_batch(sql).unwrap();
    });
}

/// The lines of a file of the export, the names of its columns left out.
fn lines(kitchen: &Kitchen, file: &str) -> Vec<String> {
    let path = kitchen.folder().join("tables").join(file);
    let text = std::fs::read_to_string(path).unwrap();
    text.lines().skip(1).map(str::to_owned).collect()
}

/// The numbers of the entries that were written.
fn entries(kitchen: &Kitchen) -> Vec<i64> {
    lines(kitchen, "entry.csv")
        .iter()
        .filter_map(|line| line.split(',').next()?.parse().ok())
        .collect()
}

/// Exports a damaged book and gives what was told beside the answer, as one line.
fn export(kitchen: &Kitchen) -> String {
    let exported = kitchen.run("export-all tables");
    assert_eq!(exported.code, 3, "{}", exported.err);
    // The answer does not name what would be refused.
    assert!(!exported.out.contains("import-all"), "{}", exported.out);
    exported.told()
}

const DESCRIPTION: &str = "tables/description.json";

/// Puts other words into the description of the export.
fn redescribe(kitchen: &Kitchen, from: &str, to: &str) {
    let text = std::fs::read_to_string(kitchen.folder().join(DESCRIPTION)).unwrap();
    assert!(text.contains(from), "{from} in {text}");
    kitchen.file(DESCRIPTION, text.replacen(from, to, 1));
}

const NO_TEXT: &str = "invalid utf-8 sequence of 1 bytes from index 0";

/// A book with a use that cannot be read; gives the number of that entry.
fn with_damaged_use() -> (Kitchen, i64) {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    let entry = kitchen.last_entry("use");
    kitchen.ok(&format!("use {lot} --wet 2kg --for rolls"));
    spoil(
        &kitchen,
        &format!("UPDATE entry SET words = CAST(x'ff' AS TEXT) WHERE id = {entry}"),
    );
    (kitchen, entry)
}

#[test]
fn rows_that_can_be_read_are_written_and_the_others_named() {
    let (kitchen, entry) = with_damaged_use();
    let told = export(&kitchen);
    let named = format!("id {entry}: column words: {NO_TEXT}");
    has(&told, &format!("left out: table entry, {named}"));
    has(&told, "1 part of it cannot be read; `tables/damage.csv`");
    has(&told, "`restore` brings back a copy");
    let listed = format!("entry,id {entry},column words: {NO_TEXT}");
    assert_eq!(lines(&kitchen, "damage.csv"), [listed]);
    let wanted: Vec<i64> = (1..=entry + 1).filter(|id| *id != entry).collect();
    assert_eq!(entries(&kitchen), wanted);
}

#[test]
fn the_answer_in_json_says_whether_it_is_complete() {
    let (kitchen, _) = with_damaged_use();
    let exported = kitchen.run("--json export-all tables");
    assert_eq!(exported.code, 3, "{}", exported.err);
    let answer: serde_json::Value = serde_json::from_str(&exported.out).unwrap();
    assert_eq!(answer["complete"], false);
    let whole = Kitchen::new();
    whole.lot("10kg");
    assert_eq!(whole.json("export-all tables")["complete"], true);
    let list: PathBuf = whole.folder().join("tables/damage.csv");
    assert!(!list.exists());
}

#[test]
fn no_book_is_made_of_an_export_with_holes() {
    let (kitchen, _) = with_damaged_use();
    export(&kitchen);
    let refused = || kitchen.refused(1, "--book loaded.draff import-all tables");
    has(&refused(), "the tables in `tables` are not complete");
    has(&refused(), "`tables/damage.csv` names what is missing");
    std::fs::remove_file(kitchen.folder().join("tables/damage.csv")).unwrap();
    has(&refused(), "are not complete");
    // Whoever calls it complete meets the checks of the book itself.
    redescribe(&kitchen, "\"complete\": false", "\"complete\": true");
    has(&refused(), "is no whole book");
}

/// What an older version wrote says nothing of it: it exported whole books only.
#[test]
fn a_description_without_the_key_is_of_a_complete_export() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    kitchen.ok("export-all tables");
    redescribe(&kitchen, "\"complete\": true,", "");
    kitchen.ok("--book loaded.draff import-all tables");
}

#[test]
fn a_damaged_row_of_any_table_is_named_by_its_key() {
    for (sql, named) in [
        (
            "UPDATE book SET name = CAST(x'ff' AS TEXT)",
            "book,id 1,column name: ",
        ),
        (
            "UPDATE source SET name = CAST(x'ff' AS TEXT)",
            "source,id 1,column name: ",
        ),
        (
            "UPDATE migration SET sql = CAST(x'ff' AS TEXT) WHERE version = 3",
            "migration,version 3,column sql: ",
        ),
        (
            "UPDATE tested SET kind = CAST(x'ff' AS TEXT)",
            "tested,\"source_id 1, kind \u{fffd}, ",
        ),
    ] {
        let kitchen = Kitchen::new();
        let lot = kitchen.lot("10kg");
        kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
        spoil(&kitchen, sql);
        export(&kitchen);
        let damage = lines(&kitchen, "damage.csv");
        assert_eq!(damage.len(), 1, "{damage:?}");
        assert!(damage[0].starts_with(named), "{damage:?}");
        assert!(!entries(&kitchen).is_empty());
        assert_eq!(kitchen.run("check").code, 3, "{sql}");
    }
}

/// Of many only the first are told; the file lists them all.
#[test]
fn of_many_damaged_rows_twenty_are_told() {
    let kitchen = Kitchen::new();
    for _ in 0..25 {
        kitchen.lot("1kg");
    }
    spoil(&kitchen, "UPDATE lot SET grist = CAST(x'ff' AS TEXT)");
    let told = export(&kitchen);
    assert_eq!(told.matches("left out: table lot, id ").count(), 20);
    has(&told, "25 parts of it cannot be read (5 of them not named");
    assert_eq!(lines(&kitchen, "damage.csv").len(), 25);
}

/// What lies before a page that was written over and what lies behind it comes out, each row once.
#[test]
fn rows_on_both_sides_of_a_destroyed_page_are_written() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    let size: i64 = {
        let book = kitchen.sqlite();
        book.execute_batch(
            "INSERT INTO entry (kind, lot_id, at, recorded_at, words)
             WITH RECURSIVE number (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM number WHERE n < 600)
             SELECT 'spoiled', 1, 1795000000, 1795000000, 'note number ' || n || ' ' || hex(zeroblob(60)) FROM number",
        )
        .unwrap();
        book.query_row("PRAGMA page_size", [], |row| row.get(0))
            .unwrap()
    };
    let mut bytes = std::fs::read(kitchen.book()).unwrap();
    let note = b"note number 300 ";
    let at = bytes
        .windows(note.len())
        .position(|found| found == note)
        .unwrap();
    let page = bytes.chunks_mut(size as usize).nth(at / size as usize);
    page.unwrap().fill(0xaa);
    kitchen.file("book.draff", &bytes);
    export(&kitchen);
    let damage = lines(&kitchen, "damage.csv");
    assert_eq!(damage.len(), 1, "{damage:?}");
    assert!(
        damage[0].starts_with("entry,rows between id ") && damage[0].contains(" and id "),
        "{damage:?}"
    );
    let mut written = entries(&kitchen);
    let number = written.len();
    written.sort_unstable();
    written.dedup();
    assert_eq!(written.len(), number, "no row comes twice");
    assert!(number < 600 && written.contains(&1) && written.last() > Some(&600));
    let said = kitchen.refused(1, "--book loaded.draff import-all tables");
    has(&said, "are not complete");
}
