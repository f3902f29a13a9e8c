//! Random lots that are portioned, treated and joined: what is made of them is never better than they were,
//! now or at any later time, and joined grain is as bad as the worst that went in.

use draffbook::commands;
use draffbook::context::Surroundings;
use draffbook::quantity::{Instant, Zone};
use proptest::prelude::*;
use std::ffi::OsString;

/// How one lot lived until now. Hours are before now.
#[derive(Debug, Clone)]
struct Life {
    mash_out: Option<u32>,
    cooled: Option<u32>,
    readings: Vec<(u32, u32)>,
    warm: Option<(u32, u32)>,
    frozen: bool,
}

#[derive(Debug, Clone, Copy)]
enum Made {
    Portion,
    Press { minutes: Option<u32>, celsius: u32 },
    Blend,
    Join,
}

fn life() -> impl Strategy<Value = Life> {
    // Mostly grain that was kept well, or nothing could be joined.
    let celsius = prop_oneof![6 => 1u32..5, 1 => 6u32..70];
    (
        proptest::option::weighted(0.95, 26u32..150),
        proptest::option::weighted(0.95, 1u32..5),
        proptest::collection::vec((1u32..15, celsius), 0..3),
        proptest::option::weighted(0.4, (10u32..20, 1u32..3)),
        proptest::bool::weighted(0.15),
    )
        .prop_map(|(mash_out, cooled, readings, warm, frozen)| Life {
            mash_out,
            cooled,
            readings,
            warm,
            frozen,
        })
}

fn made() -> impl Strategy<Value = Made> {
    prop_oneof![
        1 => Just(Made::Portion),
        2 => (proptest::option::of(1u32..400), 1u32..70)
            .prop_map(|(minutes, celsius)| Made::Press { minutes, celsius }),
        1 => Just(Made::Blend),
        3 => Just(Made::Join),
    ]
}

struct Bakery {
    _folder: tempfile::TempDir,
    surroundings: Surroundings,
}

const NOW: &str = "2026-11-20T10:00:00Z";

impl Bakery {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        Self {
            surroundings: Surroundings {
                clock: NOW.parse().unwrap(),
                now: None,
                book: Some(folder.path().join("book.draff")),
                usual_book: None,
                zone: || (Zone::named("Europe/Dublin").unwrap(), None),
            },
            _folder: folder,
        }
    }

    fn run(&self, words: &str) -> (u8, serde_json::Value) {
        let mut line: Vec<OsString> = vec!["draff".into(), "--json".into()];
        line.extend(shlex::split(words).unwrap().into_iter().map(OsString::from));
        let (mut answer, mut talk) = (Vec::new(), Vec::new());
        let code = commands::run(line, &self.surroundings, &mut answer, &mut talk);
        let said = serde_json::from_slice(&answer).unwrap_or_default();
        (code, said)
    }

    fn now(&self) -> Instant {
        self.surroundings.clock
    }

    fn before(&self, hours: u32) -> String {
        (self.now() - chrono::Duration::hours(i64::from(hours))).to_rfc3339()
    }

    /// Books a lot in and lets it live; what the program refuses is left out.
    fn lot(&self, life: &Life) -> String {
        let old = life.mash_out.unwrap_or(60);
        let brewed = &self.before(old)[..10];
        let mash_out = life.mash_out.map_or(String::new(), |hours| {
            format!("--mash-out {}", self.before(hours))
        });
        let cooled = life.cooled.map_or(String::new(), |hours| {
            format!("--cooled {}", self.before(old - hours))
        });
        let collected = self.before(old - 5);
        let (code, said) = self.run(&format!(
            "pickup --source A --brewed {brewed} {mash_out} {cooled} --wet 10kg --collected {collected}"
        ));
        assert_eq!(code, 0);
        let lot = said["lot"].as_str().unwrap().to_owned();
        for (hours, celsius) in &life.readings {
            self.run(&format!(
                "probe {lot} {celsius}C --at {}",
                self.before(*hours)
            ));
        }
        if let Some((out, hours)) = life.warm {
            self.run(&format!(
                "move {lot} --to counter --at {}",
                self.before(out)
            ));
            let back = self.before(out - hours);
            self.run(&format!("move {lot} --to fridge --at {back}"));
        }
        if life.frozen {
            self.run(&format!("move {lot} --to freezer --at {}", self.before(2)));
        }
        lot
    }

    /// Verdict, as a rank that gets worse, and date of a lot over the days to come.
    fn future(&self, lot: &str) -> Vec<(u8, String)> {
        [0i64, 1, 3, 5, 20, 50, 100, 200]
            .iter()
            .map(|hours| {
                let later = (self.now() + chrono::Duration::hours(*hours)).to_rfc3339();
                let (code, shelf) = self.run(&format!("shelf --now {later}"));
                assert_eq!(code, 0);
                let found = shelf["lots"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .find(|one| one["lot"] == lot)
                    .unwrap()
                    .clone();
                let rank = ["good", "use-first", "unknown", "past"]
                    .iter()
                    .position(|word| found["verdict"] == *word)
                    .unwrap();
                let until = found["keep_until"].as_str().unwrap_or("never").to_owned();
                (rank as u8, until)
            })
            .collect()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, max_shrink_iters: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_made_is_never_better(one in life(), other in life(), made in made()) {
        let bakery = Bakery::new();
        let lots = match made {
            Made::Join => vec![bakery.lot(&one), bakery.lot(&other)],
            _ => vec![bakery.lot(&one)],
        };
        let before: Vec<Vec<(u8, String)>> = lots.iter().map(|lot| bakery.future(lot)).collect();
        let first = &lots[0];
        let words = match made {
            Made::Portion => format!("portion {first} --into 1x1kg"),
            Made::Press { minutes: Some(minutes), celsius } => format!(
                "treat {first} --step press --wet-in 2kg --wet-out 1.4kg --minutes {minutes} --temp {celsius}C"
            ),
            Made::Press { minutes: None, .. } => {
                format!("treat {first} --step press --wet-in 2kg --wet-out 1.4kg")
            }
            Made::Blend => {
                format!("treat {first} --step blend --wet-in 2kg --wet-out 2.3kg --water-added 300g")
            }
            // Into the place of the first: the other may thaw there or go into the cold.
            Made::Join => format!("join {} {} --to fridge", lots[0], lots[1]),
        };
        let (code, said) = bakery.run(&words);
        let usable = before.iter().all(|lot| lot[0].0 <= 1);
        if let Made::Join = made {
            prop_assert_eq!(code == 0, usable, "{:?}: {:?}", words, before);
        }
        if code == 0 {
            let made_of = said["lots"][0]["lot"].as_str().or(said["lot"].as_str());
            let after = bakery.future(made_of.unwrap());
            // Grain out of the freezer has another future than grain that stays in it.
            let stays = !matches!(made, Made::Join) || !(one.frozen || other.frozen);
            for lot in &before {
                for (index, (was, is)) in lot.iter().zip(&after).enumerate() {
                    if index == 0 || stays {
                        prop_assert!(is.0 >= was.0, "{words}: {lot:?} became {after:?}");
                    }
                }
            }
        }
    }
}
