//! Restore while others work: every act that was acknowledged is in the book or in what was set aside.
//!
//! The usual run races a few dozen pairs each way, with `DRAFF_LONG` set 2,000.

use crate::env::Kitchen;
use rusqlite::Connection;
use std::collections::BTreeSet;
use std::process::{Child, Stdio};

fn pairs() -> usize {
    if std::env::var_os("DRAFF_LONG").is_some() {
        2_000
    } else {
        24
    }
}

fn start(kitchen: &Kitchen, words: &[&str]) -> Child {
    kitchen
        .command()
        .args(words)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Whether it was acknowledged; what is refused must say so and not be there.
fn ended(child: Child) -> (bool, String) {
    let output = child.wait_with_output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    let code = output.status.code();
    assert!(code == Some(0) || code == Some(1), "{code:?}: {said}");
    (code == Some(0), said)
}

/// The words of all uses or the sources of all pickups, in every file of the folder that is a book.
fn written(kitchen: &Kitchen, question: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for entry in std::fs::read_dir(kitchen.folder()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        assert!(!name.ends_with(".part"), "{name} is left");
        assert!(!name.ends_with("-journal"), "{name} is left");
        if name.starts_with("book.draff") {
            let check = kitchen.ok(&format!("--book {name} check"));
            assert!(check.contains("the sums agree"), "{name}: {check}");
            let book = Connection::open(path).unwrap();
            let mut statement = book.prepare(question).unwrap();
            let rows = statement.query_map([], |row| row.get(0)).unwrap();
            found.extend(rows.map(Result::unwrap));
        }
    }
    found
}

fn name_and_zone(kitchen: &Kitchen) -> (String, String) {
    let book = kitchen.sqlite();
    let row = book.query_row("SELECT name, zone FROM book", [], |row| {
        Ok((row.get(0)?, row.get(1)?))
    });
    row.unwrap()
}

fn clear_aside(kitchen: &Kitchen) {
    for entry in std::fs::read_dir(kitchen.folder()).unwrap() {
        let path = entry.unwrap().path();
        if path.to_string_lossy().contains("set-aside") {
            std::fs::remove_file(path).unwrap();
        }
    }
}

/// A writer, a reader and a restore on one book.
#[test]
fn an_acknowledged_act_is_never_lost_to_a_restore() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok("backup copy.draff");
    let (mut acknowledged, mut refused) = (0, 0);
    for pair in 0..pairs() {
        let words: Vec<String> = (0..3).map(|act| format!("pair {pair} act {act}")).collect();
        let first = start(&kitchen, &["use", &lot, "--wet", "1mg", "--for", &words[0]]);
        let reader = start(&kitchen, &["log"]);
        let restore = start(&kitchen, &["restore", "copy.draff"]);
        let second = start(&kitchen, &["use", &lot, "--wet", "1mg", "--for", &words[1]]);
        let third = start(&kitchen, &["use", &lot, "--wet", "1mg", "--for", &words[2]]);
        ended(reader);
        let (restored, said) = ended(restore);
        assert!(restored, "{said}");
        let done = [first, second, third].map(ended);
        let found = written(
            &kitchen,
            "SELECT words FROM entry WHERE kind = 'use' AND words IS NOT NULL",
        );
        for (words, (done, said)) in words.iter().zip(&done) {
            assert_eq!(found.contains(words), *done, "{words}: {said}");
            acknowledged += usize::from(*done);
            refused += usize::from(!*done);
        }
        clear_aside(&kitchen);
    }
    assert!(
        acknowledged > refused,
        "{acknowledged} done, {refused} refused"
    );
}

/// Restoring where no book is while a pickup makes one, and the same with a book made of tables.
#[test]
fn a_pickup_that_makes_a_book_is_never_lost_to_a_restore() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    kitchen.ok("backup copy.draff");
    kitchen.ok("export-all tables");
    let pickup = |source: &str| -> Child {
        start(
            &kitchen,
            &[
                "pickup", "--source", source, "--brewed", "today", "--wet", "1kg",
            ],
        )
    };
    for pair in 0..pairs() {
        std::fs::remove_file(kitchen.book()).unwrap();
        let sources = [format!("First {pair}"), format!("Second {pair}")];
        let first = pickup(&sources[0]);
        let other = match pair % 3 {
            0 => start(
                &kitchen,
                &["new-book", "--name", "Mine", "--zone", "America/Denver"],
            ),
            1 => start(&kitchen, &["import-all", "tables"]),
            _ => start(&kitchen, &["restore", "copy.draff"]),
        };
        let second = pickup(&sources[1]);
        let (made, said) = ended(other);
        let done = [first, second].map(ended);
        if pair % 3 == 0 {
            let asked = ("Mine".to_owned(), "America/Denver".to_owned());
            assert_eq!(name_and_zone(&kitchen) == asked, made, "{said}");
        }
        let found = written(
            &kitchen,
            "SELECT source.name FROM entry JOIN lot ON lot.id = lot_id JOIN source ON source.id = source_id
             WHERE entry.kind = 'pickup'",
        );
        for (source, (done, said)) in sources.iter().zip(&done) {
            assert_eq!(found.contains(source), *done, "{source}: {said}");
        }
        clear_aside(&kitchen);
    }
}

/// Of books that are made at once one is there, and whoever made it is told so.
#[test]
fn of_two_new_books_one_is_made_and_the_other_is_refused() {
    let kitchen = Kitchen::bare();
    for _ in 0..pairs() {
        let zones = ["Europe/Dublin", "America/Denver"];
        let books =
            zones.map(|zone| start(&kitchen, &["new-book", "--name", zone, "--zone", zone]));
        let [one, other] = books.map(ended);
        let made = usize::from(other.0);
        assert!(one.0 != other.0, "{one:?} {other:?}");
        let asked = zones[made].to_owned();
        assert_eq!(name_and_zone(&kitchen), (asked.clone(), asked));
        std::fs::remove_file(kitchen.book()).unwrap();
    }
}
