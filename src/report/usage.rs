//! The answer to `usage`: what was taken from lots, with dry grain and flour-equivalent.

use crate::grain::{Estimate, dry_matter};
use crate::ledger::{Taken, UsageRecord};
use crate::quantity::WetBasis;
use uom::si::f64::Mass;

/// One line of usage.
#[derive(Debug, Clone)]
pub struct UsageLine {
    /// What was taken.
    pub record: UsageRecord,
    /// The lot's moisture as known today.
    pub moisture: WetBasis,
    /// Dry grain in it.
    pub dry: Mass,
    /// Water in it.
    pub carried_water: Mass,
    /// Dry grain counted as bone-dry flour.
    pub flour_equivalent: Mass,
}

impl UsageLine {
    /// Works a record out with the moisture of its lot.
    pub fn new(record: UsageRecord, estimate: &Estimate) -> Self {
        let moisture = estimate.wet_basis();
        let wet = record.wet.mass();
        let dry = dry_matter::dry_grain(wet, moisture);
        Self {
            carried_water: dry_matter::carried_water(wet, dry),
            // Usage is counted at the bone-dry basis, where dry grain is its own flour-equivalent.
            flour_equivalent: dry,
            dry,
            moisture,
            record,
        }
    }

    /// The word for how it was taken.
    pub const fn kind(&self) -> &'static str {
        match self.record.taken {
            Taken::Bake => "bake",
            Taken::Discard => "discard",
        }
    }

    /// The bake it went into: the code of one of the book, or what was said.
    pub fn bake(&self) -> Option<String> {
        let said = || self.record.words.clone();
        (self.record.taken == Taken::Bake)
            .then(|| self.record.bake.map_or_else(said, |code| code.to_string()))
    }

    /// The formula of a bake of the book.
    pub fn formula(&self) -> Option<&str> {
        self.record.bake.map(|_| self.record.words.as_str())
    }

    /// The reason it was thrown away.
    pub fn note(&self) -> Option<&str> {
        (self.record.taken == Taken::Discard).then_some(self.record.words.as_str())
    }
}
