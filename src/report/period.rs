//! The answer to `report`: what a period came to.

mod balance;

pub use balance::{Amount, Flows, LotShare, SourceBalance, balances};

use super::{LotAnswer, SourceChart};
use crate::dough::bake_code::BakeCode;
use crate::grain::Evidence;
use crate::keeping::PlaceKind;
use crate::keeping::air::watch::{Excursion, Watch};
use crate::ledger::{EntryRecord, LotRecord, Measured, NotFree};
use crate::quantity::{Instant, Milligrams, Period, Uncertain};
use chrono::NaiveDate;
use uom::si::f64::Mass;

/// What a period came to.
#[derive(Debug, Clone)]
pub struct PeriodReport {
    /// The name of the book.
    pub book: String,
    /// The period, as far as it has gone by.
    pub period: Period,
    /// When it was asked.
    pub as_of: Instant,
    /// The first moment after the period, where it goes on beyond the moment at which it was asked.
    pub goes_on_to: Option<Instant>,
    /// Wet grain of each source.
    pub sources: Vec<SourceBalance>,
    /// What was baked with grain, by formula.
    pub breads: Vec<Bread>,
    /// Money for a kilogram of flour, where the book was told.
    pub flour_price: Option<f64>,
    /// Dry grain that went into dough, by day.
    pub days: Vec<(NaiveDate, Mass)>,
    /// How old grain was when people got it, by source.
    pub ages: Vec<Ages>,
    /// Bakes that ended.
    pub bakes: Vec<EndedBake>,
    /// Lots that came in.
    pub lots: Vec<CameIn>,
    /// Tested lots of their sources with their limits, of each source, kind and form.
    pub charts: Vec<SourceChart>,
    /// How many moisture tests were made, and of how many lots.
    pub tests: (usize, usize),
    /// What loggers measured.
    pub places: Vec<PlaceWatched>,
    /// Entries that struck or corrected others, each with the one it is about.
    pub put_right: Vec<(EntryRecord, EntryRecord)>,
    /// How many plans were accepted.
    pub plans: usize,
    /// Lots on hand, the most urgent first; none where the period ended before now.
    pub on_hand: Vec<LotAnswer>,
}

/// What was baked of one formula, or of what was only named.
#[derive(Debug, Clone, PartialEq)]
pub struct Bread {
    /// Its name.
    pub name: String,
    /// How many bakes; of what was only named, at how many moments grain was drawn for it.
    pub bakes: usize,
    /// Pieces that came out of the oven, where they are known.
    pub pieces: Option<u32>,
    /// What they weighed, of the bakes where that was recorded.
    pub baked: Milligrams,
    /// Of how many bakes that is.
    pub weighed: usize,
    /// Grain in it.
    pub grain: Amount,
}

/// How old grain of a source was when people got it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ages {
    /// The source.
    pub source: String,
    /// Wet grain that was used or given as food, in milligrams.
    pub wet: i64,
    /// Of it past its date or of unknown history at that moment, by what is known now.
    pub unusable: i64,
    /// Of it with a known mash-out.
    pub dated: i64,
    /// Days from mash-out to use, summed with the wet milligrams as weights.
    pub weighted_days: f64,
    /// The most of them.
    pub longest_days: f64,
}

impl Ages {
    /// Days from mash-out to use, the mean by weight; nothing where no mash-out is known.
    pub fn mean_days(&self) -> Option<f64> {
        (self.dated > 0).then(|| self.weighted_days / self.dated as f64)
    }

    /// The part of the grain that was used before its date.
    pub fn in_time(&self) -> Option<f64> {
        (self.wet > 0).then(|| 1.0 - self.unusable as f64 / self.wet as f64)
    }

    /// Adds grain that people got.
    pub fn add(&mut self, wet: i64, days: Option<f64>, is_unusable: bool) {
        self.wet = self.wet.saturating_add(wet);
        if is_unusable {
            self.unusable = self.unusable.saturating_add(wet);
        }
        if let Some(days) = days {
            self.dated = self.dated.saturating_add(wet);
            self.weighted_days += days * wet as f64;
            self.longest_days = self.longest_days.max(days);
        }
    }
}

/// A bake that was baked or dropped.
#[derive(Debug, Clone)]
pub struct EndedBake {
    /// Its code.
    pub code: BakeCode,
    /// The entry that says that it was baked.
    pub entry: Option<i64>,
    /// Its formula.
    pub formula: String,
    /// When its dough was mixed, or when it was dropped.
    pub at: Instant,
    /// Dry grain wanted; nothing where its formula cannot be read.
    pub wanted: Option<Mass>,
    /// Dry grain that it takes at least.
    pub lowest: Option<Mass>,
    /// Grain in it.
    pub got: Amount,
    /// Whether the grain in it is other than its sheet said the water for.
    pub is_of_other_grain: bool,
    /// What it was to be free of, where lots in it may hold that by what is known now.
    pub not_free: Option<NotFree>,
    /// How it ended.
    pub end: EndOfBake,
    /// What the last plan before promised to it: how much, and how much of that was drawn of the promised lots or of
    /// what was made of them. Wet, in milligrams.
    pub promised: Option<(i64, i64)>,
}

/// How a bake ended.
#[derive(Debug, Clone)]
pub enum EndOfBake {
    /// It was baked; what was said and measured of it.
    Baked(Box<Measured>),
    /// It was not; why.
    Dropped(Option<String>),
}

/// How much grain a bake got.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Supply {
    /// As much as was wanted, or more.
    Full,
    /// Less than was wanted, and no less than it takes.
    Less,
    /// Less than it takes at least.
    BelowMinimum,
    /// It was not baked.
    Dropped,
    /// Nobody knows what was wanted: its formula cannot be read.
    Unknown,
}

impl Supply {
    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Full => "as wanted",
            Self::Less => "less than wanted",
            Self::BelowMinimum => "below minimum",
            Self::Dropped => "not baked",
            Self::Unknown => "formula unreadable",
        }
    }
}

/// Grain is weighed on a scale and its moisture is estimated, so what is wanted is met from this part of it on:
/// judgement.
pub const MET_FROM: f64 = 0.98;

impl EndedBake {
    /// How much grain it got.
    pub fn supply(&self) -> Supply {
        if matches!(self.end, EndOfBake::Dropped(_)) {
            return Supply::Dropped;
        }
        match (self.wanted, self.lowest) {
            (Some(wanted), _) if self.got.dry >= wanted * MET_FROM => Supply::Full,
            (Some(_), Some(lowest)) if self.got.dry >= lowest * MET_FROM => Supply::Less,
            (Some(_), Some(_)) => Supply::BelowMinimum,
            _ => Supply::Unknown,
        }
    }

    /// What was measured, where it was baked.
    pub fn measured(&self) -> Option<&Measured> {
        match &self.end {
            EndOfBake::Baked(measured) => Some(measured),
            EndOfBake::Dropped(_) => None,
        }
    }

    /// Whether its water was recorded and cannot be compared with its sheet, which was for other grain.
    pub fn has_water_of_other_grain(&self) -> bool {
        let measured = self.measured().filter(|_| self.is_of_other_grain);
        measured.is_some_and(|measured| measured.water.is_some())
    }

    /// Water that was poured, where that was recorded: beside what was said for this grain to pour first and to hold back.
    pub fn water(&self) -> Option<Water> {
        let measured = self.measured().filter(|_| !self.is_of_other_grain)?;
        let poured = measured.water?;
        let (first, back) = (measured.said_pour.get(), measured.said_hold.get());
        Some(Water {
            poured: poured.get(),
            first,
            back,
            thirst: measured.said_thirst.map(Milligrams::get),
        })
    }
}

/// Water of a dough, in milligrams.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Water {
    /// Really poured in the stage of the grain.
    pub poured: i64,
    /// Said to be poured first.
    pub first: i64,
    /// Said to be held back.
    pub back: i64,
    /// The part of it for thirst; nothing in older entries.
    pub thirst: Option<i64>,
}

impl Water {
    /// Whether what was poured lies between what was to be poured first and all of it.
    pub const fn is_within(&self) -> bool {
        self.first <= self.poured && self.poured <= self.first + self.back
    }

    /// The part of the held back water that went in; nothing where none was held back.
    pub fn part_of_back(&self) -> Option<f64> {
        (self.back > 0).then(|| (self.poured - self.first) as f64 / self.back as f64)
    }
}

/// A lot that came in.
#[derive(Debug, Clone)]
pub struct CameIn {
    /// The lot.
    pub lot: LotRecord,
    /// When.
    pub at: Instant,
    /// How much.
    pub wet: Milligrams,
    /// Its moisture as known now.
    pub moisture: Uncertain,
    /// Where that comes from.
    pub from: Evidence,
    /// Its moisture had nobody tested it; nothing where nobody has.
    pub untested: Option<Uncertain>,
}

/// A place with what its logger measured.
#[derive(Debug, Clone)]
pub struct PlaceWatched {
    /// Its name.
    pub name: String,
    /// Its kind at the end of the period.
    pub kind: PlaceKind,
    /// What its air came to; nothing where there is no reading.
    pub watch: Option<Watch>,
    /// Times at which its limit was not kept, with how many lots such a time changed.
    pub excursions: Vec<(Excursion, usize)>,
}

impl PeriodReport {
    /// Grain of all sources.
    pub fn all(&self) -> SourceBalance {
        SourceBalance::sum(&self.sources)
    }

    /// Whether the book holds nothing about the period.
    pub fn is_empty(&self) -> bool {
        self.sources.is_empty()
            && self.bakes.is_empty()
            && self.put_right.is_empty()
            && self.plans == 0
            && self.tests.0 == 0
            && self.places.iter().all(|place| place.watch.is_none())
    }

    /// Dry grain in dough in place of flour.
    pub fn flour_saved(&self) -> Mass {
        self.breads
            .iter()
            .fold(Mass::default(), |sum, bread| sum + bread.grain.dry)
    }

    /// Bakes with so much grain.
    pub fn supplied(&self, supply: Supply) -> usize {
        self.bakes
            .iter()
            .filter(|bake| bake.supply() == supply)
            .count()
    }

    /// Ages of all sources together.
    pub fn all_ages(&self) -> Ages {
        let mut all = Ages::default();
        for one in &self.ages {
            all.wet = all.wet.saturating_add(one.wet);
            all.unusable = all.unusable.saturating_add(one.unusable);
            all.dated = all.dated.saturating_add(one.dated);
            all.weighted_days += one.weighted_days;
            all.longest_days = all.longest_days.max(one.longest_days);
        }
        all
    }
}
