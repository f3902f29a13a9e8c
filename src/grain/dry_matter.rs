//! Dry grain, flour-equivalent and carried water of a wet amount.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use super::Estimate;
use crate::quantity::{Milligrams, WetBasis};
use uom::si::f64::Mass;

/// Dry grain of a wet amount: best figure and the ends of its 95 % range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryGrain {
    /// At the estimated moisture.
    pub best: Mass,
    /// At the upper end of the moisture's range.
    pub low: Mass,
    /// At the lower end of the moisture's range.
    pub high: Mass,
}

/// `dry = w · (1 − m)`.
pub fn dry_grain(wet: Mass, moisture: WetBasis) -> Mass {
    wet * moisture.dry_fraction().get()
}

/// The wet amount that holds `dry`: `w = dry ÷ (1 − m)`, endless for pure water.
pub fn wet_for(dry: Mass, moisture: WetBasis) -> Mass {
    dry / moisture.dry_fraction().get()
}

/// Dry grain counted as flour of the moisture `flour_basis`: `dry ÷ (1 − b)`; b is 0 for bone-dry.
pub fn flour_equivalent(dry: Mass, flour_basis: WetBasis) -> Mass {
    wet_for(dry, flour_basis)
}

/// Water that comes into the dough with the grain: `w − flour-equivalent`. Less than nothing where
/// the grain is drier than the flour it is counted as.
pub fn carried_water(wet: Mass, flour_equivalent: Mass) -> Mass {
    wet - flour_equivalent
}

/// Dry grain of a weighed wet amount over the range of its moisture.
pub fn dry_range(wet: Milligrams, estimate: &Estimate) -> DryGrain {
    let (driest, wettest) = estimate.range();
    DryGrain {
        best: dry_grain(wet.mass(), estimate.wet_basis()),
        low: dry_grain(wet.mass(), wettest),
        high: dry_grain(wet.mass(), driest),
    }
}

#[cfg(test)]
mod tests;
