//! Seeded instances of six kinds of weeks, made up, with histories that the keeping clock can judge.

use crate::dough::formula::Colour;
use crate::dough::house::Work;
use crate::grain::Form;
use crate::keeping::{Event, History, PlaceKind, RuleSet, What};
use crate::planning::Situation;
use crate::planning::problem::{Bake, Capacity, Costs, Lot};
use crate::quantity::{Instant, Milligrams, Temperature, Uncertain, Zone};
use chrono::{DateTime, Duration};

/// A kind of week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Week {
    /// About as much grain as is wanted.
    Balanced,
    /// Far more than is wanted.
    Glut,
    /// Far less.
    Scarce,
    /// Three colours, and doughs that each want one.
    Colours,
    /// Every bake of one lot only.
    OneLot,
    /// Large lots, large bakes.
    Bulk,
}

impl Week {
    /// Every kind.
    pub const ALL: [Self; 6] = [
        Self::Balanced,
        Self::Glut,
        Self::Scarce,
        Self::Colours,
        Self::OneLot,
        Self::Bulk,
    ];

    /// Its name in tables.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Balanced => "balanced",
            Self::Glut => "glut",
            Self::Scarce => "scarce",
            Self::Colours => "colours",
            Self::OneLot => "one-lot",
            Self::Bulk => "bulk",
        }
    }
}

/// Numbers that look random: SplitMix64 (Steele, Lea and Flood 2014, Fast splittable pseudorandom number
/// generators), constants from memory.
pub struct Seeded(u64);

impl Seeded {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        bits ^ (bits >> 31)
    }

    /// A whole number from `low` to `high`, both included.
    pub fn whole(&mut self, low: i64, high: i64) -> i64 {
        low + (self.next() % (high - low + 1) as u64) as i64
    }

    pub fn chance(&mut self, percent: i64) -> bool {
        self.whole(1, 100) <= percent
    }
}

/// Monday 16 November 2026, 06:00 in Dublin.
pub fn monday() -> Instant {
    DateTime::from_timestamp(1_794_808_800, 0).unwrap()
}

/// Grain mashed then, cooled in time, in the fridge since.
pub fn chilled(mash_out: Instant) -> History {
    let cold = mash_out + Duration::hours(3);
    let fridge = What::Placed {
        kind: PlaceKind::Fridge,
        stated: Temperature::celsius(4),
    };
    History {
        mash_out: Some(mash_out),
        arrived_dried: false,
        events: vec![
            Event {
                at: cold,
                what: What::Cooled,
            },
            Event {
                at: cold,
                what: fridge,
            },
        ],
    }
}

pub fn lot(code: &str, mash_out: Instant, wet_grams: i64, moisture: f64) -> Lot {
    Lot {
        code: code.to_owned(),
        wet: Milligrams::new(wet_grams * 1000),
        moisture: Uncertain::known(moisture, 0.01),
        histories: vec![chilled(mash_out)],
        conditions: Vec::new(),
        form: Form::Whole,
        colour: Some(Colour::Pale),
        grist: Some("barley malt".parse().unwrap()),
        place: "fridge".to_owned(),
        place_kind: PlaceKind::Fridge,
        thaw_lead: Duration::hours(12),
    }
}

pub fn bake(code: &str, mix: Instant, [lowest, wanted, highest]: [i64; 3]) -> Bake {
    let grams = |grams: i64| Milligrams::new(grams * 1000);
    Bake {
        code: code.to_owned(),
        mix,
        grain_at: mix,
        lowest: grams(lowest),
        wanted: grams(wanted),
        highest: grams(highest),
        water: None,
        form: None,
        colour: None,
        most_lots: None,
        only_of: Vec::new(),
        free_of: Vec::new(),
        firm: true,
    }
}

/// Nothing yet, for two weeks from [`monday`].
pub fn empty() -> Situation {
    Situation {
        now: monday(),
        end: monday() + Duration::days(14),
        zone: Zone::named("Europe/Dublin").unwrap(),
        rules: RuleSet::from_text(RuleSet::built_in_text("strict").unwrap()).unwrap(),
        lots: Vec::new(),
        bakes: Vec::new(),
        promised: Vec::new(),
        capacity: Capacity::of(&Work::default(), std::iter::empty()),
        costs: Costs::from(&Work::default()),
        careful: false,
    }
}

/// Puts a lot into the freezer at a moment, in one block.
pub fn freeze(lot: &mut Lot, at: Instant) {
    lot.place_kind = PlaceKind::Freezer;
    lot.place = "freezer".to_owned();
    for history in &mut lot.histories {
        history.events.push(Event {
            at,
            what: What::Placed {
                kind: PlaceKind::Freezer,
                stated: Temperature::celsius(-18),
            },
        });
    }
}

/// The instance of this kind, size and seed, with so many of its lots frozen, each in one block, and room for them.
pub fn with_blocks(size: (Week, usize, usize, u64), blocks: usize) -> Situation {
    let (week, lots, bakes, seed) = size;
    let mut situation = instance(week, lots, bakes, seed);
    let mut frozen = 0;
    for lot in situation.lots.iter_mut().take(blocks) {
        freeze(lot, monday() - Duration::hours(6));
        frozen += lot.wet.get();
    }
    let room = situation.capacity.freezer;
    situation.capacity.freezer = room.map(|room| Milligrams::new(room.get() + frozen));
    situation
}

/// The instance of this kind, size and seed.
pub fn instance(week: Week, lots: usize, bakes: usize, seed: u64) -> Situation {
    let mut random = Seeded::new(seed * 1000 + week as u64 * 100 + lots as u64);
    let mut situation = empty();
    let days = if bakes <= 7 { 7 } else { 14 };
    situation.end = monday() + Duration::days(days);
    let (lot_low, lot_high) = if week == Week::Bulk {
        (20_000, 60_000)
    } else {
        (3_000, 18_000)
    };
    let mut dry_grams = 0;
    let mut wet_grams = 0;
    for index in 0..lots {
        let mash_out = monday() - Duration::minutes(random.whole(720, 5 * 1440));
        let wet = random.whole(lot_low, lot_high);
        let moisture = random.whole(740, 820) as f64 / 1000.0;
        dry_grams += (wet as f64 * (1.0 - moisture)) as i64;
        wet_grams += wet;
        let mut lot = lot(&format!("L{index:03}"), mash_out, wet, moisture);
        lot.colour = Some(colour(week, &mut random));
        if random.chance(15) {
            lot.form = Form::Pressed;
        }
        situation.lots.push(lot);
    }
    let percent = match week {
        Week::Glut => 40,
        Week::Scarce => 140,
        _ => 85,
    };
    let each = dry_grams * percent / 100 / bakes as i64;
    for index in 0..bakes {
        let mix = monday() + Duration::minutes(random.whole(60, days * 1440 - 1));
        let wanted = (each * random.whole(50, 150) / 100).max(100);
        let bounds = [
            wanted * random.whole(60, 90) / 100,
            wanted,
            wanted * random.whole(105, 140) / 100,
        ];
        let mut bake = bake(&format!("B{index:03}"), mix, bounds);
        bake.firm = random.chance(75);
        bake.most_lots = match week {
            Week::OneLot => Some(1),
            _ if random.chance(40) => Some(2),
            _ => None,
        };
        let picky = if week == Week::Colours { 85 } else { 25 };
        if random.chance(picky) {
            bake.colour = Some(colour(week, &mut random));
        }
        if random.chance(10) {
            bake.form = Some(Form::Whole);
        }
        situation.bakes.push(bake);
    }
    situation.capacity.freezer = Some(Milligrams::new(
        wet_grams * random.whole(5, 40) / 100 * 1000,
    ));
    if random.chance(50) {
        situation.capacity.dryer_water =
            Milligrams::new(wet_grams * random.whole(2, 6) / 100 * 1000);
    }
    situation
}

fn colour(week: Week, random: &mut Seeded) -> Colour {
    let dark = if week == Week::Colours { 66 } else { 30 };
    match (random.chance(dark), random.chance(50)) {
        (false, _) => Colour::Pale,
        (true, true) => Colour::Amber,
        (true, false) => Colour::Dark,
    }
}
