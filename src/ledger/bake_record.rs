//! A bake as the book holds it: what it is to be, and how it ended.

use super::{BookRefusal, FormulaRecord, LotRecord};
use crate::dough::bake_code::BakeCode;
use crate::dough::batch::Size;
use crate::dough::formula::Formula;
use crate::dough::timetable::Point;
use crate::grain::LotCode;
use crate::grain::cereals::Says;
use crate::quantity::text::one_of;
use crate::quantity::{Instant, Milligrams, Problem};
use std::str::FromStr;

/// A bake of the book.
#[derive(Debug, Clone)]
pub struct BakeRecord {
    pub(super) id: i64,
    /// The entry that holds what it is to be.
    pub(super) setting_id: i64,
    /// Its code.
    pub code: BakeCode,
    /// What it is to be.
    pub setting: BakeSetting,
    /// How often that was stated anew.
    pub restated: u32,
    /// How it ended, if it has.
    pub end: Option<BakeEnd>,
}

impl BakeRecord {
    /// The number of the entry that states what it is to be.
    pub const fn stated_in(&self) -> i64 {
        self.setting_id
    }

    /// Its pieces, planned and counted.
    pub fn pieces(&self) -> Pieces {
        Pieces {
            planned: self.setting.pieces,
            counted: match &self.end {
                Some(BakeEnd::Done(result)) => result.measured.pieces,
                _ => None,
            },
        }
    }
}

impl BakeRecord {
    /// What it is to be free of, where lots in it, or that it names, may hold that by what is known now.
    pub fn not_free(&self) -> Option<NotFree> {
        let of = self.setting.free_of.as_deref()?;
        let lots: Vec<&LotRecord> = match &self.end {
            None => self.setting.lots.iter().collect(),
            Some(BakeEnd::Done(result)) => result.draws.iter().map(|(lot, _)| lot).collect(),
            Some(BakeEnd::Dropped { .. }) => Vec::new(),
        };
        lots.into_iter()
            .fold(None, |known, lot| NotFree::with(known, of, lot))
    }
}

/// That a bake may hold what it is to be free of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotFree {
    /// What it is to be free of.
    pub of: String,
    /// The lots that may hold it.
    pub lots: Vec<LotCode>,
    /// Whether the grist of one of them names it.
    pub is_named: bool,
}

impl NotFree {
    /// The same with a lot more, where that may hold it.
    pub fn with(known: Option<Self>, of: &str, lot: &LotRecord) -> Option<Self> {
        if !lot.may_hold(of) {
            return known;
        }
        let mut found = known.unwrap_or_else(|| Self {
            of: of.to_owned(),
            lots: Vec::new(),
            is_named: false,
        });
        found.is_named |= lot.says(of) == Says::Names;
        if !found.lots.contains(&lot.code) {
            found.lots.push(lot.code);
        }
        Some(found)
    }
}

/// Pieces of a bake.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pieces {
    /// How many it was to make.
    pub planned: u32,
    /// How many came out of the oven, where somebody counted them.
    pub counted: Option<u32>,
}

/// What a bake is to be.
#[derive(Debug, Clone)]
pub struct BakeSetting {
    /// The dough, in the version it was added with.
    pub formula: FormulaRecord,
    /// What happens at [`Self::at`].
    pub point: Point,
    /// When.
    pub at: Instant,
    /// How many pieces.
    pub pieces: u32,
    /// Raw weight of one.
    pub piece: Milligrams,
    /// Grain share of total flour, a fraction; nothing is what the formula wants.
    pub share: Option<f64>,
    /// Whether it is baked in any case.
    pub firm: bool,
    /// The largest number of lots in it.
    pub most_lots: Option<u32>,
    /// A cereal or another allergen that must not be in its grain.
    pub free_of: Option<String>,
    /// The lots it is to be made of, in the order in which they are used up.
    pub lots: Vec<LotRecord>,
    /// Anything else.
    pub note: Option<String>,
}

/// How a bake ended.
#[derive(Debug, Clone)]
pub enum BakeEnd {
    /// It was baked.
    Done(Box<BakeResult>),
    /// It was not.
    Dropped {
        /// When that was said.
        at: Instant,
        /// Why.
        reason: Option<String>,
    },
}

impl BakeEnd {
    /// The word for it.
    pub const fn as_str(&self) -> &'static str {
        match self {
            Self::Done(_) => "done",
            Self::Dropped { .. } => "dropped",
        }
    }
}

impl BakeRecord {
    /// Refuses a bake that has ended; what to do then is for the caller to say.
    pub fn refuse_ended(&self) -> Result<(), BookRefusal> {
        match &self.end {
            None => Ok(()),
            Some(end) => Err(BookRefusal::BakeEnded {
                bake: self.code,
                how: end.as_str(),
                done: match end {
                    BakeEnd::Done(result) => result.entry,
                    BakeEnd::Dropped { .. } => None,
                },
            }),
        }
    }
}

impl BakeSetting {
    /// How much dough it is.
    pub fn size(&self) -> Size {
        Size::Pieces {
            count: self.pieces,
            piece: self.piece.mass(),
        }
    }

    /// Grain share of total flour, a fraction; `formula` is the dough of [`Self::formula`].
    pub fn share_of(&self, formula: &Formula) -> f64 {
        self.share.unwrap_or(formula.grain.wanted)
    }
}

/// What a bake came to.
#[derive(Debug, Clone)]
pub struct BakeResult {
    /// The entry that says it; nothing before it is written.
    pub entry: Option<i64>,
    /// When the dough was mixed.
    pub at: Instant,
    /// Who wrote it down first.
    pub by: Option<String>,
    /// The grain in it.
    pub draws: Vec<(LotRecord, Milligrams)>,
    /// The grain for which the sheet said its water; nothing in older entries.
    pub sheet_grain: Vec<(LotRecord, Milligrams)>,
    /// What was said and what was measured.
    pub measured: Measured,
    /// Anything else.
    pub note: Option<String>,
}

/// What was said of a bake, and what was measured of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// Water that was said to be poured first in the stage of the grain.
    pub said_pour: Milligrams,
    /// Water that was said to be held back.
    pub said_hold: Milligrams,
    /// The part of it that was for the grain's thirst; nothing in older entries.
    pub said_thirst: Option<Milligrams>,
    /// Water that was really added there.
    pub water: Option<Milligrams>,
    /// Pieces that came out of the oven.
    pub pieces: Option<u32>,
    /// What they weighed, baked and cooled.
    pub baked: Option<Milligrams>,
    /// The dough when mixing ended, thousandths of a degree Celsius.
    pub dough_milli_celsius: Option<i32>,
    /// By how much mixing warmed it, K.
    pub mixing_kelvin: Option<f64>,
    /// 1 to 5, in older entries.
    pub rating: Option<u8>,
    /// How it came out.
    pub came_out: Option<CameOut>,
}

/// How a bake came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CameOut {
    /// As it should.
    Well,
    /// It could be better.
    Fair,
    /// Not to be repeated.
    Poor,
}

impl CameOut {
    /// Each.
    pub const ALL: [Self; 3] = [Self::Well, Self::Fair, Self::Poor];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Well => "well",
            Self::Fair => "fair",
            Self::Poor => "poor",
        }
    }
}

impl FromStr for CameOut {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "how it came out", &Self::ALL, Self::as_str)
    }
}
