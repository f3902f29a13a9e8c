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
    Pickup {
        wet: String,
    },
    MoveAll {
        lot: Index,
        to: usize,
    },
    MovePart {
        lot: Index,
        share: u32,
        to: usize,
    },
    Use {
        lot: Index,
        share: u32,
    },
    Discard {
        lot: Index,
        share: Option<u32>,
    },
    Probe {
        lot: Index,
        celsius: u32,
    },
    Blend {
        lot: Index,
        share: u32,
        water: u32,
        over: bool,
    },
    Portion {
        lot: Index,
        share: u32,
        to: usize,
    },
    Join {
        lots: [Index; 2],
        to: usize,
    },
    Count {
        lot: Index,
        share: u32,
    },
    Strike {
        entry: Index,
    },
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
        3 => (lot(), share(), 0u32..500, proptest::bool::weighted(0.1))
            .prop_map(|(lot, share, water, over)| Act::Blend { lot, share, water, over }),
        1 => (lot(), 0u32..600, 0..PLACES.len()).prop_map(|(lot, share, to)| Act::Portion { lot, share, to }),
        2 => ([lot(), lot()], 0..PLACES.len()).prop_map(|(lots, to)| Act::Join { lots, to }),
        2 => (lot(), 900u32..1012).prop_map(|(lot, share)| Act::Count { lot, share }),
        3 => any::<Index>().prop_map(|entry| Act::Strike { entry }),
    ]
}

/// A lot as the model knows it.
#[derive(Debug, Clone)]
struct Lot {
    code: String,
    left: i64,
    place: usize,
    blended: bool,
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
    Treated {
        from: usize,
        product: usize,
        wet: i64,
        out: i64,
        to: usize,
    },
    Joined {
        parts: [(usize, i64); 2],
        into: usize,
        to: usize,
    },
    Counted {
        lot: usize,
        less: i64,
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

    /// What came in from outside, and what was used, dropped, lost in treatments and found missing, in
    /// milligrams.
    fn totals(&self) -> (i64, i64) {
        self.in_force()
            .fold((0, 0), |(came, gone), done| match done {
                Done::Came { wet, .. } => (came + wet, gone),
                Done::Used { wet, .. } | Done::Dropped { wet, .. } => (came, gone + wet),
                Done::Treated { wet, out, .. } => (came, gone + wet - out),
                Done::Counted { less, .. } => (came, gone + less),
                Done::Moved { .. } | Done::Parted { .. } | Done::Joined { .. } => (came, gone),
            })
    }

    /// Whether other entries in force stand on the one that brought this lot.
    fn stood_on(&self, lot: usize) -> bool {
        self.in_force().any(|done| match done {
            Done::Moved { lot: of, .. }
            | Done::Used { lot: of, .. }
            | Done::Dropped { lot: of, .. }
            | Done::Counted { lot: of, .. }
            | Done::Treated { from: of, .. }
            | Done::Parted { from: of, .. } => *of == lot,
            Done::Joined { parts, .. } => parts.iter().any(|(of, _)| *of == lot),
            Done::Came { .. } => false,
        })
    }

    /// What came into a lot when it came to be, and how much more counts have found since.
    fn came_and_found(&self, lot: usize) -> (i64, i64) {
        self.in_force()
            .fold((0, 0), |(came, found), done| match done {
                Done::Came { lot: of, wet } if *of == lot => (came + wet, found),
                Done::Parted { part, wet, .. } if *part == lot => (came + wet, found),
                Done::Treated { product, out, .. } if *product == lot => (came + out, found),
                Done::Joined { parts, into, .. } if *into == lot => {
                    (came + parts[0].1 + parts[1].1, found)
                }
                Done::Counted { lot: of, less } if *of == lot => (came, found - less.min(&0)),
                _ => (came, found),
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
                Done::Treated {
                    from,
                    product,
                    wet,
                    out,
                    to,
                } => {
                    self.lots[from].left -= wet;
                    self.lots[product].left += out;
                    self.lots[product].place = to;
                }
                Done::Joined { parts, into, to } => {
                    for (lot, wet) in parts {
                        self.lots[lot].left -= wet;
                        self.lots[into].left += wet;
                    }
                    self.lots[into].place = to;
                }
                Done::Counted { lot, less } => self.lots[lot].left -= less,
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
            .rfind(|entry| entry.kind.as_str() == kind)
            .unwrap()
            .entry
    }

    /// A lot that was made, of this code.
    fn made(&mut self, code: String, place: usize, blended: bool) -> usize {
        self.model.lots.push(Lot {
            code,
            left: 0,
            place,
            blended,
            read: false,
        });
        self.model.lots.len() - 1
    }

    fn note(&mut self, done: Done) {
        let entry = self.last_entry(match done {
            Done::Came { .. } => "pickup",
            Done::Moved { .. } => "move",
            Done::Parted { .. } => "part",
            Done::Used { .. } => "use",
            Done::Dropped { .. } => "discard",
            Done::Treated { .. } => "treat",
            Done::Joined { .. } => "join",
            Done::Counted { .. } => "count",
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
                let wet = wet.parse::<Milligrams>().unwrap().get();
                let lot = self.made(code_in(&said), 0, false);
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
                let held = self.model.lots[lot].clone();
                // All that is left is no part: the lot itself moves.
                let all = wet == held.left;
                let allowed = wet <= held.left && (!all || held.place != *to);
                let words = format!("move {} --wet {wet}mg --to {}", held.code, PLACES[*to]);
                if let Some(said) = self.done_if(allowed, &words) {
                    if all {
                        self.note(Done::Moved { lot, to: *to });
                    } else {
                        let part = self.made(code_in(&said), *to, held.blended);
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
            Act::Blend {
                lot,
                share,
                water,
                over,
            } => {
                let Some(lot) = pick(lot) else { return };
                let wet = part_of(lot, *share);
                let held = self.model.lots[lot].clone();
                let water = i64::from(*water);
                let out = wet + water + i64::from(*over);
                let added = if water > 0 {
                    format!("--water-added {water}mg")
                } else {
                    String::new()
                };
                let words = format!(
                    "treat {} --step blend --wet-in {wet}mg --wet-out {out}mg {added}",
                    held.code
                );
                let allowed = wet <= held.left && !over && PLACES[held.place] != "freezer";
                if let Some(said) = self.done_if(allowed, &words) {
                    let product = self.made(code_in(&said), held.place, true);
                    self.note(Done::Treated {
                        from: lot,
                        product,
                        wet,
                        out,
                        to: held.place,
                    });
                }
            }
            Act::Portion { lot, share, to } => {
                let Some(lot) = pick(lot) else { return };
                let wet = part_of(lot, *share);
                let held = self.model.lots[lot].clone();
                let words = format!(
                    "portion {} --into 2x{wet}mg --to {}",
                    held.code, PLACES[*to]
                );
                if let Some(said) = self.done_if(2 * wet <= held.left, &words) {
                    let said: serde_json::Value = serde_json::from_str(&said).unwrap();
                    let last = self.last_entry("part");
                    for (index, portion) in said["lots"].as_array().unwrap().iter().enumerate() {
                        let code = portion["lot"].as_str().unwrap().to_owned();
                        let part = self.made(code, *to, held.blended);
                        let parted = Done::Parted {
                            from: lot,
                            part,
                            wet,
                            to: *to,
                        };
                        self.model
                            .done
                            .push((last - 1 + index as i64, parted, false));
                    }
                    self.model.fold();
                }
            }
            Act::Join { lots, to } => {
                let (Some(one), Some(other)) = (pick(&lots[0]), pick(&lots[1])) else {
                    return;
                };
                let (first, second) =
                    (self.model.lots[one].clone(), self.model.lots[other].clone());
                let words = format!("join {} {} --to {}", first.code, second.code, PLACES[*to]);
                let allowed = one != other
                    && first.left > 0
                    && second.left > 0
                    && first.blended == second.blended;
                if let Some(said) = self.done_if(allowed, &words) {
                    let into = self.made(code_in(&said), *to, first.blended);
                    self.note(Done::Joined {
                        parts: [(one, first.left), (other, second.left)],
                        into,
                        to: *to,
                    });
                }
            }
            Act::Count { lot, share } => {
                let Some(lot) = pick(lot) else { return };
                let held = self.model.lots[lot].clone();
                let found = (held.left * i64::from(*share) / 1000).max(1);
                let less = held.left - found;
                let (came, more) = self.model.came_and_found(lot);
                let allowed = held.left > 0 && (less >= 0 || more - less <= came / 50);
                let words = format!("count {} --wet {found}mg", held.code);
                if self.done_if(allowed, &words).is_some() {
                    self.note(Done::Counted { lot, less });
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
                    Done::Parted { part: made, .. }
                    | Done::Treated { product: made, .. }
                    | Done::Joined { into: made, .. } => {
                        model.stood_on(made) || model.lots[made].read
                    }
                    // What a count found too much may have been taken since.
                    Done::Counted { lot, less } => model.lots[lot].left + less < 0,
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
        // A line that names a lot twice is no act at all.
        let is_typed_wrong = !allowed && said.contains("named twice");
        assert_eq!(
            code,
            u8::from(!allowed) + u8::from(is_typed_wrong),
            "{words}: {said}"
        );
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

        let (came, gone) = self.model.totals();
        let stock: i64 = on_hand.iter().map(|(_, wet, _)| wet).sum();
        assert_eq!(came, gone + stock);
        let taken: i64 = view
            .usage(&UsageFilter::default(), None, usize::MAX)
            .unwrap()
            .records
            .iter()
            .map(|line| line.wet.get())
            .sum();
        assert_eq!(taken, gone);
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
