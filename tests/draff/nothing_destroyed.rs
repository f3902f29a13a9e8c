//! What exists is never destroyed: no command takes a book for an export's target, or a name for a book that
//! no disk keeps.

use crate::env::{Kitchen, LOAF};

/// SQLite keeps a book of such a name nowhere, so what it acknowledged would be forgotten.
#[test]
fn a_name_that_is_no_file_is_no_book() {
    let kitchen = Kitchen::bare();
    for name in [
        ":memory:",
        ":other:",
        "file:book.draff",
        "file::memory:?cache=shared",
        "book.draff-journal",
    ] {
        for words in [
            "pickup --source A --brewed today --wet 1kg",
            "new-book",
            "shelf",
            "check",
            "restore copy.draff",
        ] {
            let said = kitchen.refused(2, &format!("--book {name} {words}"));
            assert!(said.contains("is no name for a book"), "{name}: {said}");
        }
    }
    for name in [":memory:", ""] {
        let mut command = kitchen.command();
        command.env("DRAFF_BOOK", name).args([
            "pickup", "--source", "A", "--brewed", "today", "--wet", "1kg",
        ]);
        assert_eq!(command.output().unwrap().status.code(), Some(2));
    }
}

/// With a folder before it such a name is a file like any other, for every command that opens one.
#[test]
fn a_bare_name_that_sqlite_keeps_nowhere_is_a_file_here() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok("backup :memory:");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    kitchen.ok("restore :memory:");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 10_000.0);
}

/// A device takes every byte and keeps none.
#[cfg(unix)]
#[test]
fn a_device_is_no_book() {
    let kitchen = Kitchen::bare();
    for words in [
        "pickup --source A --brewed today --wet 1kg",
        "new-book",
        "shelf",
    ] {
        kitchen.refused(1, &format!("--book /dev/null {words}"));
    }
}

/// Every command that writes a file of its own.
const WRITERS: [&str; 10] = [
    "usage --csv",
    "sheet B-1S --html",
    "bake calendar --ics",
    "plan --html",
    "trace ALD-261120-1T --csv",
    "readings fridge --summary --svg",
    "readings fridge --summary --html",
    "report --html",
    "report --xlsx",
    "shelf --html",
];

/// A copy under any name, another book, a damaged copy that only its name tells, and a hot journal.
#[test]
fn no_export_replaces_a_book_or_a_copy_of_one() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    let loaf = LOAF;
    kitchen.file("loaf.toml", loaf);
    kitchen.ok("formula add loaf.toml");
    let name = loaf
        .lines()
        .find_map(|line| line.strip_prefix("name = "))
        .unwrap();
    kitchen.ok(&format!(
        "bake add {name} --at \"sat 08:00\" mix --pieces 4 --piece 800g"
    ));
    kitchen.ok("backup copy.csv");
    kitchen.ok("--book other.grain new-book");
    kitchen.file("cut.draff", "no head any more");
    kitchen.file(
        "hot.csv",
        [0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7, 0, 0],
    );
    for writer in WRITERS {
        for target in ["copy.csv", "other.grain", "cut.draff", "hot.csv"] {
            let said = kitchen.refused(1, &format!("{writer} {target}"));
            assert!(
                said.contains("is a book or a copy of one"),
                "{writer}: {said}"
            );
        }
    }
}

#[cfg(unix)]
#[test]
fn a_replaced_file_keeps_its_rights_and_a_read_only_one_stays() {
    use std::os::unix::fs::PermissionsExt;
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let path = kitchen.file("usage.csv", "old");
    let rights = |mode| {
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(mode)).unwrap();
    };
    for mode in [0o600, 0o664] {
        rights(mode);
        kitchen.ok("usage --csv usage.csv");
        assert_eq!(
            std::fs::metadata(&path).unwrap().permissions().mode() & 0o777,
            mode
        );
    }
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    rights(0o444);
    let said = kitchen.refused(1, "usage --csv usage.csv");
    assert!(said.contains("is read-only"), "{said}");
}
