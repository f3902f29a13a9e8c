//! Books that cannot be opened or written: refused, and left as they were.

use super::transcript;
use crate::env::{Kitchen, Ran};
use rusqlite::TransactionBehavior;
use std::path::Path;
use std::process::Command;

/// A question and an act, both on a book by name.
fn both(name: &str) -> [String; 2] {
    [
        format!("--book {name} shelf"),
        format!("--book {name} pickup --source A --brewed today --wet 1kg"),
    ]
}

#[test]
fn files_that_are_no_books() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    std::fs::create_dir(kitchen.folder().join("folder.draff")).unwrap();
    kitchen.file(
        "letter.draff",
        "Dear baker,\nthe grain is ready.\n".repeat(100),
    );
    kitchen.file("short.draff", "hello");
    let other = rusqlite::Connection::open(kitchen.folder().join("other.draff")).unwrap();
    other
        .execute_batch("PRAGMA application_id = 1; CREATE TABLE song (title TEXT)")
        .unwrap();
    let tables = rusqlite::Connection::open(kitchen.folder().join("tables.draff")).unwrap();
    tables
        .execute_batch("CREATE TABLE song (title TEXT)")
        .unwrap();
    std::fs::copy(kitchen.book(), kitchen.folder().join("newer.draff")).unwrap();
    let newer = rusqlite::Connection::open(kitchen.folder().join("newer.draff")).unwrap();
    newer
        .execute_batch("PRAGMA user_version = 99; CREATE TABLE of_later (id INTEGER)")
        .unwrap();
    drop((other, tables, newer));

    let mut typed = vec![
        "--book missing.draff shelf".to_owned(),
        "--book letter.draff/book.draff pickup --source A --brewed today --wet 1kg".to_owned(),
    ];
    for name in [
        "folder.draff",
        "letter.draff",
        "short.draff",
        "other.draff",
        "tables.draff",
        "newer.draff",
    ] {
        typed.extend(both(name));
        typed.push(format!("--book {name} new-book"));
    }
    let refused: Vec<(i32, &str)> = typed.iter().map(|words| (1, words.as_str())).collect();
    transcript(&kitchen, "books", &refused);
}

#[test]
fn a_truncated_book_is_refused_for_every_act() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    let whole = std::fs::read(kitchen.book()).unwrap();
    // Whole pages and parts of them are missing.
    let lengths = [
        50,
        100,
        2000,
        whole.len() / 2,
        whole.len() / 2 + 7,
        whole.len() - 4096,
    ];
    for length in lengths {
        kitchen.file("cut.draff", &whole[..length]);
        for words in both("cut.draff") {
            let said = kitchen.refused(1, &words);
            assert!(
                said.contains("the book is damaged") || said.contains("it is no SQLite file"),
                "{length}: {said}"
            );
        }
    }
}

/// Five seconds is how long a write waits for another program. The only test that waits.
#[test]
fn a_locked_book_is_refused_after_five_seconds() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let entries = kitchen.entries();
    let mut other = kitchen.sqlite();
    let lock = other
        .transaction_with_behavior(TransactionBehavior::Exclusive)
        .unwrap();
    let started = std::time::Instant::now();
    // Not `refused`, which reads the file: closing it would give this process's lock away.
    let ran = kitchen.run(&format!("use {lot} --wet 1kg --for bread"));
    let waited = started.elapsed().as_secs_f64();
    assert!(waited >= 4.5, "it waited {waited} s");
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert_eq!(
        ran.err,
        "error: the book is being written by another program and stayed locked for 5 s\n  try again; nothing was written\n"
    );
    drop(lock);
    assert_eq!(kitchen.entries(), entries);
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
}

/// Runs a shell script with mounts of its own, so that a test can have a full or a read-only disk. The
/// script finds the program as `$DRAFF`.
///
/// Needs `unshare` and leave to make user namespaces: nothing where the machine has not.
fn with_own_mounts(kitchen: &Kitchen, script: &str) -> Option<Ran> {
    let unshare = |arguments: &[&str]| {
        let mut command = Command::new("unshare");
        kitchen.surround(&mut command);
        command
            .env("PATH", "/usr/sbin:/usr/bin:/sbin:/bin")
            .env("DRAFF", assert_cmd::cargo::cargo_bin!("draff"))
            .args(["--map-root-user", "--mount"])
            .args(arguments);
        command
    };
    let allowed = unshare(&["true"])
        .output()
        .is_ok_and(|output| output.status.success());
    if !allowed {
        eprintln!("not checked: this machine gives no user namespaces");
        return None;
    }
    Some(Ran::of(unshare(&["sh", "-c"]).arg(script)))
}

#[test]
fn a_read_only_book_answers_questions_and_refuses_acts() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    std::fs::create_dir(kitchen.folder().join("disk")).unwrap();
    std::fs::rename(kitchen.book(), kitchen.folder().join("disk/book.draff")).unwrap();
    let on_read_only = |words: &str| {
        with_own_mounts(
            &kitchen,
            &format!(
                "mount --bind disk disk && mount -o remount,ro,bind disk && exec \"$DRAFF\" {words}"
            ),
        )
    };
    let before = kitchen.files();
    let Some(shelf) = on_read_only("--book disk/book.draff shelf") else {
        return;
    };
    assert_eq!(shelf.code, 0, "{}", shelf.err);
    assert!(shelf.out.contains("ALD-261120-1T"), "{}", shelf.out);
    let pickup = "pickup --source A --brewed today --wet 1kg";
    let refused = on_read_only(&format!("--book disk/book.draff {pickup}")).unwrap();
    assert_eq!(refused.code, 1, "{}", refused.err);
    assert!(
        refused.err.contains("the file or its folder is read-only"),
        "{}",
        refused.err
    );
    let new = on_read_only(&format!("--book disk/new.draff {pickup}")).unwrap();
    assert_eq!(new.code, 1, "{}", new.err);
    assert!(
        new.err
            .starts_with("error: the book `disk/new.draff` cannot be made"),
        "{}",
        new.err
    );
    assert!(before == kitchen.files());
}

/// An older book that may not be written is read through a copy that nobody sees; nothing is left of it.
#[test]
fn an_older_book_on_a_read_only_disk_answers_questions() {
    let kitchen = Kitchen::bare();
    std::fs::create_dir(kitchen.folder().join("disk")).unwrap();
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas/version-3.draff");
    kitchen.file("disk/book.draff", std::fs::read(old).unwrap());
    let before = kitchen.files();
    for (words, code) in [
        ("shelf", 0),
        ("log", 0),
        ("usage --csv -", 0),
        ("check", 0),
        ("pickup --source A --brewed today --wet 1kg", 1),
    ] {
        let Some(ran) = with_own_mounts(
            &kitchen,
            &format!(
                "mount --bind disk disk && mount -o remount,ro,bind disk && exec \"$DRAFF\" --book disk/book.draff --now \"2026-11-20 18:20\" {words}"
            ),
        ) else {
            return;
        };
        assert_eq!(ran.code, code, "{words}: {}", ran.err);
        if code == 1 {
            assert!(ran.err.contains("read-only"), "{}", ran.err);
        }
        assert!(before == kitchen.files(), "{words}");
    }
}

/// A disk of 768 KiB, filled by pickups until one is refused.
#[test]
fn a_full_disk_leaves_the_old_state() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    std::fs::create_dir(kitchen.folder().join("disk")).unwrap();
    let Some(ran) = with_own_mounts(
        &kitchen,
        "mount -t tmpfs -o size=768k full disk && cp book.draff disk/ && export DRAFF_BOOK=disk/book.draff
         while cp disk/book.draff before.draff \
           && \"$DRAFF\" pickup --source A --brewed today --wet 1kg --note \"$(printf '%0400d' 0)\" >/dev/null 2>said
         do :; done
         echo \"exit $?\"; cmp disk/book.draff before.draff && ls disk && cat said && \"$DRAFF\" check",
    ) else {
        return;
    };
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("the disk is full"), "{}", ran.out);
    assert!(ran.out.contains("The book is whole"), "{}", ran.out);
    let booked = rusqlite::Connection::open(kitchen.folder().join("before.draff"))
        .unwrap()
        .query_row("SELECT count(*) FROM stock", [], |row| row.get::<_, i64>(0))
        .unwrap();
    assert!(booked > 1, "some were booked before the disk was full");
}

/// The same where the file may grow no further. Needs no rights: a shell sets the limit, as a signal it is
/// ignored, so the write itself is refused.
#[test]
fn a_refused_write_leaves_the_old_state() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let before = std::fs::read(kitchen.book()).unwrap();
    let mut shell = Command::new("sh");
    kitchen.surround(&mut shell);
    let ran = Ran::of(
        shell
            .env("DRAFF", assert_cmd::cargo::cargo_bin!("draff"))
            .arg("-c")
            .arg(format!(
                "trap '' XFSZ; ulimit -f 2; exec \"$DRAFF\" use {lot} --wet 1kg --for bread"
            )),
    );
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert_eq!(ran.out, "");
    assert!(
        ran.err
            .starts_with("error: the disk refused to read or write the book"),
        "{}",
        ran.err
    );
    // The journal that the write left is rolled back by whoever opens the book next.
    assert!(kitchen.ok("check").contains("whole"));
    assert_eq!(std::fs::read(kitchen.book()).unwrap(), before);
    assert!(!Path::new(&format!("{}-journal", kitchen.book().display())).exists());
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
}

/// A file that ends within a page was cut off: nothing may be written to it.
#[test]
fn a_book_cut_off_within_its_last_page_is_refused() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    let whole = std::fs::read(kitchen.book()).unwrap();
    for missing in [10, 1000, 4095] {
        kitchen.file("cut.draff", &whole[..whole.len() - missing]);
        for words in both("cut.draff") {
            let said = kitchen.refused(1, &words);
            assert!(said.contains("the book is damaged"), "{missing}: {said}");
        }
    }
}

/// Exit code 3 is what a scheduled check waits for, and the message must not send in a circle.
#[test]
fn checking_a_truncated_book_finds_damage() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    let whole = std::fs::read(kitchen.book()).unwrap();
    for missing in [1000, 4096, whole.len() / 2] {
        kitchen.file("cut.draff", &whole[..whole.len() - missing]);
        let ran = kitchen.run("--book cut.draff check");
        assert_eq!(ran.code, 3, "{missing}: {}{}", ran.out, ran.err);
        assert!(!ran.err.contains("`draff check` says where"), "{}", ran.err);
    }
}
