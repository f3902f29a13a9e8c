//! A book in a folder of its own, worked on in this process through what the program itself calls.

use crate::disk;
use draffbook::commands;
use draffbook::context::Surroundings;
use draffbook::desk::{Desk, NewDevice};
use draffbook::ledger::Book;
use draffbook::quantity::Zone;
use rusqlite::Connection;
use rusqlite::types::Value;
use std::collections::BTreeMap;
use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};

pub struct Bakery {
    folder: tempfile::TempDir,
    surroundings: Surroundings,
    lot: String,
    other: String,
    dried: String,
}

impl Bakery {
    /// Without a book.
    pub fn bare() -> Self {
        disk::watch();
        let folder = tempfile::tempdir().unwrap();
        let surroundings = Surroundings {
            clock: "2026-11-20T10:00:00Z".parse().unwrap(),
            now: None,
            book: Some(folder.path().join("book.draff")),
            usual_book: None,
            zone: || (Zone::named("Europe/Dublin").unwrap(), None),
        };
        Self {
            folder,
            surroundings,
            lot: String::new(),
            other: String::new(),
            dried: String::new(),
        }
    }

    /// Pairs a device, as the page does.
    fn pair(&self) {
        let now = self.surroundings.clock;
        let book = Book::open(&self.book(), now).unwrap();
        let new = NewDevice {
            secret: [7; 32],
            whose: "Ada",
            writes: true,
            paired_by: None,
        };
        Desk::new(book, now, None).pair(&new).unwrap();
    }

    /// With a lot (entries 5 and 6), a test of it (7), a use of some (8), a part of it, 10 kg left and files to read.
    pub fn lived_in() -> Self {
        let mut bakery = Self::bare();
        bakery.done("new-book --zone Europe/Dublin");
        bakery.pair();
        let booked = bakery.done(
            "--json pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 12kg",
        );
        let booked: serde_json::Value = serde_json::from_str(&booked).unwrap();
        bakery.lot = booked["lot"].as_str().unwrap().to_owned();
        bakery.done(&format!("moisture {} --lab 77%", bakery.lot));
        bakery.done(&format!("use {} --wet 1kg --for buns", bakery.lot));
        let rows: String = (1..=400)
            .map(|row| format!("Source {},2026-11-{:02},{row}kg\n", row % 9, row % 19 + 1))
            .collect();
        std::fs::write(
            bakery.path("pickups.csv"),
            format!("source,brewed,wet\n{rows}"),
        )
        .unwrap();
        let readings: String = (0..60)
            .map(|minute| format!("2026-11-20 08:{minute:02},3.{}\n", minute % 10))
            .collect();
        std::fs::write(
            bakery.path("readings.csv"),
            format!("time,temp C\n{readings}"),
        )
        .unwrap();
        let loaf = include_str!("../draff/formula/loaf.toml");
        std::fs::write(bakery.path("loaf.toml"), loaf).unwrap();
        bakery.done("formula add loaf.toml");
        bakery.done(&format!(
            "bake add \"small loaf\" --at \"today 14:00\" mix --pieces 4 --share 6% --lot {}",
            bakery.lot
        ));
        let parted = bakery.done(&format!(
            "--json move {} --wet 1kg --to \"dry-store\"",
            bakery.lot
        ));
        let parted: serde_json::Value = serde_json::from_str(&parted).unwrap();
        bakery.other = parted["lot"].as_str().unwrap().to_owned();
        let dried = bakery.done(
            "--json pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --form dried --wet 500g",
        );
        let dried: serde_json::Value = serde_json::from_str(&dried).unwrap();
        bakery.dried = dried["lot"].as_str().unwrap().to_owned();
        let darker = loaf.replace("68%", "70%");
        std::fs::write(bakery.path("loaf.toml"), darker).unwrap();
        bakery
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn book(&self) -> PathBuf {
        self.path("book.draff")
    }

    /// The code of the lot.
    pub fn lot(&self) -> &str {
        &self.lot
    }

    /// A line of the tests with the codes of the lots in it.
    pub fn line(&self, act: &str) -> String {
        act.replace("LOT", &self.lot)
            .replace("OTHER", &self.other)
            .replace("DRIED", &self.dried)
    }

    /// Runs a line and gives its exit code with the answer or the talk. Names of files lie in the folder.
    pub fn run(&self, line: &str) -> (u8, String) {
        let mut answer = Vec::new();
        let (code, talk) = self.run_into(line, &mut answer);
        let said = if code == 0 {
            String::from_utf8(answer).unwrap()
        } else {
            talk
        };
        (code, said)
    }

    /// Runs a line with its answer written there; gives its exit code with the talk.
    pub fn run_into(&self, line: &str, answer: &mut dyn Write) -> (u8, String) {
        const FILES: [&str; 8] = [
            "pickups.csv",
            "readings.csv",
            "loaf.toml",
            "copy.draff",
            "made.draff",
            "copies",
            "tables",
            "new",
        ];
        let words = shlex::split(line).unwrap().into_iter().map(|word| {
            if FILES.contains(&word.as_str()) {
                self.path(&word).into_os_string()
            } else {
                OsString::from(word)
            }
        });
        let mut talk = Vec::new();
        let typed = std::iter::once("draff".into()).chain(words);
        let code = commands::run(typed, &self.surroundings, answer, &mut talk);
        (code, String::from_utf8(talk).unwrap())
    }

    fn done(&self, line: &str) -> String {
        let (code, said) = self.run(line);
        assert_eq!(code, 0, "{line}: {said}");
        said
    }

    /// Makes the book what it was, with nothing beside it.
    pub fn put_back(&self, bytes: &[u8]) {
        let _ = std::fs::remove_file(self.path("book.draff-journal"));
        std::fs::write(self.book(), bytes).unwrap();
    }

    /// Takes all files away.
    pub fn clear(&self) {
        self.clear_all_but(&[]);
    }

    pub fn clear_all_but(&self, kept: &[&str]) {
        for found in std::fs::read_dir(self.folder.path()).unwrap() {
            let found = found.unwrap();
            if kept.contains(&found.file_name().to_str().unwrap()) {
                continue;
            }
            if found.file_type().unwrap().is_dir() {
                std::fs::remove_dir_all(found.path()).unwrap();
            } else {
                std::fs::remove_file(found.path()).unwrap();
            }
        }
    }

    /// All files below the folder.
    pub fn files(&self) -> Vec<PathBuf> {
        let mut folders = vec![self.folder.path().to_owned()];
        let mut files = Vec::new();
        while let Some(folder) = folders.pop() {
            for found in std::fs::read_dir(folder).unwrap() {
                let found = found.unwrap();
                if found.file_type().unwrap().is_dir() {
                    folders.push(found.path());
                } else {
                    files.push(found.path());
                }
            }
        }
        files
    }
}

/// Every table of a book with all its rows. An act that was cut short is taken back by this, as by any
/// program that opens the book.
pub fn contents(book: &Path) -> BTreeMap<String, Vec<Vec<Value>>> {
    let book = Connection::open(book).unwrap();
    let mut statement = book
        // The ids of a book are random, and other ones at each run.
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name <> 'book_identity'")
        .unwrap();
    let names: Vec<String> = statement
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    let rows = |name: &str| -> Vec<Vec<Value>> {
        let mut statement = book.prepare(&format!("SELECT * FROM \"{name}\"")).unwrap();
        let width = statement.column_count();
        statement
            .query_map([], |row| (0..width).map(|place| row.get(place)).collect())
            .unwrap()
            .map(Result::unwrap)
            .collect()
    };
    names
        .iter()
        .map(|name| (name.clone(), rows(name)))
        .collect()
}
