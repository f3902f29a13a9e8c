//! What is left of a damaged book: which entry or formula is named, what still works, and the way back to a whole one.

use crate::env::{Kitchen, has};

/// A book with a lot that was used; gives the lot's code.
fn lived_in() -> (Kitchen, String) {
    let (kitchen, lot) = Kitchen::with_loaf("10kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    kitchen.ok("bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4");
    (kitchen, lot)
}

/// Changes the book by SQL, past all that watches over it.
fn spoil(kitchen: &Kitchen, sql: &str) {
    kitchen.past_the_triggers(|book| {
        book.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
        book.execute_batch(sql).unwrap();
    });
}

/// The ids are random: a book that lost them is whole again once it is restored or loaded.
#[test]
fn a_book_without_its_ids_is_found_and_gets_new_ones() {
    let (kitchen, _) = lived_in();
    spoil(&kitchen, "DELETE FROM book_identity");
    let checked = kitchen.run("check");
    assert_eq!(checked.code, 3, "{}", checked.out);
    has(&checked.out, "table book_identity: its row is missing");
    std::fs::copy(kitchen.book(), kitchen.folder().join("copy.draff")).unwrap();
    kitchen.ok("export-all tables");
    kitchen.ok("restore copy.draff");
    kitchen.ok("--book loaded.draff import-all tables");
    for book in ["book.draff", "loaded.draff"] {
        has(&kitchen.ok(&format!("--book {book} check")), "is whole");
    }
}

/// Views that never end, each in the place of a table.
const ENDLESS: [(&str, &str); 3] = [
    ("book", "name, zone, rules, made_at"),
    ("migration", "version, sql"),
    ("entry", "id, kind, at"),
];

/// Nothing is read from a view: `check` and `export-all` end at once, and a copy takes the place of the book.
#[test]
fn a_book_with_an_endless_view_is_checked_exported_and_replaced() {
    for (table, columns) in ENDLESS {
        let (kitchen, _) = lived_in();
        kitchen.ok("backup copy.draff");
        let values = columns.split(", ").map(|_| "n").collect::<Vec<_>>();
        kitchen
            .sqlite()
            .execute_batch(&format!(
                "PRAGMA foreign_keys = OFF; PRAGMA legacy_alter_table = ON; ALTER TABLE {table} RENAME TO aside;
                 CREATE VIEW {table} ({columns}) AS WITH RECURSIVE endless(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM endless)
                     SELECT {values} FROM endless WHERE n < 0",
                values = values.join(", ")
            ))
            .unwrap();
        let checked = kitchen.run("check");
        assert_eq!(checked.code, 3, "{table}: {}", checked.err);
        has(&checked.out, &format!("schema: view {table} is not ours"));
        let exported = kitchen.run("export-all tables");
        assert_eq!(exported.code, 3, "{table}: {}", exported.err);
        let told = exported.told();
        has(&told, "left out: table `aside` is not ours");
        has(
            &told,
            &format!("left out: table `{table}` cannot be carried as CSV: it is a view"),
        );
        let written = |name: &str| kitchen.folder().join(format!("tables/{name}.csv")).exists();
        assert!(written("lot") && !written("aside") && !written(table));
        kitchen.ok("restore copy.draff");
        has(&kitchen.ok("check"), "is whole");
    }
}

/// What somebody put beside the book's own tables hinders neither the export nor the way back.
#[test]
fn tables_of_others_are_left_out_of_an_export_and_named() {
    let (kitchen, _) = lived_in();
    kitchen
        .sqlite()
        .execute_batch(
            "CREATE TABLE extra (a); CREATE TABLE typed (a INTEGER PRIMARY KEY) STRICT;
             CREATE VIEW seen AS SELECT 1",
        )
        .unwrap();
    let told = kitchen.told("export-all tables");
    for other in ["table `extra`", "table `typed`", "view `seen`"] {
        has(&told, &format!("left out: {other} is not ours"));
    }
    kitchen.ok("--book loaded.draff import-all tables");
    assert_eq!(
        kitchen.json("--book loaded.draff check")["entries"],
        kitchen.entries()
    );
}

/// Without name, zone and rules the tables are still there to be carried.
#[test]
fn a_book_without_its_row_is_exported() {
    let (kitchen, _) = lived_in();
    spoil(&kitchen, "DELETE FROM book");
    let checked = kitchen.run("check");
    assert_eq!(checked.code, 3, "{}", checked.err);
    has(&checked.out, "table book: its row is missing");
    let carried = kitchen.json("export-all tables");
    assert_eq!(carried["entries"], kitchen.entries());
}

/// What `check` and the others say of a text that is no UTF-8.
const NO_TEXT: &str = "invalid utf-8 sequence of 1 bytes";

/// Whoever reads the entry names it and what still works; whoever does not read it answers.
#[test]
fn an_entry_that_cannot_be_read_is_named_with_what_still_works() {
    for column in ["words", "recorded_by"] {
        let (kitchen, lot) = lived_in();
        kitchen.ok("backup copy.draff");
        let entry = kitchen.last_entry("use");
        spoil(
            &kitchen,
            &format!("UPDATE entry SET {column} = CAST(x'ff' AS TEXT) WHERE id = {entry}"),
        );
        for words in [
            "log",
            &format!("log {lot}"),
            "usage",
            "usage --csv -",
            &format!("trace {lot}"),
            "trace --source \"Alder Lane\"",
            "report",
        ] {
            let ran = kitchen.run(words);
            assert_eq!(ran.code, 1, "{column}, {words}: {}", ran.err);
            let told = ran.told();
            has(
                &told,
                &format!("error: the book is damaged: entry {entry}: {NO_TEXT}"),
            );
            has(&told, "`check`, `export-all` and `restore` still work");
            has(&told, "`shelf`, `ticket`, `place`");
        }
        for words in ["shelf", &format!("ticket {lot}"), "place"] {
            kitchen.ok(words);
        }
        let row = format!("table entry, id {entry}: column {column}: {NO_TEXT}");
        let checked = kitchen.run("check");
        assert_eq!(checked.code, 3);
        has(&checked.out, &row);
        kitchen.ok("restore copy.draff");
        has(&kitchen.ok("check"), "is whole");
    }
}

/// Where an entry was corrected, its first writer stands in the entry that was written first.
#[test]
fn the_first_of_corrected_entries_is_named_where_its_writer_cannot_be_read() {
    let (kitchen, _) = lived_in();
    let first = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {first} --wet 900g --reason slip"));
    spoil(
        &kitchen,
        &format!("UPDATE entry SET recorded_by = CAST(x'ff' AS TEXT) WHERE id = {first}"),
    );
    let said = kitchen.refused(1, "usage");
    has(&said, &format!("entry {first}: {NO_TEXT}"));
}

#[test]
fn a_test_that_cannot_be_read_is_named() {
    let (kitchen, lot) = lived_in();
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    let entry = kitchen.last_entry("moisture");
    spoil(
        &kitchen,
        &format!("UPDATE entry SET recorded_by = CAST(x'ff' AS TEXT) WHERE id = {entry}"),
    );
    for words in ["log", "shelf"] {
        let said = kitchen.refused(1, words);
        has(
            &said,
            &format!("the book is damaged: entry {entry}: {NO_TEXT}"),
        );
    }
}

#[test]
fn a_formula_that_is_not_understood_is_named_with_its_version() {
    let (kitchen, _) = lived_in();
    spoil(&kitchen, "UPDATE formula_version SET text = 'no formula'");
    for words in [
        "today",
        "plan",
        "bake list",
        "bake advise",
        "formula show \"small loaf\"",
    ] {
        let said = kitchen.refused(1, words);
        has(
            &said,
            "the book is damaged: formula `small loaf`, version 1: formula is not understood",
        );
        has(&said, "`check`, `export-all` and `restore` still work");
    }
    kitchen.ok("shelf");
}

#[test]
fn a_formula_that_cannot_be_read_is_named_with_its_version() {
    let (kitchen, lot) = lived_in();
    spoil(
        &kitchen,
        "UPDATE formula_version SET text = text || CAST(x'0a23ff' AS TEXT)",
    );
    let named = format!("formula `small loaf`, version 1: {NO_TEXT}");
    for words in ["today", "plan", "bake list", "formula", "log"] {
        let ran = kitchen.run(words);
        assert_eq!(ran.code, 1, "{words}: {}", ran.err);
        has(&ran.told(), &format!("the book is damaged: {named}"));
    }
    for words in ["shelf", &format!("ticket {lot}"), "place"] {
        kitchen.ok(words);
    }
    let checked = kitchen.run("check");
    assert_eq!(checked.code, 3);
    has(&checked.out, &named);
}
