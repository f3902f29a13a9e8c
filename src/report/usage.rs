//! The answer to `usage`: what was taken from lots, with dry grain and flour-equivalent.

use crate::grain::{Ending, clipped, dry_matter};
use crate::ledger::{UsageKind, UsageRecord};
use crate::quantity::{Milligrams, Uncertain, WetBasis};
use uom::si::f64::Mass;
use uom::si::ratio::ratio;

/// One line of usage.
#[derive(Debug, Clone)]
pub struct UsageLine {
    /// What was taken.
    pub record: UsageRecord,
    /// Moisture of what was taken, as known today; nothing where it was water alone, or water that came in.
    pub moisture: Option<WetBasis>,
    /// Dry grain in it.
    pub dry: Mass,
    /// Water in it.
    pub carried_water: Mass,
    /// Dry grain counted as bone-dry flour.
    pub flour_equivalent: Mass,
}

impl UsageLine {
    /// Works a record out with the moisture of its lot.
    ///
    /// What a treatment lost is water, and as much dry grain as was stated to be lost in it. What it added is water alone.
    pub fn new(record: UsageRecord, of_lot: &Uncertain) -> Self {
        let wet = record.wet.mass();
        let wet_basis = clipped(of_lot.value);
        let dry = match &record.kind {
            UsageKind::Treatment(_) if record.wet < Milligrams::ZERO => Mass::default(),
            UsageKind::Treatment(treated) => {
                let treatment = &treated.treatment;
                treatment.dry_lost(&treatment.moisture(of_lot))
            }
            _ => dry_matter::dry_grain(wet, wet_basis),
        };
        let moisture = match &record.kind {
            UsageKind::Treatment(_) => WetBasis::new(1.0 - (dry / wet).get::<ratio>())
                .ok()
                .filter(|_| record.wet > Milligrams::ZERO),
            _ => Some(wet_basis),
        };
        Self {
            carried_water: dry_matter::carried_water(wet, dry),
            // Usage is counted at the bone-dry basis, where dry grain is its own flour-equivalent.
            flour_equivalent: dry,
            dry,
            moisture,
            record,
        }
    }

    /// The word for how it was taken. Feed is kept apart by those who count it; compost and waste are not.
    pub const fn kind(&self) -> &'static str {
        match self.record.kind {
            UsageKind::Bake => "bake",
            UsageKind::Given => "give",
            UsageKind::Discard(Some(Ending::Feed)) => "feed",
            UsageKind::Discard(_) => "discard",
            UsageKind::Treatment(_) => "treatment-loss",
            UsageKind::Count => "count-correction",
        }
    }

    /// The bake it went into: the code of one of the book, or what was said.
    pub fn bake(&self) -> Option<String> {
        let said = || self.record.words.clone();
        matches!(self.record.kind, UsageKind::Bake)
            .then(|| self.record.bake.map_or_else(said, |code| code.to_string()))
    }

    /// The formula of a bake of the book.
    pub fn formula(&self) -> Option<&str> {
        self.record.bake.map(|_| self.record.words.as_str())
    }

    /// The reason it was thrown away, or what was done with it.
    pub fn note(&self) -> Option<String> {
        let words = Some(self.record.words.clone()).filter(|words| !words.is_empty());
        match &self.record.kind {
            UsageKind::Bake => None,
            UsageKind::Given | UsageKind::Discard(_) | UsageKind::Count => words,
            UsageKind::Treatment(treated) => {
                let made = format!(
                    "{} to {}",
                    treated.treatment.step.done(),
                    treated.product.code
                );
                Some(match words {
                    Some(words) => format!("{made}: {words}"),
                    None => made,
                })
            }
        }
    }
}
