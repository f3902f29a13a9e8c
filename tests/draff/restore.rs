//! `restore`: the copy is proved first, the book that was there is set aside, nothing is lost.

use crate::backup::lived_in;
use crate::env::Kitchen;
use rusqlite::{Connection, TransactionBehavior};
use serde_json::json;

const ASIDE: &str = "book.draff.set-aside-2026-11-20T100000Z";

/// A kitchen with a copy, and one entry more in the book than in the copy.
fn gone_on() -> (Kitchen, i64) {
    let (kitchen, lot) = lived_in();
    kitchen.ok("backup copy.draff");
    let copied = kitchen.entries();
    kitchen.ok(&format!("use {lot} --wet 2kg --for buns"));
    (kitchen, copied)
}

#[test]
fn a_copy_comes_back_and_the_book_is_set_aside() {
    let (kitchen, copied) = gone_on();
    let log = kitchen.ok("log");
    let file = inode(&kitchen.book());
    let out = kitchen.ok("restore copy.draff");
    assert!(
        out.contains(&format!(
            "whole, {copied} entries, the last written Fri 20 Nov 10:00"
        )) && out.contains("Set aside   "),
        "{out}"
    );
    assert!(out.contains(&format!("({} entries)", copied + 1)), "{out}");
    assert_eq!(kitchen.entries(), copied);
    assert_eq!(kitchen.ok("log"), kitchen.ok("--book copy.draff log"));
    assert!(kitchen.ok("check").contains("whole"));
    // The book keeps its file; what was in it is a copy beside it.
    assert_eq!(inode(&kitchen.book()), file);
    assert_eq!(kitchen.ok(&format!("--book {ASIDE} log")), log);
    assert!(
        kitchen
            .ok(&format!("--book {ASIDE} check"))
            .contains("whole")
    );
    assert_eq!(kitchen.files().len(), 3, "no journal and no draft is left");
    // Back again: what was set aside is a book like any other.
    let answer = kitchen.json(&format!("restore {ASIDE}"));
    assert_eq!(answer["entries"], json!(copied + 1));
    assert_eq!(answer["set_aside_entries"], json!(copied));
    assert!(
        answer["set_aside"]
            .as_str()
            .unwrap()
            .ends_with(&format!("{ASIDE}-2"))
    );
    assert_eq!(kitchen.ok("log"), log);
}

#[cfg(unix)]
fn inode(path: &std::path::Path) -> u64 {
    std::os::unix::fs::MetadataExt::ino(&std::fs::metadata(path).unwrap())
}

#[cfg(not(unix))]
fn inode(_: &std::path::Path) -> u64 {
    0
}

#[test]
fn a_copy_comes_back_where_no_book_is() {
    let (kitchen, _) = gone_on();
    let out = kitchen.ok("--book new/place.draff restore copy.draff");
    assert!(!out.contains("Set aside"), "{out}");
    assert_eq!(
        kitchen.ok("--book new/place.draff log"),
        kitchen.ok("--book copy.draff log")
    );
    let answer = kitchen.json("--book third.draff restore copy.draff");
    assert_eq!(answer["set_aside"], json!(null));
    assert_eq!(answer["set_aside_entries"], json!(null));
}

#[test]
fn what_is_no_whole_copy_is_refused() {
    let (kitchen, _) = gone_on();
    let whole = std::fs::read(kitchen.folder().join("copy.draff")).unwrap();
    kitchen.file("letter.draff", "Dear baker,\n".repeat(100));
    kitchen.file("empty.draff", "");
    kitchen.file("cut.draff", &whole[..whole.len() - 100]);
    kitchen.file("half.draff", &whole[..whole.len() / 2]);
    kitchen.file("cheating.draff", &whole);
    kitchen.file("newer.draff", &whole);
    let mut scrawled = whole.clone();
    // The inside of a page in the middle of the file.
    let middle = whole.len() / 2 / 8192 * 8192;
    scrawled[middle..middle + 400].fill(0xa5);
    kitchen.file("scrawled.draff", &scrawled);
    let open = |name: &str| Connection::open(kitchen.folder().join(name)).unwrap();
    open("cheating.draff")
        .execute_batch("UPDATE stock SET wet_mg = wet_mg + 1")
        .unwrap();
    open("newer.draff")
        .execute_batch("PRAGMA user_version = 99; CREATE TABLE of_later (id INTEGER)")
        .unwrap();
    open("songs.draff")
        .execute_batch("CREATE TABLE song (title TEXT)")
        .unwrap();
    std::fs::create_dir(kitchen.folder().join("folder")).unwrap();
    for (name, said) in [
        ("letter.draff", "it is no SQLite file"),
        ("empty.draff", "the file is empty"),
        (
            "cut.draff",
            "the copy `cut.draff` is damaged: the file is cut off",
        ),
        ("half.draff", "the copy `half.draff` is damaged"),
        (
            "cheating.draff",
            "is damaged: lot ALD-261120-1T: its entries come to",
        ),
        ("newer.draff", "schema version 99"),
        ("songs.draff", "another program's SQLite file"),
        ("scrawled.draff", "the copy `scrawled.draff` is damaged"),
        ("folder", "is not a plain file"),
        ("nowhere.draff", "there is no copy at `nowhere.draff`"),
        ("book.draff", "is the book itself"),
        ("./book.draff", "is the book itself"),
    ] {
        let refused = kitchen.refused(1, &format!("restore {name}"));
        assert!(refused.contains(said), "{name}: {refused}");
    }
    kitchen.refused(2, "restore");
    // Another program's file is not pushed aside either.
    let said = kitchen.refused(1, "--book songs.draff restore copy.draff");
    assert!(said.contains("another program's SQLite file"), "{said}");
    kitchen.refused(1, "--book folder restore copy.draff");
}

/// A copy whose view never ends, or whose trigger works in secret, is refused before it is asked anything, and the
/// book is not locked meanwhile.
#[test]
fn a_copy_that_was_made_to_hurt_is_refused_at_once() {
    let (kitchen, _) = gone_on();
    let old =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas/version-3.draff");
    for (number, change) in [
        "PRAGMA foreign_keys = OFF; ALTER TABLE migration RENAME TO aside;
         CREATE VIEW migration AS WITH RECURSIVE endless(version, sql) AS (SELECT 1, 'x' UNION ALL SELECT version + 1, sql FROM endless) SELECT * FROM endless",
        "CREATE TRIGGER secret AFTER INSERT ON migration BEGIN UPDATE stock SET wet_mg = 1; END",
    ]
    .into_iter()
    .enumerate()
    {
        for (name, from) in [("new", kitchen.folder().join("copy.draff")), ("old", old.clone())] {
            let name = format!("{name}-{number}.draff");
            let path = kitchen.folder().join(&name);
            std::fs::copy(from, &path).unwrap();
            Connection::open(&path).unwrap().execute_batch(change).unwrap();
            let said = kitchen.refused(1, &format!("restore {name}"));
            assert!(said.contains("is damaged: schema: "), "{said}");
        }
    }
}

/// A damaged book is what a copy is for. It is kept, with the journal that belongs to it.
#[test]
fn a_damaged_book_is_replaced_and_kept() {
    for damage in ["letter", "cut", "scrawl"] {
        let (kitchen, copied) = gone_on();
        let mut bytes = std::fs::read(kitchen.book()).unwrap();
        match damage {
            "letter" => bytes = b"Dear baker,\n".repeat(1000),
            "cut" => bytes.truncate(bytes.len() / 2 + 77),
            _ => bytes[8192..].fill(0xa5),
        }
        std::fs::write(kitchen.book(), &bytes).unwrap();
        let answer = kitchen.json("restore copy.draff");
        assert_eq!(answer["entries"], json!(copied), "{damage}");
        assert!(kitchen.ok("check").contains("whole"), "{damage}");
        assert!(
            std::fs::read(kitchen.folder().join(ASIDE)).unwrap() == bytes,
            "{damage}: the damaged book is kept as it was"
        );
    }
}

/// A journal left by a killed act is played back into the book that it belongs to, not into the copy.
#[test]
fn an_unfinished_act_stays_with_its_book() {
    let (kitchen, copied) = gone_on();
    let before = std::fs::read(kitchen.book()).unwrap();
    let journal = kitchen.folder().join("book.draff-journal");
    let (half_done, kept) = hot_journal(&kitchen, "book.draff");
    assert!(half_done != before, "part of the act was in the file");
    std::fs::write(kitchen.book(), half_done).unwrap();
    std::fs::write(&journal, kept).unwrap();
    let answer = kitchen.json("restore copy.draff");
    assert_eq!(answer["entries"], json!(copied));
    assert_eq!(answer["set_aside_entries"], json!(copied + 1));
    assert!(!journal.exists());
    assert!(kitchen.ok("check").contains("whole"));
    let aside = format!("--book {ASIDE} check");
    assert!(kitchen.ok(&aside).contains("whole"));
}

fn letters(number: u32) -> String {
    [number / 676, number / 26 % 26, number % 26]
        .map(|digit| char::from(b'A' + digit as u8))
        .iter()
        .collect()
}

/// A copy that an earlier version made is brought up to date on the way; the copy itself is only read.
#[test]
fn an_older_copy_is_upgraded() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20 18:20");
    let old =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas/version-2.draff");
    let bytes = std::fs::read(old).unwrap();
    let copy = kitchen.file("old.draff", &bytes);
    kitchen.ok("restore old.draff");
    assert!(bytes == std::fs::read(copy).unwrap());
    assert!(kitchen.ok("check").contains("whole"));
    assert!(!kitchen.folder().join("book.draff.version-2").exists());
}

/// A reader that had the book open before goes on with the restored one; an act that was begun on the old book is
/// refused, whatever it meant by its numbers.
#[test]
fn a_program_that_has_the_book_open_goes_on_with_the_restored_one() {
    let (kitchen, copied) = gone_on();
    let other = kitchen.sqlite();
    let count = |book: &Connection| -> i64 {
        book.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
            .unwrap()
    };
    assert_eq!(count(&other), copied + 1);
    kitchen.ok("restore copy.draff");
    assert_eq!(count(&other), copied);
    other
        .execute(
            "INSERT INTO source (name, letters) VALUES ('Late', 'LAT')",
            [],
        )
        .unwrap();
    assert_eq!(
        kitchen
            .sqlite()
            .query_row(
                "SELECT count(*) FROM source WHERE name = 'Late'",
                [],
                |row| row.get::<_, i64>(0)
            )
            .unwrap(),
        1
    );
}

/// A journal of an act that was cut short lies beside the copy: cold, or with nothing to take back, or hot. The copy
/// is brought back as SQLite would open it, and neither file is changed.
#[test]
fn a_copy_with_a_journal_comes_back() {
    let (kitchen, copied) = gone_on();
    let whole = std::fs::read(kitchen.folder().join("copy.draff")).unwrap();
    let hot = hot_journal(&kitchen, "copy.draff");
    kitchen.file("copy.draff", &whole);
    let mut zeroed = hot.1.clone();
    zeroed[..28].fill(0);
    let half_written: &[u8] = &hot.1[..20];
    for (copy, journal) in [
        (&whole, zeroed.as_slice()),
        (&whole, half_written),
        (&whole, b"journal"),
        (&hot.0, &hot.1),
    ] {
        kitchen.file("torn.draff", copy);
        kitchen.file("torn.draff-journal", journal);
        let answer = kitchen.json("restore torn.draff");
        assert_eq!(answer["entries"], json!(copied));
        assert!(kitchen.ok("check").contains("whole"));
        let there = |name| std::fs::read(kitchen.folder().join(name)).unwrap();
        assert!(&there("torn.draff") == copy && there("torn.draff-journal") == journal);
    }
}

/// A book in the middle of an act that spilled to its file, and the journal that takes it back.
fn hot_journal(kitchen: &Kitchen, name: &str) -> (Vec<u8>, Vec<u8>) {
    let path = kitchen.folder().join(name);
    let mut book = Connection::open(&path).unwrap();
    book.execute_batch("PRAGMA cache_size = 5; PRAGMA cache_spill = 1")
        .unwrap();
    let act = book
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .unwrap();
    for number in 700..2700 {
        act.execute(
            "INSERT INTO source (name, letters) VALUES (?1, ?2)",
            (format!("{number} {}", "x".repeat(200)), letters(number)),
        )
        .unwrap();
    }
    let journal = path.with_file_name(format!("{name}-journal"));
    (
        std::fs::read(&path).unwrap(),
        std::fs::read(journal).unwrap(),
    )
}

/// Linux has a device on which every write fails. What was done is told on stderr, with where the old book lies.
#[test]
fn what_was_done_is_told_where_the_answer_cannot_be_shown() {
    let (kitchen, _) = gone_on();
    kitchen.ok("export-all tables");
    for (words, said) in [
        ("backup second.draff", "the copy lies at `second.draff`"),
        ("export-all again", "the tables are in `again`"),
        ("restore copy.draff", ASIDE),
        (
            "--book other.draff import-all tables",
            "the book was made at `other.draff`",
        ),
    ] {
        let Ok(full) = std::fs::OpenOptions::new().write(true).open("/dev/full") else {
            eprintln!("not checked: this machine has no /dev/full");
            return;
        };
        let mut command = kitchen.command();
        let ran = command
            .args(words.split(' '))
            .stdout(full)
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&ran.stderr);
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(ran.status.code(), Some(0), "{words}: {told}");
        assert!(
            told.contains(said) && told.contains("do not do it again"),
            "{told}"
        );
    }
}

/// Where the book is a link, the file that it points to is replaced and the link stays.
#[cfg(unix)]
#[test]
fn a_link_to_a_book_stays_a_link() {
    let (kitchen, copied) = gone_on();
    let real = kitchen.folder().join("real");
    std::fs::create_dir(&real).unwrap();
    std::fs::rename(kitchen.book(), real.join("grain.draff")).unwrap();
    std::os::unix::fs::symlink("real/grain.draff", kitchen.book()).unwrap();
    kitchen.ok("restore copy.draff");
    assert!(kitchen.book().is_symlink());
    assert_eq!(kitchen.entries(), copied);
    assert!(
        real.join("grain.draff.set-aside-2026-11-20T100000Z")
            .exists()
    );
}
