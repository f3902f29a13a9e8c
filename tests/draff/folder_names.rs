//! A folder under the name of a file that SQLite keeps beside a book would close the book: nobody makes one.

use crate::env::{Kitchen, has};

#[test]
fn no_command_makes_a_folder_where_the_journal_of_a_book_goes() {
    let (kitchen, ..) = Kitchen::with_two_tubs();
    kitchen.ok("--book other.draff new-book");
    for book in ["book.draff", "other.draff"] {
        for suffix in ["-journal", "-wal", "-shm"] {
            for made in ["", "/", "/inside"] {
                let folder = format!("./{book}{suffix}{made}");
                for words in [
                    format!("report --csv {folder}"),
                    format!("export-all {folder}"),
                    format!("man {folder}"),
                    format!("backup --keep 2 {folder}"),
                    format!("demo --folder {folder}"),
                    format!("--book {folder}/new.draff new-book"),
                ] {
                    let said = kitchen.refused(1, &words);
                    has(&said, "is kept for a file beside the book");
                }
            }
        }
    }
    kitchen.ok("check");
    // Beside no book it is a name like any other.
    kitchen.ok("report --csv sales-journal");
}
