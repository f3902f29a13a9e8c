//! The program killed from outside just before each of its calls to the system that change a file, whoever makes
//! them: SQLite, or the program for drafts, copies and tables. `strace` does it; without it nothing is tried.
//!
//! The usual run takes some calls of each command, with `DRAFF_LONG` set all of them.

use crate::env::Kitchen;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// Calls that change a file or a folder; not every machine has all of them.
const CALLS: &str = "?write,?pwrite64,?writev,?pwritev,?ftruncate,?fallocate,?fsync,?fdatasync,?open,?openat,?mkdir,\
    ?mkdirat,?unlink,?unlinkat,?rmdir,?rename,?renameat,?renameat2,?link,?linkat,?chmod,?fchmod,?fchmodat,\
    ?copy_file_range,?sendfile";

/// Calls of each command that the usual run takes.
const USUAL: usize = 8;

/// The program under `strace`, with the options that say what to do at the calls.
fn traced(kitchen: &Kitchen, options: &[&str], words: &str) -> Command {
    let mut command = Command::new("/usr/bin/strace");
    command
        .args(["-f", "-o", "calls.txt"])
        .args(options)
        .arg(assert_cmd::cargo::cargo_bin!("draff"))
        .args(shlex::split(words).unwrap())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    kitchen.surround(&mut command);
    command
}

/// How many such calls the command makes; nothing where this machine lets nobody watch them.
fn calls(kitchen: &Kitchen, words: &str) -> Option<usize> {
    let options = ["-e", &format!("trace={CALLS}"), "-e", "signal=none"];
    let ran = traced(kitchen, &options, words).status().ok()?;
    let told = std::fs::read_to_string(kitchen.folder().join("calls.txt")).ok()?;
    std::fs::remove_file(kitchen.folder().join("calls.txt")).unwrap();
    let number = told.lines().filter(|line| line.contains('(')).count();
    (ran.success() && number > 0).then_some(number)
}

/// Kills it before the call of that number.
fn kill_at(kitchen: &Kitchen, call: usize, words: &str) {
    let inject = format!("inject={CALLS}:signal=KILL:when={call}");
    let _ = traced(kitchen, &["-e", &inject], words).status().unwrap();
    let _ = std::fs::remove_file(kitchen.folder().join("calls.txt"));
}

fn which(number: usize, salt: usize) -> Vec<usize> {
    if std::env::var_os("DRAFF_LONG").is_some() || number <= USUAL {
        return (1..=number).collect();
    }
    let mut calls: Vec<usize> = (0..USUAL)
        .map(|part| 1 + (part * number / USUAL + salt * 5) % number)
        .collect();
    calls.push(number);
    calls
}

fn put_back(kitchen: &Kitchen, files: &BTreeMap<PathBuf, Vec<u8>>) {
    for entry in std::fs::read_dir(kitchen.folder()).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            std::fs::remove_dir_all(path).unwrap();
        } else {
            std::fs::remove_file(path).unwrap();
        }
    }
    for (path, bytes) in files {
        if path.to_string_lossy().ends_with('/') {
            std::fs::create_dir_all(path).unwrap();
        }
        if !path.is_dir() {
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, bytes).unwrap();
        }
    }
}

/// Names and entries of all books, with drafts and what belongs to one left out. Each is whole.
fn books(kitchen: &Kitchen, place: &str) -> BTreeMap<String, i64> {
    let mut found = BTreeMap::new();
    for path in kitchen.files().into_keys() {
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        let is_book =
            name.contains(".draff") && !name.starts_with('.') && !name.ends_with("-journal");
        if !is_book {
            continue;
        }
        let check = kitchen.run(&format!("--book {name} check"));
        // A book is made in an empty file. What was begun there is taken back, and then it is no book for any command.
        if check.out.contains("the file is empty") {
            continue;
        }
        assert_eq!(check.code, 0, "{place}: {name}: {}{}", check.out, check.err);
        let book = rusqlite::Connection::open(&path).unwrap();
        let entries = book
            .query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
            .unwrap();
        found.insert(name, entries);
    }
    found
}

#[test]
fn killed_before_any_call_that_writes_nothing_is_lost() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let rows: String = (1..=60)
        .map(|row| format!("Source {},2026-11-{:02},{row}kg\n", row % 7, row % 19 + 1))
        .collect();
    kitchen.file("p.csv", format!("source,brewed,wet\n{rows}"));
    kitchen.ok("backup copy.draff");
    kitchen.ok("export-all tables");
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    let before = kitchen.files();
    let entries = kitchen.entries();
    let copied = entries - 1;
    let mut tried = 0;
    for (salt, (words, after, made)) in [
        (
            format!("use {lot} --wet 1kg --for rolls"),
            entries + 1,
            None,
        ),
        ("--quiet pickup --csv p.csv".to_owned(), entries + 60, None),
        ("backup made.draff".to_owned(), entries, Some(entries)),
        ("restore copy.draff".to_owned(), copied, Some(entries)),
        (
            "--book made.draff import-all tables".to_owned(),
            entries,
            Some(copied),
        ),
        (
            "--book made.draff new-book --zone Etc/UTC".to_owned(),
            entries,
            Some(4),
        ),
    ]
    .into_iter()
    .enumerate()
    {
        put_back(&kitchen, &before);
        let Some(number) = calls(&kitchen, &words) else {
            println!("not tried: there is no strace here, or it may watch nobody");
            return;
        };
        for call in which(number, salt) {
            put_back(&kitchen, &before);
            kill_at(&kitchen, call, &words);
            tried += 1;
            let place = format!("{words}, call {call} of {number}");
            let mut found = books(&kitchen, &place);
            assert_eq!(found.remove("copy.draff"), Some(copied), "{place}");
            let book = found.remove("book.draff");
            assert!(
                [Some(entries), Some(after)].contains(&book),
                "{place}: {book:?}"
            );
            let is_to_be_made = words.starts_with("--book made.draff") && found.is_empty();
            for (name, others) in found {
                assert_eq!(Some(others), made, "{place}: {name}");
            }
            if words.starts_with("restore") && book == Some(after) {
                let aside = books(&kitchen, &place);
                assert!(aside.len() == 3, "{place}: the old book is lost: {aside:?}");
            }
            // What was broken off can be done again.
            if is_to_be_made {
                let again = kitchen.run(&words);
                assert_eq!(again.code, 0, "{place}: again: {}", again.err);
            }
            // Whatever was left lying, the book can be gone on with.
            let later = kitchen.run(&format!("use {lot} --wet 1mg --for later"));
            assert_eq!(later.code, 0, "{place}: {}", later.err);
        }
    }
    println!("{tried} kills at a call that writes");
}
