//! Random histories of hundreds and thousands of acts over weeks of a bakery's life against a simple model:
//! the same stock after every act, the same refusals, and time and again the same dates and verdicts, now and
//! later.
//!
//! The model shares no code with the program: stock is a sum of milligrams, and the clock in `clock.rs` walks
//! minute by minute what docs/models/keeping.md says. What the acts do is kept where that page is plain:
//! no readings at or above the hot limit, and no grain that was dried. Grain that left the fridge warm by its air is
//! judged no milder than the walk says, which leaves out what it brings along, and nothing more is done with it. The
//! fridge's logger measures air in every other history and grain in the others. The usual run is short; with `DRAFF_LONG`
//! set one history has 2,000 acts:
//!
//! ```text
//! DRAFF_LONG=1 cargo test --release --test draff -- two_thousand
//! ```

mod acts;
mod clock;
mod handling;
mod layer;
mod model;

use crate::kills::Dice;
use clock::{FREEZER, FRIDGE, Judged, Minute, PLACES, Verdict};
use draffbook::commands;
use draffbook::context::Surroundings;
use draffbook::ledger::{Book, LogFilter};
use draffbook::quantity::{Instant, Zone};
use model::{Done, Entry, Lot};
use std::ffi::OsString;
use std::path::PathBuf;

/// Saturday 10 October 2026, 08:00 UTC, two weeks before the clocks go back.
const BEGIN: Minute = 1_791_619_200 / 60;

struct Bakery {
    folder: tempfile::TempDir,
    book: PathBuf,
    now: Minute,
    dice: Dice,
    lots: Vec<Lot>,
    entries: Vec<Entry>,
    air: Vec<(Minute, i32)>,
    of_air: bool,
    /// What was done, newest last, for whoever reads a failure.
    told: Vec<String>,
    last_entry: i64,
}

fn instant(minute: Minute) -> Instant {
    Instant::from_timestamp(minute * 60, 0).unwrap()
}

fn written(minute: Minute) -> String {
    instant(minute).to_rfc3339()
}

impl Bakery {
    fn new(seed: u64) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut bakery = Self {
            book: folder.path().join("book.draff"),
            folder,
            now: BEGIN,
            dice: Dice(seed),
            lots: Vec::new(),
            entries: Vec::new(),
            air: Vec::new(),
            of_air: seed % 2 == 1,
            told: vec![format!("seed {seed}")],
            last_entry: 0,
        };
        bakery.expect(true, "new-book --zone Europe/Dublin");
        if !bakery.of_air {
            bakery.expect(true, "place change fridge --probe-in grain");
        }
        bakery.last_entry = bakery.newest(1).last().unwrap().0;
        bakery
    }

    fn run_at(&self, now: Minute, words: &str) -> (u8, String) {
        let surroundings = Surroundings {
            clock: instant(now),
            now: None,
            book: Some(self.book.clone()),
            usual_book: None,
            zone: || (Zone::named("Europe/Dublin").unwrap(), None),
        };
        let mut line: Vec<OsString> = vec!["draff".into(), "--json".into()];
        line.extend(shlex::split(words).unwrap().into_iter().map(OsString::from));
        let (mut answer, mut talk) = (Vec::new(), Vec::new());
        let code = commands::run(line, &surroundings, &mut answer, &mut talk);
        let said = if code == 0 { answer } else { talk };
        (code, String::from_utf8(said).unwrap())
    }

    /// Runs an act that the model takes or refuses; the book must see it alike.
    fn expect(&mut self, allowed: bool, words: &str) -> Option<serde_json::Value> {
        self.told.push(format!("{} {words}", written(self.now)));
        let (code, said) = self.run_at(self.now, words);
        // A line that names a lot twice is no act at all.
        let is_typed_wrong = !allowed && said.contains("named twice");
        let expected = u8::from(!allowed) + u8::from(is_typed_wrong);
        assert_eq!(code, expected, "{}: {said}", self.story());
        allowed.then(|| serde_json::from_str(&said).unwrap_or_default())
    }

    /// The last acts.
    fn story(&self) -> String {
        let from = self.told.len().saturating_sub(40);
        format!("{}\n…\n{}\n", self.told[0], self.told[from..].join("\n"))
    }

    /// Number and kind of the newest entries.
    fn newest(&self, most: u32) -> Vec<(i64, &'static str)> {
        let book = Book::open(&self.book, instant(self.now)).unwrap();
        let last = Some(most);
        let entries = book
            .view()
            .log(&LogFilter {
                last,
                ..LogFilter::default()
            })
            .unwrap();
        entries
            .iter()
            .map(|entry| (entry.entry, entry.kind.as_str()))
            .collect()
    }

    /// Writes into the model what an act put into the book, in the order of its entries.
    fn note(&mut self, done: Vec<(Minute, Done)>) {
        let newest: Vec<_> = self
            .newest(8)
            .into_iter()
            .filter(|(entry, _)| *entry > self.last_entry)
            .collect();
        let kinds: Vec<&str> = newest.iter().map(|(_, kind)| *kind).collect();
        let wanted: Vec<&str> = done.iter().map(|(_, done)| done.kind()).collect();
        let wanted = wanted
            .into_iter()
            .zip(&kinds)
            .map(|(wanted, found)| match *found {
                "discard" if wanted == "use" => "discard",
                _ => wanted,
            });
        // A join has one entry for each lot that went in.
        let joined = kinds.iter().all(|kind| *kind == "join");
        assert!(
            joined || kinds == wanted.collect::<Vec<_>>(),
            "{kinds:?} {}",
            self.story()
        );
        for ((number, _), (at, done)) in newest.iter().zip(done) {
            self.entries.push(Entry {
                number: *number,
                at,
                done,
                struck: false,
            });
        }
        self.last_entry = newest.last().unwrap().0;
        self.fold();
    }

    fn made(&mut self, code: String, like: usize) -> usize {
        let lot = Lot {
            code,
            left: 0,
            ..self.lots[like].clone()
        };
        self.lots.push(lot);
        self.lots.len() - 1
    }

    fn below(&mut self, end: i64) -> i64 {
        self.dice.below(end as u64) as i64
    }

    fn one_in(&mut self, many: i64) -> bool {
        self.below(many) == 0
    }

    /// One of the newest lots on hand; once in a while one of which nothing is left.
    fn pick(&mut self) -> Option<usize> {
        if self.lots.is_empty() {
            return None;
        }
        if self.one_in(20) {
            return Some(self.below(self.lots.len() as i64) as usize);
        }
        let held: Vec<usize> = (0..self.lots.len())
            .rev()
            .filter(|lot| self.lots[*lot].left > 0)
            .take(12)
            .filter(|lot| self.is_walked_whole(*lot))
            .collect();
        (!held.is_empty()).then(|| held[self.below(held.len() as i64) as usize])
    }

    /// A part of what is left, once in a while all of it or more than it.
    fn share(&mut self, lot: usize) -> i64 {
        let thousandths = match self.below(8) {
            0 => 1000,
            1 => 1001 + self.below(300),
            _ => 1 + self.below(600),
        };
        (self.lots[lot].left * thousandths / 1000).max(1)
    }

    fn place(&mut self) -> usize {
        // Mostly where grain belongs.
        match self.below(8) {
            0..4 => FRIDGE,
            4..6 => FREEZER,
            6 => 2,
            _ => 3,
        }
    }

    /// Stock by lot and place is the model's, to the milligram.
    fn compare_stock(&self) {
        let book = Book::open(&self.book, instant(self.now)).unwrap();
        let mut on_hand: Vec<(String, i64, String)> = book
            .view()
            .on_hand(instant(self.now))
            .unwrap()
            .into_iter()
            .map(|held| (held.lot.code.to_string(), held.wet.get(), held.place))
            .collect();
        on_hand.sort();
        let held = self.lots.iter().filter(|lot| lot.left > 0);
        let mut wanted: Vec<(String, i64, String)> = held
            .map(|lot| (lot.code.clone(), lot.left, PLACES[lot.place].0.to_owned()))
            .collect();
        wanted.sort();
        assert_eq!(on_hand, wanted, "{}", self.story());
    }

    /// Verdict, date, day and warm minutes of every lot on hand, now and later; counts the verdicts.
    fn compare_keeping(&self, seen: &mut [usize; 4]) {
        for later in [0, 125, 26 * 60, 5 * 1440] {
            let now = self.now + later;
            let (code, said) = self.run_at(now, "shelf");
            assert_eq!(code, 0, "{said}");
            let shelf: serde_json::Value = serde_json::from_str(&said).unwrap();
            for found in shelf["lots"].as_array().unwrap() {
                let lot = self
                    .lots
                    .iter()
                    .position(|lot| found["lot"] == lot.code.as_str())
                    .unwrap();
                let wanted = self.judged(lot, now);
                seen[wanted.verdict as usize] += 1;
                let until = found["keep_until"]
                    .as_str()
                    .map(|until| until.parse::<Instant>().unwrap().timestamp());
                let verdict = match found["verdict"].as_str().unwrap() {
                    "good" => Verdict::Good,
                    "use-first" => Verdict::UseFirst,
                    "unknown" => Verdict::Unknown,
                    _ => Verdict::Past,
                };
                let (day, warm) = (
                    found["day"].as_i64(),
                    found["warm_minutes"].as_i64().unwrap(),
                );
                let found = Judged {
                    verdict,
                    until,
                    day,
                    warm,
                };
                if !self.is_walked_whole(lot) {
                    let is_no_milder = found.verdict >= wanted.verdict && found.warm >= wanted.warm;
                    assert!(is_no_milder, "{found:?} {wanted:?} {}", self.story());
                    continue;
                }
                assert_eq!(
                    found,
                    wanted,
                    "{} {} later than the last act by {later} min, {:?}\n{}",
                    self.lots[lot].code,
                    written(now),
                    self.lots[lot].pasts,
                    self.story()
                );
            }
        }
    }
}

/// A history of so many acts; gives how often each verdict was compared.
fn history(seed: u64, acts: usize) -> [usize; 4] {
    let mut bakery = Bakery::new(seed);
    let mut seen = [0; 4];
    for act in 1..=acts {
        bakery.act();
        bakery.compare_stock();
        if act % 50 == 0 || act == acts {
            bakery.compare_keeping(&mut seen);
        }
    }
    let book = Book::open(&bakery.book, instant(bakery.now)).unwrap();
    assert_eq!(book.audit().unwrap().damage, Vec::<String>::new());
    seen
}

#[test]
fn a_long_history_has_the_stock_dates_and_verdicts_of_the_model() {
    let runs: &[(u64, usize)] = match std::env::var_os("DRAFF_LONG") {
        Some(_) => &[(1, 2_000), (2, 2_000)],
        None => &[(1, 200), (2, 200), (3, 200)],
    };
    for (seed, acts) in runs {
        let seen = history(*seed, *acts);
        assert!(
            seen.iter().all(|times| *times > 20),
            "seed {seed}: some verdict is hardly met: {seen:?}"
        );
    }
}
