//! Random books are planned and accepted, and the plan is then lived through the program, day by day: every freezing,
//! thawing, drying, sheet and `bake done` must be accepted, and the grain that was promised must be there.
//!
//! The usual run lives a few books, with `DRAFF_LONG` set 200. What is in them comes from a fixed number.

use crate::env::{Kitchen, LOAF};
use crate::kills::Dice;
use crate::plan::{grams, list, text};
use chrono::{DateTime, Duration, Utc};
use serde_json::Value;
use std::collections::BTreeMap;

/// Friday 20 November 2026 in Dublin, where winter time is UTC.
const NOW: &str = "2026-11-20T10:00:00Z";

fn books() -> u64 {
    if std::env::var_os("DRAFF_LONG").is_some() {
        200
    } else {
        12
    }
}

fn moment(text: &str) -> DateTime<Utc> {
    DateTime::parse_from_rfc3339(text).unwrap().to_utc()
}

/// A week that is lived.
struct Week {
    kitchen: Kitchen,
    now: DateTime<Utc>,
    /// The lot that holds what was frozen of a lot.
    frozen: BTreeMap<String, String>,
    /// Which book it is, for what is said of a failure.
    seed: u64,
}

/// What happens next: something to do with grain, or a bake that is mixed.
enum Step<'a> {
    Work(&'a Value),
    Bake(&'a Value),
}

impl Week {
    /// Two to five lots of the last days and one to six bakes of the next ten.
    fn new(seed: u64) -> Self {
        let mut dice = Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(1));
        let mut kitchen = Kitchen::new();
        kitchen.file("loaf.toml", LOAF);
        kitchen.at("2026-11-16T06:00:00Z");
        kitchen.ok("formula add loaf.toml");
        if dice.below(3) == 0 {
            let takes = 1 + dice.below(8);
            kitchen.ok(&format!("place change freezer --capacity {takes}kg"));
        }
        if dice.below(3) == 0 {
            kitchen.ok(&format!("settings dryer {}kg", 1 + dice.below(4)));
        }
        for _ in 0..2 + dice.below(4) {
            let day = 16 + dice.below(5);
            kitchen.at(&format!("2026-11-{day}T09:00:00Z"));
            let wet = 1500 + dice.below(9000);
            let lot = kitchen.pickup(&format!(
                "--brewed 2026-11-{day} --mash-out 06:00 --cooled 08:00 --wet {wet}g"
            ));
            if dice.below(4) > 0 {
                let moisture = 74 + dice.below(9);
                kitchen.ok(&format!("moisture {lot} --lab {moisture}% --lab-sd 0.5%"));
            }
            if dice.below(5) == 0 {
                kitchen.ok(&format!("move {lot} freezer"));
            }
        }
        kitchen.at(NOW);
        for _ in 0..1 + dice.below(6) {
            let (day, hour) = (21 + dice.below(9), 5 + dice.below(14));
            let firm = if dice.below(3) == 0 {
                " --optional"
            } else {
                ""
            };
            kitchen.ok(&format!(
                "bake add \"small loaf\" --at \"2026-11-{day} {hour:02}:00\" mix --pieces {}{firm}",
                4 + dice.below(20)
            ));
        }
        Self {
            kitchen,
            now: moment(NOW),
            frozen: BTreeMap::new(),
            seed,
        }
    }

    /// Goes on to a moment; what should have been done before now is done now.
    fn at(&mut self, at: DateTime<Utc>) {
        self.now = self.now.max(at);
        self.kitchen.at(&self.now.to_rfc3339());
    }

    /// Does what the plan says, a little before it says so.
    fn work(&mut self, work: &Value) {
        let (lot, wet) = (text(work, "lot"), grams(work, "wet_g"));
        self.at(moment(text(work, "by")) - Duration::minutes(20));
        match text(work, "action") {
            "freeze" => {
                let frozen = self.moved(lot, wet, "freezer");
                self.frozen.insert(lot.to_owned(), frozen);
            }
            "thaw" => match self.frozen.get(lot).cloned() {
                Some(portions) => {
                    self.moved(&portions, wet, "fridge");
                }
                // What lay frozen before the plan is one block: it comes out whole, and once.
                None if self.kitchen.on_shelf(lot)["place"] == "freezer" => {
                    self.kitchen.ok(&format!("move {lot} fridge"));
                }
                None => {}
            },
            "dry" => self.dry(lot, wet),
            other => panic!("book {}: nobody knows how to {other}", self.seed),
        }
    }

    /// Moves so much of a lot; gives the lot that it is since then.
    fn moved(&self, lot: &str, wet: f64, to: &str) -> String {
        let left = grams(&self.kitchen.on_shelf(lot), "wet_g");
        // A tail that nobody would weigh stays with what is moved.
        let part = if left - wet < 1.0 {
            String::new()
        } else {
            format!(" --wet {wet}g")
        };
        let moved = self.kitchen.json(&format!("move {lot} {to}{part}"));
        text(&moved, "lot").to_owned()
    }

    /// Dries as the settings say, and shows it dry.
    fn dry(&mut self, lot: &str, wet: f64) {
        let house = self.kitchen.json("settings");
        let found = self.kitchen.on_shelf(lot);
        let dry = grams(&found, "dry_g") / grams(&found, "wet_g") * wet;
        let out = dry / (1.0 - grams(&house, "dried_to_wet_basis"));
        let made = self.kitchen.json(&format!(
            "treat {lot} --step dry --wet-in {wet}g --wet-out {out:.0}g --minutes {} --temp {}C",
            house["drying_minutes"], house["drying_c"]
        ));
        let made = text(&made, "lot").to_owned();
        self.kitchen.ok(&format!("probe {made} --aw 0.55"));
        // Of a lot that nobody had tested the weights alone say little.
        let left = grams(&house, "dried_to_wet_basis") * 100.0;
        self.kitchen
            .ok(&format!("moisture {made} --lab {left}% --lab-sd 0.5%"));
    }

    /// Weighs out and mixes a bake that was promised grain: by the sheet, with what was promised.
    fn bake(&mut self, bake: &Value) {
        let (code, promised) = (text(bake, "bake").to_owned(), grams(bake, "dry_g"));
        self.at(moment(text(bake, "due")));
        let said = self.kitchen.run(&format!("sheet {code}"));
        assert_eq!(said.code, 0, "book {}: {}", self.seed, said.err);
        assert!(
            said.told().contains("the grain is what the plan of"),
            "book {}: {code} {}\n{}",
            self.seed,
            said.err,
            self.kitchen.ok("shelf")
        );
        let sheet = self.kitchen.json(&format!("sheet {code}"));
        let shelf = self.kitchen.json("shelf");
        let dry: f64 = list(&sheet, "draws")
            .iter()
            .map(|draw| {
                let lots = list(&shelf, "lots").iter();
                let mut lots = lots.filter(|lot| lot["lot"] == draw["lot"]);
                let lot = lots.next().expect("a sheet names lots on hand");
                grams(draw, "wet_g") * grams(lot, "dry_g") / grams(lot, "wet_g")
            })
            .sum();
        assert!(
            (dry - promised).abs() <= 0.035 * promised + 3.0,
            "book {}: {code} was promised {promised} g of dry grain and gets {dry} g",
            self.seed
        );
        self.kitchen.ok(&format!("bake done {code}"));
    }
}

/// Plans a book, accepts the plan and lives it; tells whether there was anything to live.
fn lives(seed: u64) -> bool {
    let mut week = Week::new(seed);
    let planned = week.kitchen.run("--json plan --days 12 --accept");
    if planned.code == 3 {
        return false;
    }
    assert_eq!(planned.code, 0, "book {seed}: {}", planned.err);
    let plan: Value = serde_json::from_str(&planned.out).unwrap();
    let mut steps: Vec<(DateTime<Utc>, bool, Step<'_>)> = Vec::new();
    for work in list(&plan, "actions") {
        steps.push((moment(text(work, "by")), false, Step::Work(work)));
    }
    for bake in list(&plan, "bakes") {
        if bake["happens"] == true && !list(bake, "draws").is_empty() {
            steps.push((moment(text(bake, "due")), true, Step::Bake(bake)));
        }
    }
    steps.sort_by_key(|(at, is_bake, _)| (*at, *is_bake));
    for (_, _, step) in &steps {
        match step {
            Step::Work(work) => week.work(work),
            Step::Bake(bake) => week.bake(bake),
        }
    }
    assert!(week.kitchen.ok("check").contains("whole"), "book {seed}");
    steps.len() > 1
}

#[test]
fn accepted_plans_can_be_lived() {
    let books = books();
    let lived = (0..books).filter(|seed| lives(*seed)).count() as u64;
    assert!(
        2 * lived > books,
        "{lived} of {books} had something to live"
    );
}
