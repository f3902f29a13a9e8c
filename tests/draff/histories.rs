//! Random histories against a simple model: milligrams are conserved at every step, and what is kept is
//! what the entries add up to.
//!
//! The acts run in this process through the same `commands::run` that the program calls, on a real book.

use draffbook::commands;
use draffbook::context::Surroundings;
use draffbook::ledger::{Book, LogFilter, UsageFilter};
use draffbook::quantity::{Instant, Milligrams, Zone};
use proptest::prelude::*;
use proptest::sample::Index;
use std::ffi::OsString;
use std::path::PathBuf;

/// One act, with the lot or entry it is about left open until it is done.
#[derive(Debug, Clone)]
pub enum Act {
    Pickup { wet: String },
    MoveAll { lot: Index, to: usize },
    MovePart { lot: Index, share: u32, to: usize },
    Use { lot: Index, share: u32 },
    Discard { lot: Index, share: Option<u32> },
    Probe { lot: Index, celsius: u32 },
    Strike { entry: Index },
}

const PLACES: [&str; 4] = ["fridge", "freezer", "counter", "dry-store"];

/// Masses as people type them, from one milligram to tonnes, metric and avoirdupois.
fn mass() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("1mg".to_owned()),
        (1u32..100_000).prop_map(|milligrams| format!("{milligrams}mg")),
        (1u32..60_000).prop_map(|grams| format!("{}.{:03} kg", grams / 1000, grams % 1000)),
        (1u32..200).prop_map(|pounds| format!("{pounds}lb")),
        (1u32..40, 1u32..16).prop_map(|(pounds, ounces)| format!("{pounds}lb{ounces}oz")),
        (1u32..900).prop_map(|ounces| format!("{ounces} oz")),
        Just("2t".to_owned()),
    ]
}

pub fn act() -> impl Strategy<Value = Act> {
    let lot = || any::<Index>();
    // Shares of what is left, in parts per thousand; above a thousand is more than there is.
    let share = || prop_oneof![4 => 0u32..1000, 1 => Just(1000u32), 1 => 1001u32..1500];
    prop_oneof![
        3 => mass().prop_map(|wet| Act::Pickup { wet }),
        2 => (lot(), 0..PLACES.len()).prop_map(|(lot, to)| Act::MoveAll { lot, to }),
        3 => (lot(), share(), 0..PLACES.len()).prop_map(|(lot, share, to)| Act::MovePart { lot, share, to }),
        4 => (lot(), share()).prop_map(|(lot, share)| Act::Use { lot, share }),
        2 => (lot(), proptest::option::of(share())).prop_map(|(lot, share)| Act::Discard { lot, share }),
        1 => (lot(), 0u32..5).prop_map(|(lot, celsius)| Act::Probe { lot, celsius }),
        3 => any::<Index>().prop_map(|entry| Act::Strike { entry }),
    ]
}

/// A lot as the model knows it.
#[derive(Debug, Clone)]
struct Lot {
    code: String,
    left: i64,
    place: usize,
    /// Whether a thermometer was held into it: a part with a reading cannot be unparted.
    read: bool,
}

/// An entry that changes stock, as the model knows it.
#[derive(Debug, Clone)]
enum Done {
    Came {
        lot: usize,
        wet: i64,
    },
    Moved {
        lot: usize,
        to: usize,
    },
    Parted {
        from: usize,
        part: usize,
        wet: i64,
        to: usize,
    },
    Used {
        lot: usize,
        wet: i64,
    },
    Dropped {
        lot: usize,
        wet: i64,
    },
}

/// The bakery as simple sums.
#[derive(Default)]
struct Model {
    lots: Vec<Lot>,
    done: Vec<(i64, Done, bool)>,
}

impl Model {
    fn in_force(&self) -> impl Iterator<Item = &Done> {
        self.done
            .iter()
            .filter(|(_, _, struck)| !struck)
            .map(|(_, done, _)| done)
    }

    /// What came in from outside, was used and was dropped, in milligrams.
    fn totals(&self) -> (i64, i64, i64) {
        self.in_force()
            .fold((0, 0, 0), |(came, used, dropped), done| match done {
                Done::Came { wet, .. } => (came + wet, used, dropped),
                Done::Used { wet, .. } => (came, used + wet, dropped),
                Done::Dropped { wet, .. } => (came, used, dropped + wet),
                Done::Moved { .. } | Done::Parted { .. } => (came, used, dropped),
            })
    }

    /// Whether other entries in force stand on the one that brought this lot.
    fn stood_on(&self, lot: usize) -> bool {
        self.in_force().any(|done| match done {
            Done::Moved { lot: of, .. }
            | Done::Used { lot: of, .. }
            | Done::Dropped { lot: of, .. }
            | Done::Parted { from: of, .. } => *of == lot,
            Done::Came { .. } => false,
        })
    }

    /// Adds all entries in force up again.
    fn fold(&mut self) {
        for lot in &mut self.lots {
            lot.left = 0;
        }
        let done: Vec<Done> = self.in_force().cloned().collect();
        for done in done {
            match done {
                Done::Came { lot, wet } => {
                    self.lots[lot].left += wet;
                    self.lots[lot].place = 0;
                }
                Done::Moved { lot, to } => self.lots[lot].place = to,
                Done::Parted {
                    from,
                    part,
                    wet,
                    to,
                } => {
                    self.lots[from].left -= wet;
                    self.lots[part].left += wet;
                    self.lots[part].place = to;
                }
                Done::Used { lot, wet } | Done::Dropped { lot, wet } => self.lots[lot].left -= wet,
            }
        }
    }
}

/// A book in a folder of its own, and the model beside it.
pub struct Bakery {
    folder: tempfile::TempDir,
    book: PathBuf,
    surroundings: Surroundings,
    model: Model,
}

impl Bakery {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let book = folder.path().join("book.draff");
        let bakery = Self {
            surroundings: Surroundings {
                clock: "2026-11-20T10:00:00Z".parse().unwrap(),
                now: None,
                book: Some(book.clone()),
                usual_book: None,
                zone: || (Zone::named("Europe/Dublin").unwrap(), None),
            },
            folder,
            book,
            model: Model::default(),
        };
        assert_eq!(bakery.run("new-book --zone Europe/Dublin").0, 0);
        bakery
    }

    /// A path in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn run(&self, words: &str) -> (u8, String) {
        let mut line: Vec<OsString> = vec!["draff".into(), "--json".into()];
        line.extend(shlex::split(words).unwrap().into_iter().map(OsString::from));
        let (mut answer, mut talk) = (Vec::new(), Vec::new());
        let code = commands::run(line, &self.surroundings, &mut answer, &mut talk);
        let said = if code == 0 { answer } else { talk };
        (code, String::from_utf8(said).unwrap())
    }

    fn open(&self) -> Book {
        Book::open(&self.book, self.now()).unwrap()
    }

    fn now(&self) -> Instant {
        self.surroundings.clock
    }

    /// The number of the last entry of this kind.
    fn last_entry(&self, kind: &str) -> i64 {
        let filter = LogFilter {
            lot: None,
            last: Some(4),
            ..LogFilter::default()
        };
        let entries = self.open().view().log(&filter).unwrap();
        entries
            .iter()
            .rfind(|entry| entry.kind == kind)
            .unwrap()
            .entry
    }

    fn note(&mut self, done: Done) {
        let entry = self.last_entry(match done {
            Done::Came { .. } => "pickup",
            Done::Moved { .. } => "move",
            Done::Parted { .. } => "part",
            Done::Used { .. } => "use",
            Done::Dropped { .. } => "discard",
        });
        self.model.done.push((entry, done, false));
        self.model.fold();
    }

    /// Does one act in the book and in the model; both take it, or both refuse it.
    pub fn act(&mut self, act: &Act) {
        // Time goes on, so that entries have an order.
        self.surroundings.clock += chrono::Duration::seconds(1);
        let model = &self.model;
        let pick = |lot: &Index| (!model.lots.is_empty()).then(|| lot.index(model.lots.len()));
        let part_of = |lot: usize, share: u32| {
            let left = model.lots[lot].left;
            (left * i64::from(share) / 1000).max(1)
        };
        match act {
            Act::Pickup { wet } => {
                let (code, said) = self.run(&format!(
                    "pickup --source \"Alder Lane\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet \"{wet}\""
                ));
                assert_eq!(code, 0, "{said}");
                let lot = self.model.lots.len();
                let wet = wet.parse::<Milligrams>().unwrap().get();
                self.model.lots.push(Lot {
                    code: code_in(&said),
                    left: 0,
                    place: 0,
                    read: false,
                });
                self.note(Done::Came { lot, wet });
            }
            Act::MoveAll { lot, to } => {
                let Some(lot) = pick(lot) else { return };
                let held = &self.model.lots[lot];
                let allowed = held.left > 0 && held.place != *to;
                let words = format!("move {} --to {}", held.code, PLACES[*to]);
                if self.done_if(allowed, &words).is_some() {
                    self.note(Done::Moved { lot, to: *to });
                }
            }
            Act::MovePart { lot, share, to } => {
                let Some(lot) = pick(lot) else { return };
                let wet = part_of(lot, *share);
                let held = &self.model.lots[lot];
                // All that is left is no part: the lot itself moves.
                let all = wet == held.left;
                let allowed = wet <= held.left && (!all || held.place != *to);
                let words = format!("move {} --wet {wet}mg --to {}", held.code, PLACES[*to]);
                if let Some(said) = self.done_if(allowed, &words) {
                    if all {
                        self.note(Done::Moved { lot, to: *to });
                    } else {
                        let part = self.model.lots.len();
                        self.model.lots.push(Lot {
                            code: code_in(&said),
                            left: 0,
                            place: *to,
                            read: false,
                        });
                        self.note(Done::Parted {
                            from: lot,
                            part,
                            wet,
                            to: *to,
                        });
                    }
                }
            }
            Act::Use { lot, share } => {
                let Some(lot) = pick(lot) else { return };
                let wet = part_of(lot, *share);
                let held = &self.model.lots[lot];
                let words = format!("use {} --wet {wet}mg --for bread", held.code);
                if self.done_if(wet <= held.left, &words).is_some() {
                    self.note(Done::Used { lot, wet });
                }
            }
            Act::Discard { lot, share } => {
                let Some(lot) = pick(lot) else { return };
                let held = &self.model.lots[lot];
                let wet = share.map_or(held.left, |share| part_of(lot, share));
                let mass = share.map_or(String::new(), |_| format!("--wet {wet}mg"));
                let words = format!("discard {} {mass} --reason dropped", held.code);
                if self
                    .done_if(held.left > 0 && wet <= held.left, &words)
                    .is_some()
                {
                    self.note(Done::Dropped { lot, wet });
                }
            }
            Act::Probe { lot, celsius } => {
                let Some(lot) = pick(lot) else { return };
                let held = &self.model.lots[lot];
                if held.left > 0 {
                    let words = format!("probe {} {celsius}C", held.code);
                    assert!(self.done_if(true, &words).is_some());
                    self.model.lots[lot].read = true;
                }
            }
            Act::Strike { entry } => {
                if model.done.is_empty() {
                    return;
                }
                let chosen = entry.index(model.done.len());
                let (number, done, struck) = model.done[chosen].clone();
                let stood_on = match done {
                    Done::Came { lot, .. } => model.stood_on(lot),
                    Done::Parted { part, .. } => model.stood_on(part) || model.lots[part].read,
                    _ => false,
                };
                let allowed = !struck && !stood_on;
                if self
                    .done_if(allowed, &format!("strike {number} --reason wrong"))
                    .is_some()
                {
                    self.model.done[chosen].2 = true;
                    self.model.fold();
                }
            }
        }
    }

    /// Runs an act that the model allows or refuses; the book must see it alike.
    fn done_if(&self, allowed: bool, words: &str) -> Option<String> {
        let before = (!allowed).then(|| std::fs::read(&self.book).unwrap());
        let (code, said) = self.run(words);
        assert_eq!(code, u8::from(!allowed), "{words}: {said}");
        if let Some(before) = before {
            assert!(
                before == std::fs::read(&self.book).unwrap(),
                "a refusal wrote: {words}"
            );
        }
        allowed.then_some(said)
    }

    /// Stock by lot and place is the model's, and nothing is lost or made, to the milligram.
    fn compare(&self) {
        let book = self.open();
        let view = book.view();
        let mut on_hand: Vec<(String, i64, String)> = view
            .on_hand(self.now())
            .unwrap()
            .into_iter()
            .map(|held| (held.lot.code.to_string(), held.wet.get(), held.place))
            .collect();
        on_hand.sort();
        let mut wanted: Vec<(String, i64, String)> = self
            .model
            .lots
            .iter()
            .filter(|lot| lot.left > 0)
            .map(|lot| (lot.code.clone(), lot.left, PLACES[lot.place].to_owned()))
            .collect();
        wanted.sort();
        assert_eq!(on_hand, wanted);

        let (came, used, dropped) = self.model.totals();
        let stock: i64 = on_hand.iter().map(|(_, wet, _)| wet).sum();
        assert_eq!(came, used + dropped + stock);
        let taken: i64 = view
            .usage(&UsageFilter::default())
            .unwrap()
            .iter()
            .map(|line| line.wet.get())
            .sum();
        assert_eq!(taken, used + dropped);
    }
}

fn code_in(answer: &str) -> String {
    let answer: serde_json::Value = serde_json::from_str(answer).unwrap();
    answer["lot"].as_str().unwrap().to_owned()
}

proptest! {
    // Each case is some fifty commands on a real file with every commit synchronised.
    #![proptest_config(ProptestConfig { cases: 12, max_shrink_iters: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_milligram_is_lost_or_made(acts in proptest::collection::vec(act(), 30..60)) {
        let mut bakery = Bakery::new();
        for act in &acts {
            bakery.act(act);
            bakery.compare();
        }
        let audit = bakery.open().audit().unwrap();
        prop_assert_eq!(audit.damage, Vec::<String>::new());
    }
}
