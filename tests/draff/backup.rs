//! `backup`: a proved copy, taken beside writers; dated copies of which the oldest of its own go.

use crate::env::{Kitchen, Ran};
use serde_json::json;
use std::path::Path;

/// A kitchen whose book holds 7 entries: the usual places, a pickup with its cooling, a use.
pub fn lived_in() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    (kitchen, lot)
}

/// The names in a folder of the kitchen, sorted.
fn names(kitchen: &Kitchen, folder: &str) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(kitchen.folder().join(folder))
        .unwrap()
        .map(|found| found.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_copy_is_whole_and_holds_what_the_book_holds() {
    let (kitchen, _) = lived_in();
    let entries = kitchen.entries();
    let before = std::fs::read(kitchen.book()).unwrap();
    let out = kitchen.ok("backup copy.draff");
    let checked = kitchen.json("check");
    let digest = checked["digest"].as_str().unwrap();
    assert_eq!(
        out,
        format!(
            "Copy        copy.draff\nProved      opened again and whole, {entries} entries\nDigest      {digest}\n"
        )
    );
    assert!(kitchen.ok("--book copy.draff check").contains("whole"));
    assert_eq!(
        kitchen.ok("--book copy.draff log"),
        kitchen.ok("log"),
        "every entry is in the copy"
    );
    assert!(before == std::fs::read(kitchen.book()).unwrap());
    assert_eq!(names(&kitchen, "."), ["book.draff", "copy.draff"]);
    let answer = kitchen.json("backup second.draff");
    assert_eq!(
        answer,
        json!({"copy": "second.draff", "digest": digest, "entries": entries, "kept": null, "removed": []})
    );
}

#[test]
fn nothing_is_written_over() {
    let (kitchen, _) = lived_in();
    kitchen.file("letter.txt", "Dear baker");
    std::fs::create_dir(kitchen.folder().join("stick")).unwrap();
    for (words, said) in [
        (
            "backup letter.txt",
            "there is something at `letter.txt` already",
        ),
        (
            "backup stick",
            "`draff backup --keep 14 stick` makes dated copies",
        ),
        ("backup book.draff", "`book.draff` belongs to the book"),
        ("backup ./book.draff-journal", "belongs to the book"),
        (
            "backup nowhere/copy.draff",
            "`nowhere/copy.draff` cannot be written",
        ),
        (
            "--book none.draff backup copy.draff",
            "there is no book at `none.draff`",
        ),
    ] {
        let refused = kitchen.refused(1, words);
        assert!(refused.contains(said), "{words}: {refused}");
    }
    for words in [
        "backup",
        "backup --keep 0 copies",
        "backup --keep 14",
        "backup --keep many copies",
    ] {
        kitchen.refused(2, words);
    }
    kitchen.refused(1, "backup --keep 3 letter.txt");
}

/// A copy of a damaged book must not look like a copy of a whole one, nor push a good one out.
#[test]
fn a_damaged_book_is_not_backed_up() {
    let (mut kitchen, _) = lived_in();
    kitchen.ok("backup --keep 1 copies");
    kitchen.at("2026-11-21 10:00");
    kitchen
        .sqlite()
        .execute_batch("UPDATE stock SET wet_mg = wet_mg + 1")
        .unwrap();
    let said = kitchen.refused(1, "backup copy.draff");
    assert!(
        said.contains("the copy is not whole: lot ALD-261120-1T"),
        "{said}"
    );
    kitchen.refused(1, "backup --keep 1 copies");
    assert_eq!(names(&kitchen, "copies"), ["book-2026-11-20T100000Z.draff"]);
}

#[test]
fn the_newest_copies_are_kept() {
    let (mut kitchen, lot) = lived_in();
    for day in 20..=24 {
        kitchen.at(&format!("2026-11-{day} 10:00"));
        kitchen.ok(&format!("probe {lot} 4C"));
        kitchen.ok("backup --keep 3 safe/copies");
    }
    assert_eq!(
        names(&kitchen, "safe/copies"),
        [22, 23, 24].map(|day| format!("book-2026-11-{day}T100000Z.draff"))
    );
    // The same second again, and fewer to keep than there are.
    let answer = kitchen.json("backup --keep 2 safe/copies");
    assert_eq!(answer["kept"], 2);
    assert_eq!(
        answer["removed"],
        json!([
            "safe/copies/book-2026-11-22T100000Z.draff",
            "safe/copies/book-2026-11-23T100000Z.draff"
        ])
    );
    assert_eq!(
        names(&kitchen, "safe/copies"),
        [
            "book-2026-11-24T100000Z-2.draff",
            "book-2026-11-24T100000Z.draff"
        ]
    );
    let newest = "--book safe/copies/book-2026-11-24T100000Z-2.draff";
    assert_eq!(kitchen.ok(&format!("{newest} log")), kitchen.ok("log"));
}

/// A kill leaves a draft. It is in nobody's way, and once nobody wrote to it for a day it goes.
#[test]
fn drafts_that_kills_left_are_cleared_once_they_are_old() {
    let (kitchen, _) = lived_in();
    let day = std::time::Duration::from_secs(24 * 60 * 60);
    let old = std::time::SystemTime::now() - day - day / 24;
    for name in [
        ".copy.draff.1.part",
        ".copy.draff.0123456789abcdef.part",
        ".other.draff.1.part",
    ] {
        let path = kitchen.file(name, "left");
        let file = std::fs::File::options().write(true).open(path).unwrap();
        file.set_modified(old).unwrap();
    }
    kitchen.file(".copy.draff.2.part", "at work");
    kitchen.ok("backup copy.draff");
    let names: Vec<String> = kitchen
        .files()
        .into_keys()
        .map(|path| path.file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    assert_eq!(
        names,
        [
            ".copy.draff.2.part",
            ".other.draff.1.part",
            "book.draff",
            "copy.draff"
        ]
    );
}

/// A dated name never comes again: what a kill left under it goes with the next copy in the folder.
#[test]
fn drafts_of_dated_copies_are_cleared_by_the_next_copy() {
    let (kitchen, _) = lived_in();
    std::fs::create_dir(kitchen.folder().join("copies")).unwrap();
    let day = std::time::Duration::from_secs(24 * 60 * 60);
    let old = std::time::SystemTime::now() - day - day / 24;
    let draft =
        |day: u32, random: &str| format!(".book-2026-11-{day:02}T100000Z.draff.{random}.part");
    let left = [
        draft(1, "0123456789abcdef"),
        draft(2, "00000000000000ff"),
        format!("{}-journal", draft(2, "00000000000000ff")),
        // Its draft is gone already.
        format!("{}-journal", draft(3, "fedcba9876543210")),
    ];
    // Names that we never give, and a draft that somebody is at.
    let others = [
        draft(4, "0123456789ABCDEF"),
        draft(5, "0123"),
        ".0123456789abcdef.part".to_owned(),
        "letter.0123456789abcdef.part".to_owned(),
        ".letter-journal".to_owned(),
    ];
    for name in left.iter().chain(&others) {
        let path = kitchen.file(&format!("copies/{name}"), "left");
        let file = std::fs::File::options().write(true).open(path).unwrap();
        file.set_modified(old).unwrap();
    }
    let at_work = draft(6, "0123456789abcdef");
    kitchen.file(&format!("copies/{at_work}"), "at work");
    // Its journal was written before it, and stays with it.
    let journal = format!("{at_work}-journal");
    let path = kitchen.file(&format!("copies/{journal}"), "at work");
    let file = std::fs::File::options().write(true).open(path).unwrap();
    file.set_modified(old).unwrap();
    kitchen.ok("backup --keep 3 copies");
    let mut kept = [
        others.as_slice(),
        &[at_work, journal, "book-2026-11-20T100000Z.draff".to_owned()],
    ]
    .concat();
    kept.sort();
    assert_eq!(names(&kitchen, "copies"), kept);
}

#[test]
fn other_files_in_the_folder_are_left_alone() {
    let (mut kitchen, _) = lived_in();
    std::fs::create_dir(kitchen.folder().join("copies")).unwrap();
    // Names like ours that hold no copy of this book: a letter, another bakery's book of the same name, a
    // folder, an old copy under another name.
    let ours = |day: u32| format!("copies/book-2026-11-{day:02}T100000Z.draff");
    kitchen.file(&ours(1), "Dear baker");
    std::fs::create_dir(kitchen.folder().join(ours(3))).unwrap();
    kitchen.file(
        "copies/book-2026-11-04.draff",
        std::fs::read(kitchen.book()).unwrap(),
    );
    kitchen.at("2026-01-02T08:00:01Z");
    kitchen.ok(&format!("--book {} new-book --zone Europe/Dublin", ours(2)));
    #[cfg(unix)]
    std::os::unix::fs::symlink(kitchen.book(), kitchen.folder().join(ours(5))).unwrap();
    let before = kitchen.files();
    kitchen.at("2026-11-20 10:00");
    kitchen.ok("backup --keep 1 copies");
    kitchen.at("2026-11-21 10:00");
    kitchen.ok("backup --keep 1 copies");
    let after = kitchen.files();
    for (path, bytes) in &before {
        assert!(
            after.get(path) == Some(bytes),
            "{} was touched",
            path.display()
        );
    }
    assert_eq!(
        after.len(),
        before.len() + 1,
        "one copy of this book is kept"
    );
}

/// A clock that was wrong once must not make the newest copy the one that goes.
#[test]
fn a_copy_dated_after_now_is_told() {
    let (mut kitchen, _) = lived_in();
    kitchen.at("2036-11-20 10:00");
    kitchen.ok("backup --keep 1 copies");
    kitchen.at("2026-11-21 10:00");
    let ran = kitchen.run("backup --keep 1 copies");
    assert_eq!(ran.code, 0);
    assert!(ran.err.contains("copies dated after now: 1"), "{}", ran.err);
    assert_eq!(names(&kitchen, "copies"), ["book-2026-11-21T100000Z.draff"]);
}

/// A copy that is taken while others write is a copy of one moment: whole, and with all that was
/// acknowledged before it began.
#[test]
fn a_copy_beside_writers_is_of_one_moment() {
    let (kitchen, lot) = lived_in();
    let before = kitchen.entries();
    std::thread::scope(|scope| {
        let writers: Vec<_> = (0..2)
            .map(|writer| {
                let (kitchen, lot) = (&kitchen, &lot);
                scope.spawn(move || {
                    for act in 0..25 {
                        kitchen.ok(&format!("use {lot} --wet 1mg --for \"{writer} {act}\""));
                    }
                })
            })
            .collect();
        for number in 0..8 {
            let name = format!("copy-{number}.draff");
            let answer = kitchen.json(&format!("backup {name}"));
            let entries = answer["entries"].as_i64().unwrap();
            assert!((before..=before + 50).contains(&entries), "{entries}");
            let check = kitchen.ok(&format!("--book {name} check"));
            assert!(
                check.contains(&format!("whole: {entries} entries")),
                "{check}"
            );
        }
        writers
            .into_iter()
            .for_each(|writer| writer.join().unwrap());
    });
    assert_eq!(kitchen.entries(), before + 50);
}

/// The mode bits of a file.
#[cfg(unix)]
fn mode(path: &Path) -> u32 {
    use std::os::unix::fs::PermissionsExt;
    std::fs::metadata(path).unwrap().permissions().mode() & 0o777
}

/// Names and notes are nobody else's business, unless the owner opens the book to others.
#[cfg(unix)]
#[test]
fn books_and_copies_are_their_owners_alone() {
    use std::os::unix::fs::PermissionsExt;
    let (mut kitchen, _) = lived_in();
    let folder = kitchen.folder().to_owned();
    assert_eq!(mode(&kitchen.book()), 0o600);
    kitchen.ok("--book deep/down/book.draff new-book --zone Europe/Dublin");
    assert_eq!(mode(&folder.join("deep")), 0o700);
    // Even where the book was opened to all, a copy is not.
    let open = std::fs::Permissions::from_mode(0o666);
    std::fs::set_permissions(kitchen.book(), open).unwrap();
    kitchen.ok("backup copy.draff");
    kitchen.ok("backup --keep 2 copies");
    assert_eq!(mode(&folder.join("copy.draff")), 0o600);
    assert_eq!(mode(&folder.join("copies")), 0o700);
    // What takes the place of a book that others share is shared with them too.
    kitchen.at("2026-11-21 10:00");
    kitchen.ok("restore copy.draff");
    assert_eq!(mode(&kitchen.book()), 0o666);
    // The user's own settings may be stricter still.
    let ran = Ran::of(
        std::process::Command::new("sh")
            .args(["-c", "umask 277; exec \"$0\" backup strict.draff"])
            .arg(assert_cmd::cargo::cargo_bin!("draff"))
            .env("DRAFF_BOOK", "book.draff")
            .current_dir(&folder),
    );
    if ran.code == 0 {
        assert_eq!(mode(&folder.join("strict.draff")), 0o400);
    } else {
        assert!(ran.err.contains("read-only"), "{}", ran.err);
    }
}
