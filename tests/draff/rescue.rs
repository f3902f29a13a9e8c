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
