//! The answer to `trace`: where grain came from, what was made of it, where it went, and that it adds up.

use crate::grain::{Ending, LotCode};
use crate::ledger::{Destination, LotRecord, NotFree, Outflow, Pieces, TracedLot};
use crate::quantity::{Instant, Milligrams};
use std::collections::HashMap;

/// Below this part of what came in, not all of it is accounted for well enough: judgement, no figure has been
/// published.
pub const ENOUGH: f64 = 0.98;

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
    pub pieces: Option<Pieces>,
    /// Grain of the lots that were traced.
    pub wet: Milligrams,
    /// Of these lots.
    pub lots: Vec<LotCode>,
    /// Those of them that were past or unknown when they were used, by what is known now.
    pub unusable: Vec<LotCode>,
    /// What it was to be free of, where some of them may hold that by what is known now.
    pub not_free: Option<NotFree>,
    /// Whether all of them only may hold what was asked for.
    pub may_hold: bool,
}

impl TracedBake {
    /// Puts draws together bake by bake. What was only named is one bake for each moment: the pan loaf of another
    /// day is other bread. `may_hold` says it of a lot.
    pub fn of_draws(outflows: &[Outflow], may_hold: impl Fn(&LotRecord) -> bool) -> Vec<Self> {
        let mut found: Vec<Self> = Vec::new();
        let mut places: HashMap<(Option<Instant>, String), usize> = HashMap::new();
        for out in outflows {
            let (name, book) = match out.to {
                Destination::Bake { code, pieces } => (code.to_string(), Some(pieces)),
                Destination::Named => (out.words.clone().unwrap_or_default(), None),
                _ => continue,
            };
            let key = (book.is_none().then_some(out.at), name.clone());
            let place = *places.entry(key).or_insert_with(|| {
                found.push(Self {
                    formula: book.and(out.words.clone()),
                    pieces: book,
                    wet: Milligrams::ZERO,
                    lots: Vec::new(),
                    unusable: Vec::new(),
                    not_free: None,
                    may_hold: true,
                    at: out.at,
                    name,
                });
                found.len() - 1
            });
            let bake = &mut found[place];
            bake.wet = Milligrams::new(bake.wet.get() + out.wet.get());
            bake.may_hold &= may_hold(&out.lot);
            if !bake.lots.contains(&out.lot.code) {
                bake.lots.push(out.lot.code);
            }
            if out.unusable && !bake.unusable.contains(&out.lot.code) {
                bake.unusable.push(out.lot.code);
            }
            if let Some(of) = &out.free_of {
                bake.not_free = NotFree::with(bake.not_free.take(), of, &out.lot);
            }
        }
        found
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
    /// Water and dry grain lost in treatments.
    pub lost_in_treatments: i64,
    /// What treatments came to that weigh more afterwards, for the water that was added.
    pub added_in_treatments: i64,
    /// Found missing in counts; negative where more was found.
    pub missing: i64,
    /// On hand.
    pub on_hand: i64,
    /// Whether a source may be the one asked for under another name, so that nobody knows whether this is all.
    pub may_be_more: bool,
}

impl Balance {
    /// Adds a lot of a family: what came in with it and what is left of it.
    pub fn add_lot(&mut self, lot: &TracedLot, is_of_family: impl Fn(&LotRecord) -> bool) {
        let outside = lot.made_of.iter().filter(|(of, _)| !is_of_family(of));
        let is_first = lot.made_of.iter().all(|(of, _)| !is_of_family(of));
        if is_first {
            self.came = self.came.saturating_add(lot.wet.get());
        } else {
            let joined = outside.fold(0, |sum: i64, (_, wet)| sum.saturating_add(wet.get()));
            self.joined = self.joined.saturating_add(joined);
        }
        let held = lot.held.as_ref().map_or(0, |(wet, _)| wet.get());
        self.on_hand = self.on_hand.saturating_add(held);
    }

    /// Adds grain that left the family.
    pub fn add_outflow(&mut self, out: &Outflow) {
        let part = match out.to {
            Destination::Bake { .. } | Destination::Named => &mut self.baked,
            Destination::Given => &mut self.given,
            Destination::Discard(Some(Ending::Feed)) => &mut self.feed,
            Destination::Discard(Some(Ending::Compost)) => &mut self.compost,
            Destination::Discard(Some(Ending::Waste)) => &mut self.waste,
            Destination::Discard(None) => &mut self.discarded,
            Destination::Treatment if out.wet < Milligrams::ZERO => {
                let added = out.wet.get().saturating_neg();
                self.added_in_treatments = self.added_in_treatments.saturating_add(added);
                return;
            }
            Destination::Treatment => &mut self.lost_in_treatments,
            Destination::Count => &mut self.missing,
        };
        *part = part.saturating_add(out.wet.get());
    }

    /// Adds grain of the family that a bake took.
    pub fn add_bake(&mut self, bake: &TracedBake) {
        self.baked = self.baked.saturating_add(bake.wet.get());
    }

    /// What treatments lost; negative where more water was added.
    pub const fn treatments(&self) -> i64 {
        self.lost_in_treatments
            .saturating_sub(self.added_in_treatments)
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
            + self.treatments() as i128
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
