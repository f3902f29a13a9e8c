//! Grain that the accepted plan promised to a bake still to come.

use crate::dough::bake_code::BakeCode;
use crate::grain::LotCode;
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams};

/// What one bake was promised of a lot, in all states.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PromisedTo {
    /// The bake.
    pub bake: BakeCode,
    /// What was promised.
    pub wet: Milligrams,
    /// How much of it is not there any more.
    pub missing: Milligrams,
}

/// The moisture of promised grain, a fraction of wet mass, counted as the accepted plan counted: by the estimate, or at the wet end
/// of its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CountedMoisture {
    /// What the plan counted on.
    pub then: f64,
    /// What is known by now.
    pub now: f64,
}

/// So much of one lot for one bake.
#[derive(Debug, Clone, PartialEq)]
pub struct PromisedGrain {
    /// The bake.
    pub bake: BakeCode,
    /// The lot that the plan named.
    pub named: LotCode,
    /// The lot on hand that holds the grain by now; nothing where none does.
    pub lot: Option<LotCode>,
    /// In which state the plan takes it.
    pub state: State,
    /// Wet grain, as that lot is.
    pub wet: Milligrams,
    /// How much of it is not there any more.
    pub missing: Milligrams,
    /// Whether its moisture is known otherwise since: as much dry grain as was promised is another wet mass.
    pub is_reweighed: bool,
    /// Its moisture, then and now; nothing where no lot holds it or the plan did not say how much dry grain it counted on.
    pub moisture: Option<CountedMoisture>,
    /// When the plan was accepted.
    pub accepted_at: Instant,
    /// Whether the plan counted each lot at the wet end of its moisture.
    pub careful: bool,
}

impl PromisedGrain {
    /// The lot that holds it, or the one that was named where none does.
    pub fn code(&self) -> LotCode {
        self.lot.unwrap_or(self.named)
    }
}
