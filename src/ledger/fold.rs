//! Stock as the sum of entries: the same answer as the kept state, reached another way.

use crate::quantity::Instant;
use std::collections::BTreeMap;

/// An entry that changes stock.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub entry: i64,
    pub kind: Change,
    pub lot: i64,
    pub at: Instant,
}

/// How an entry changes stock. Masses in milligrams.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Change {
    Pickup {
        wet: i64,
        place: i64,
    },
    Move {
        place: i64,
    },
    /// Of so much another amount was made; a part and a join make as much as goes in.
    Made {
        wet: i64,
        out: i64,
        new_lot: i64,
        place: i64,
    },
    /// What went for good; what a count found too much is negative.
    Taken {
        wet: i64,
    },
}

/// What is left of a lot and where it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Held {
    pub wet: i64,
    pub place: i64,
    placed: (Instant, i64),
}

/// Adds entries up. The order in which they are handed over does not matter.
#[derive(Debug, Default)]
pub(super) struct Fold {
    lots: BTreeMap<i64, Held>,
}

impl Fold {
    /// Adds one entry that is in force.
    pub fn add(&mut self, line: &Line) {
        let placed = (line.at, line.entry);
        match line.kind {
            Change::Pickup { wet, place } => self.put(line.lot, wet, Some(place), placed),
            Change::Move { place } => self.put(line.lot, 0, Some(place), placed),
            Change::Taken { wet } => self.put(line.lot, -wet, None, placed),
            Change::Made {
                wet,
                out,
                new_lot,
                place,
            } => {
                self.put(line.lot, -wet, None, placed);
                self.put(new_lot, out, Some(place), placed);
            }
        }
    }

    fn put(&mut self, lot: i64, wet: i64, place: Option<i64>, placed: (Instant, i64)) {
        let held = self.lots.entry(lot).or_insert(Held {
            wet: 0,
            place: 0,
            placed: (Instant::MIN_UTC, 0),
        });
        // Only a damaged book comes near the bound, and is told so by its audit.
        held.wet = held.wet.saturating_add(wet);
        if let Some(place) = place
            && placed > held.placed
        {
            held.place = place;
            held.placed = placed;
        }
    }

    /// Every lot met, used up ones included.
    pub fn held(&self) -> &BTreeMap<i64, Held> {
        &self.lots
    }
}
