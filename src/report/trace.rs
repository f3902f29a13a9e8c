//! The answer to `trace`: where grain came from, what was made of it, where it went, and that it adds up.

use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::ledger::{BakeEnd, BakeRecord, EntryRecord, Gone, Outflow, TracedLot};
use crate::quantity::{Instant, Milligrams};
use std::collections::{HashMap, HashSet};

/// Below this part of what came in, not all of it is accounted for well enough: judgement, no figure has been
/// published.
pub const ENOUGH: f64 = 0.98;

/// What was traced.
#[derive(Debug, Clone)]
pub struct TraceAnswer {
    /// In words.
    pub asked: String,
    /// Lots that the grain was in before, oldest first.
    pub back: Vec<TracedLot>,
    /// The lots that were asked for and, if asked forward, what was made of them.
    pub lots: Vec<TracedLot>,
    /// What happened to the grain of one lot, from the brewery to where it is now.
    pub path: Vec<EntryRecord>,
    /// Bakes that hold the grain.
    pub bakes: Vec<TracedBake>,
    /// What left the lots for good.
    pub outflows: Vec<Outflow>,
    /// The sum of it; nothing where it was asked for a bake, which is a part of its lots.
    pub balance: Option<Balance>,
    /// Names of sources that may be meant by the one asked for too, whose lots are among these.
    pub near_sources: Vec<String>,
    /// Lots that were used or given away at a moment at which they were past or unknown, by what is known now.
    pub unusable: HashMap<(LotCode, Instant), Verdict>,
    /// Lots that came in and whose grist is not known, where a grist was asked for.
    pub grist_unknown: Vec<String>,
    /// Those of the lots that only may hold what was asked for: their grist does not say, and no grain that is
    /// known to hold it went into them.
    pub may_hold: HashSet<LotCode>,
}

impl TraceAnswer {
    /// Tells the lots that only may hold what was asked for from those that come of lots `known` to hold it.
    /// Lots stand in the order in which they came to be.
    pub fn tell_apart(&mut self, known: &[LotCode]) {
        let mut holds: HashSet<LotCode> = known.iter().copied().collect();
        for lot in &self.lots {
            if lot.made_of.iter().any(|(of, _)| holds.contains(&of.code)) {
                holds.insert(lot.lot.code);
            } else if !holds.contains(&lot.lot.code) {
                self.may_hold.insert(lot.lot.code);
            }
        }
        let only_may = |lot: &LotCode| self.may_hold.contains(lot);
        for bake in &mut self.bakes {
            bake.may_hold = bake.lots.iter().all(only_may);
        }
    }
}

/// A bake, of the book or only named, and the grain in it.
#[derive(Debug, Clone)]
pub struct TracedBake {
    /// Its code, or what was said.
    pub name: String,
    /// The formula of a bake of the book.
    pub formula: Option<String>,
    /// When grain was first drawn for it.
    pub at: Instant,
    /// Pieces that came out of the oven, or that were to.
    pub pieces: Option<u32>,
    /// Grain of the lots that were traced.
    pub wet: Milligrams,
    /// Of these lots.
    pub lots: Vec<LotCode>,
    /// Those of them that were past or unknown when they were used, by what is known now.
    pub unusable: Vec<LotCode>,
    /// Whether all of them only may hold what was asked for.
    pub may_hold: bool,
}

impl TracedBake {
    /// Gathers draws bake by bake; `known` are the bakes of the book among them. What was only named is one
    /// bake for each moment: the pan loaf of another day is other bread.
    pub fn gather(
        outflows: &[Outflow],
        known: &[BakeRecord],
        unusable: &HashMap<(LotCode, Instant), Verdict>,
    ) -> Vec<Self> {
        let pieces: HashMap<BakeCode, u32> =
            known.iter().map(|bake| (bake.code, pieces(bake))).collect();
        let mut found: Vec<Self> = Vec::new();
        let mut places: HashMap<(Option<Instant>, String), usize> = HashMap::new();
        for out in outflows {
            let (name, code) = match out.to {
                Gone::Bake(code) => (code.to_string(), Some(code)),
                Gone::Said => (out.words.clone().unwrap_or_default(), None),
                _ => continue,
            };
            let key = (code.is_none().then_some(out.at), name.clone());
            let place = *places.entry(key).or_insert_with(|| {
                found.push(Self {
                    formula: code.and(out.words.clone()),
                    pieces: code.and_then(|code| pieces.get(&code).copied()),
                    wet: Milligrams::ZERO,
                    lots: Vec::new(),
                    unusable: Vec::new(),
                    may_hold: false,
                    at: out.at,
                    name,
                });
                found.len() - 1
            });
            let bake = &mut found[place];
            bake.wet = Milligrams::new(bake.wet.get() + out.wet.get());
            if !bake.lots.contains(&out.lot.code) {
                bake.lots.push(out.lot.code);
            }
            if unusable.contains_key(&(out.lot.code, out.at))
                && !bake.unusable.contains(&out.lot.code)
            {
                bake.unusable.push(out.lot.code);
            }
        }
        found
    }
}

/// Pieces that came out of the oven, or that were to.
fn pieces(bake: &BakeRecord) -> u32 {
    match &bake.end {
        Some(BakeEnd::Done(result)) => result.measured.pieces.unwrap_or(bake.setting.pieces),
        _ => bake.setting.pieces,
    }
}

/// Wet grain in and what became of it, in whole milligrams.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Balance {
    /// What the lots that were asked for weighed when they came to be.
    pub came: i64,
    /// Grain of other lots that was joined to theirs.
    pub joined: i64,
    /// Into bakes.
    pub baked: i64,
    /// To people as food.
    pub given: i64,
    /// To animals.
    pub feed: i64,
    /// To compost.
    pub compost: i64,
    /// Into the bin.
    pub waste: i64,
    /// Thrown away, nobody said how.
    pub discarded: i64,
    /// Water and dry grain lost in treatments; below nothing where water was added.
    pub treatments: i64,
    /// Found missing in counts; below nothing where more was found.
    pub missing: i64,
    /// On hand.
    pub on_hand: i64,
}

impl Balance {
    /// Adds up a family of lots and what left them.
    pub fn of(family: &[TracedLot], outflows: &[Outflow]) -> Self {
        use crate::grain::Ending;
        let codes: HashSet<_> = family.iter().map(|lot| lot.lot.code).collect();
        let mut sum = Self::default();
        for lot in family {
            let outside: i64 = lot
                .made_of
                .iter()
                .filter(|(of, _)| !codes.contains(&of.code))
                .fold(0, |sum: i64, (_, wet)| sum.saturating_add(wet.get()));
            let is_first = lot.made_of.iter().all(|(of, _)| !codes.contains(&of.code));
            if is_first {
                sum.came = sum.came.saturating_add(lot.wet.get());
            } else {
                sum.joined = sum.joined.saturating_add(outside);
            }
            let held = lot.held.as_ref().map_or(0, |(wet, _)| wet.get());
            sum.on_hand = sum.on_hand.saturating_add(held);
        }
        for out in outflows {
            let part = match out.to {
                Gone::Bake(_) | Gone::Said => &mut sum.baked,
                Gone::Given => &mut sum.given,
                Gone::Discard(Some(Ending::Feed)) => &mut sum.feed,
                Gone::Discard(Some(Ending::Compost)) => &mut sum.compost,
                Gone::Discard(Some(Ending::Waste)) => &mut sum.waste,
                Gone::Discard(None) => &mut sum.discarded,
                Gone::Treatment => &mut sum.treatments,
                Gone::Count => &mut sum.missing,
            };
            *part = part.saturating_add(out.wet.get());
        }
        sum
    }

    /// All that came in.
    pub const fn total(&self) -> i64 {
        self.came.saturating_add(self.joined)
    }

    /// What came in and is neither gone nor there: nothing, or the book is damaged.
    pub const fn difference(&self) -> i64 {
        // Sums of a damaged book may pass all bounds; they must not pass for sound ones.
        let gone = self.baked as i128
            + self.given as i128
            + self.feed as i128
            + self.compost as i128
            + self.waste as i128
            + self.discarded as i128
            + self.treatments as i128
            + self.missing as i128
            + self.on_hand as i128;
        let rest = self.total() as i128 - gone;
        if rest > i64::MAX as i128 {
            i64::MAX
        } else if rest < -(i64::MAX as i128) {
            -i64::MAX
        } else {
            rest as i64
        }
    }

    /// The part of what came in of which it is known where it went: all but what counts found missing.
    pub fn accounted(&self) -> f64 {
        match self.total() {
            0 => 1.0,
            total => {
                1.0 - (self.missing.max(0) as f64 + self.difference().abs() as f64) / total as f64
            }
        }
    }
}
