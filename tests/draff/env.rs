//! A kitchen for one test: a home folder of its own, a book in it, a fixed now, the zone Europe/Dublin.

use rusqlite::Connection;
use serde_json::Value;
use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// Friday 20 November 2026, 10:00 in Dublin: now, where a test says nothing else.
pub const FRIDAY: &str = "2026-11-20T10:00:00+00:00";

/// The small loaf: a dough with a sponge, mixed 3 h 30 min before it is ready, of 68 % water and 5 to 10 % grain, with losses
/// of 2 % and 10 %. 12 pieces of 800 g take 288 to 576 g of dry grain.
pub const LOAF: &str = include_str!("formula/loaf.toml");

/// Why most entries are struck or corrected.
pub const SLIP: &str = "--reason slip";

/// Writes golden files anew instead of comparing them.
const WRITE_GOLDENS: &str = "DRAFF_WRITE_GOLDENS";

pub struct Kitchen {
    folder: TempDir,
    now: String,
}

/// What one run of the program gave.
#[derive(Debug)]
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// What was told beside the answer, as one line, however it was wrapped.
    pub fn told(&self) -> String {
        one_line(&self.err)
    }
}

/// A text as one line, however it was wrapped.
pub fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The commands that are told in backticks, without the name of the program.
pub fn commands_in(told: &str) -> Vec<String> {
    told.split("`draff ")
        .skip(1)
        .filter_map(|rest| rest.split_once('`'))
        .map(|(command, _)| command.to_owned())
        .collect()
}

/// The codes of the lots that a portioning made.
pub fn made(answer: &Value) -> Vec<String> {
    let lots = answer["lots"].as_array().unwrap();
    let code = |lot: &Value| lot["lot"].as_str().unwrap().to_owned();
    lots.iter().map(code).collect()
}

/// Whether a text has a part; all of the text is shown where not.
#[track_caller]
pub fn has(said: &str, part: &str) {
    assert!(said.contains(part), "no `{part}` in:\n{said}");
}

impl Kitchen {
    /// Without a book.
    pub fn bare() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
            now: FRIDAY.to_owned(),
        }
    }

    /// With a new book in the zone Europe/Dublin, made in the first days of 2026.
    pub fn new() -> Self {
        let mut kitchen = Self::bare();
        kitchen.at("2026-01-02T08:00:00Z");
        kitchen.ok("new-book --zone Europe/Dublin");
        kitchen.at(FRIDAY);
        kitchen
    }

    /// On Monday 9 November at 10:00.
    pub fn on_monday() -> Self {
        let mut kitchen = Self::new();
        kitchen.at("2026-11-09T10:00:00Z");
        kitchen
    }

    /// With a tub of that Monday that came in hot at 08:00, and was found warm at 09:30 and cold at 11:00, entries 7 and 8.
    #[track_caller]
    pub fn with_cooled_tub() -> (Self, String) {
        let mut kitchen = Self::new();
        kitchen.at("2026-11-09T08:00:00Z");
        let lot = kitchen.pickup("--brewed today --mash-out 07:00 --wet 10kg --temp 63C");
        for (at, found) in [("09:30", "20C"), ("11:00", "4C")] {
            kitchen.at(&format!("2026-11-09T{at}:00Z"));
            kitchen.ok(&format!("probe {lot} {found}"));
        }
        (kitchen, lot)
    }

    /// On that Monday, with 6 kg of Corrow Weir (entries 5 and 6) and 6 kg of Alder Lane (entries 7 and 8), cold since
    /// 09:00; gives both codes.
    #[track_caller]
    pub fn with_two_tubs() -> (Self, String, String) {
        let kitchen = Self::on_monday();
        let corrow = kitchen.tub("Corrow Weir", "--wet 6kg");
        let alder = kitchen.tub("Alder Lane", "--wet 6kg");
        (kitchen, corrow, alder)
    }

    /// Sets now.
    pub fn at(&mut self, now: &str) -> &mut Self {
        self.now = now.to_owned();
        self
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    pub fn book(&self) -> PathBuf {
        self.folder().join("book.draff")
    }

    /// Puts a file into the folder and gives its path.
    pub fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.folder().join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    }

    /// The program with nothing of the surroundings but what this kitchen sets. It runs in the folder.
    pub fn command(&self) -> Command {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("draff"));
        self.surround(&mut command);
        command
    }

    /// The same surroundings for another program that starts ours.
    pub fn surround(&self, command: &mut Command) {
        command
            .env_clear()
            .env("HOME", self.folder())
            .env("TZ", "Europe/Dublin")
            .env("LC_ALL", "C")
            // Not the whole path: its length would move the line breaks of messages.
            .env("DRAFF_BOOK", "book.draff")
            .env("DRAFF_NOW", &self.now)
            .current_dir(self.folder());
    }

    /// Runs words as a shell would split them.
    pub fn run(&self, words: &str) -> Ran {
        self.run_words(shlex::split(words).expect("quotes are closed"))
    }

    pub fn run_words(&self, words: impl IntoIterator<Item = impl AsRef<OsStr>>) -> Ran {
        Ran::of(self.command().args(words))
    }

    /// Runs what must be done without complaint; gives the answer.
    #[track_caller]
    pub fn ok(&self, words: &str) -> String {
        let ran = self.run(words);
        assert_eq!(ran.code, 0, "{words}\n{}", ran.err);
        ran.out
    }

    /// What is told beside the answer of what must be done without complaint, as one line.
    #[track_caller]
    pub fn told(&self, words: &str) -> String {
        let ran = self.run(words);
        assert_eq!(ran.code, 0, "{words}\n{}", ran.err);
        ran.told()
    }

    #[track_caller]
    pub fn json(&self, words: &str) -> Value {
        serde_json::from_str(&self.ok(&format!("--json {words}"))).expect("the answer is JSON")
    }

    /// Runs what must be refused, and gives the message as one line, however it was wrapped.
    #[track_caller]
    pub fn refused(&self, code: i32, words: &str) -> String {
        let written = self.refused_as_written(code, words);
        written.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Runs what must be refused: an error on stderr, no answer, no file changed, made or taken away.
    #[track_caller]
    pub fn refused_as_written(&self, code: i32, words: &str) -> String {
        let before = self.files();
        let ran = self.run(words);
        assert_eq!(ran.code, code, "{words}\n{}{}", ran.out, ran.err);
        assert_eq!(ran.out, "", "a refusal has no answer: {words}");
        assert!(ran.err.starts_with("error: "), "{words}\n{}", ran.err);
        assert!(before == self.files(), "a refusal wrote something: {words}");
        ran.err
    }

    /// Every file under the folder with its bytes.
    pub fn files(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        let mut found = BTreeMap::new();
        let mut folders = vec![self.folder().to_owned()];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    found.insert(path.join(""), Vec::new());
                    folders.push(path);
                } else {
                    let bytes = std::fs::read(&path).unwrap();
                    found.insert(path, bytes);
                }
            }
        }
        found
    }

    /// Books in grain of this morning, cooled in time and put into the fridge; gives the lot's code.
    #[track_caller]
    pub fn lot(&self, wet: &str) -> String {
        self.lot_from("Alder Lane", &format!("--wet {wet}"))
    }

    /// The same from another source, with what else is to be said of it.
    #[track_caller]
    pub fn lot_from(&self, source: &str, options: &str) -> String {
        self.pickup_from(
            source,
            &format!("--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 {options}"),
        )
    }

    /// A tub of today's brew, cold since 09:00; gives its lot's code.
    #[track_caller]
    pub fn tub(&self, source: &str, options: &str) -> String {
        self.pickup_from(
            source,
            &format!("--brewed today --mash-out 07:00 --cooled 09:00 {options}"),
        )
    }

    /// Books in grain of the invented brewery; gives the lot's code.
    #[track_caller]
    pub fn pickup(&self, options: &str) -> String {
        self.pickup_from("Alder Lane", options)
    }

    /// Books in grain of any source; gives the lot's code.
    #[track_caller]
    pub fn pickup_from(&self, source: &str, options: &str) -> String {
        let lot = self.json(&format!("pickup --source \"{source}\" {options}"));
        lot["lot"].as_str().expect("a code").to_owned()
    }

    /// A kitchen with the small loaf and so much untested grain of this morning; gives the lot's code too.
    #[track_caller]
    pub fn with_loaf(wet: &str) -> (Self, String) {
        let kitchen = Self::new();
        kitchen.file("loaf.toml", LOAF);
        kitchen.ok("formula add loaf.toml");
        let lot = kitchen.lot(wet);
        (kitchen, lot)
    }

    /// A kitchen with the small loaf and 8 kg of tested grain of this morning; gives the lot's code too.
    #[track_caller]
    pub fn with_tested_lot() -> (Self, String) {
        Self::with_bakes("8kg", &[])
    }

    /// So much tested grain of this morning, and bakes of small loaves: when each is mixed and of how many pieces.
    #[track_caller]
    pub fn with_bakes(wet: &str, bakes: &[(&str, u32)]) -> (Self, String) {
        let (kitchen, lot) = Self::with_loaf(wet);
        kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
        for (at, pieces) in bakes {
            kitchen.ok(&format!(
                "bake add \"small loaf\" --at \"{at}\" mix --pieces {pieces}"
            ));
        }
        (kitchen, lot)
    }

    /// 8 kg of tested grain, 24 small loaves on Sunday (B-1S) and so many on Monday of the week after (B-2Q).
    #[track_caller]
    pub fn with_two_bakes(later: u32) -> (Self, String) {
        Self::with_bakes(
            "8kg",
            &[("2026-11-22 06:00", 24), ("2026-11-30 06:00", later)],
        )
    }

    /// The same with its plan accepted.
    #[track_caller]
    pub fn with_accepted_plan(later: u32) -> (Self, String) {
        let (kitchen, lot) = Self::with_two_bakes(later);
        kitchen.ok("plan --accept");
        (kitchen, lot)
    }

    /// A kitchen with a formula that takes half as much grain as it says, so that untested grain is not too wet for it.
    #[track_caller]
    pub fn with_less_grain(formula: &str) -> Self {
        let kitchen = Self::new();
        kitchen.file(
            "loaf.toml",
            formula
                .replace("wanted = \"10%\"", "wanted = \"5%\"")
                .replace("share = \"70%\"", "share = \"75%\""),
        );
        kitchen.ok("formula add loaf.toml");
        kitchen
    }

    /// 6 kg of untested grain, and a bake on Sunday (B-1S) of a dough that takes just as much grain as it wants, as
    /// `formula from-masses` writes it; gives the lot's code.
    #[track_caller]
    pub fn exact_loaf(&self) -> String {
        self.file("exact.toml", include_str!("formula/exact.toml"));
        self.ok("formula add exact.toml");
        let lot = self.lot("6kg");
        self.ok("bake add \"exact loaf\" --at \"2026-11-22 12:00\" mix --pieces 4");
        lot
    }

    /// One lot of `shelf --json`.
    #[track_caller]
    pub fn on_shelf(&self, lot: &str) -> Value {
        let shelf = self.json("shelf");
        let lots = shelf["lots"].as_array().unwrap();
        lots.iter()
            .find(|found| found["lot"] == lot)
            .unwrap_or_else(|| panic!("{lot} is not on the shelf: {shelf}"))
            .clone()
    }

    /// The number of the last entry that is of this kind.
    #[track_caller]
    pub fn last_entry(&self, kind: &str) -> i64 {
        let log = self.json("log");
        log["entries"]
            .as_array()
            .unwrap()
            .iter()
            .rfind(|entry| entry["kind"] == kind)
            .unwrap_or_else(|| panic!("no {kind} in the log"))["entry"]
            .as_i64()
            .unwrap()
    }

    /// The book as any SQLite program opens it.
    pub fn sqlite(&self) -> Connection {
        Connection::open(self.book()).unwrap()
    }

    /// Lets the program chain the book anew, after rows were put into it that no act wrote.
    pub fn chain_anew(&self) {
        let book = self.sqlite();
        book.execute_batch(include_str!("../unchain.sql")).unwrap();
        drop(book);
        self.ok("check");
    }

    /// Changes the book as somebody does who sets its triggers aside.
    pub fn past_the_triggers(&self, change: impl FnOnce(&Connection)) {
        let book = self.sqlite();
        let triggers: Vec<(String, String)> = book
            .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
            .unwrap()
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
            .unwrap()
            .map(Result::unwrap)
            .collect();
        for (name, _) in &triggers {
            book.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
        }
        change(&book);
        for (_, sql) in triggers {
            book.execute_batch(&sql).unwrap();
        }
    }

    /// How many entries the book holds.
    pub fn entries(&self) -> i64 {
        self.sqlite()
            .query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
            .unwrap()
    }
}

/// What a terminal shows of what must be done without complaint: stdout and stderr in the order in which they come.
#[track_caller]
pub fn on_a_terminal(mut command: Command) -> String {
    let (mut terminal, end) = std::io::pipe().unwrap();
    command.stdin(Stdio::null());
    command.stdout(end.try_clone().unwrap()).stderr(end);
    let mut running = command.spawn().expect("the program starts");
    // It holds the other end as well.
    drop(command);
    let mut shown = String::new();
    terminal.read_to_string(&mut shown).unwrap();
    assert!(running.wait().unwrap().success(), "{shown}");
    shown
}

impl Ran {
    pub fn of(command: &mut Command) -> Self {
        let output = command.output().expect("the program starts");
        Self {
            code: output.status.code().expect("the program exits by itself"),
            out: String::from_utf8(output.stdout).expect("the answer is UTF-8"),
            err: String::from_utf8(output.stderr).expect("the talk is UTF-8"),
        }
    }
}

/// Compares with the file `tests/draff/errors/NAME.txt`, or writes it where `DRAFF_WRITE_GOLDENS` is set.
#[track_caller]
pub fn golden(name: &str, found: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/draff/errors")
        .join(format!("{name}.txt"));
    if std::env::var_os(WRITE_GOLDENS).is_some() {
        std::fs::write(&path, found).unwrap();
        return;
    }
    let wanted = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(
        found,
        wanted,
        "{} differs; {WRITE_GOLDENS}=1 cargo test writes it anew",
        path.display()
    );
}
