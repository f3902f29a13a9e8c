//! Grain that the accepted plan promised to a bake still to come.

use crate::dough::bake_code::BakeCode;
use crate::grain::{Form, LotCode};
use crate::keeping::Verdict;
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
    /// What of it the bake loses, and what that is when it is weighed out.
    pub lost: Option<(Verdict, Milligrams)>,
}

/// Grain that was promised to a bake, or that lies in a frozen block which the bake names, that is there and may not be used when the
/// bake weighs it out, whatever the plan still does with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LostGrain {
    /// The bake.
    pub bake: BakeCode,
    /// The lot that the plan named, or the bake.
    pub named: LotCode,
    /// The lot on hand that holds the grain by now.
    pub lot: LotCode,
    /// In which state the plan takes it.
    pub state: State,
    /// How much of it.
    pub wet: Milligrams,
    /// What it is then.
    pub verdict: Verdict,
    /// The last moment at which it may be used; nothing where none is known.
    pub keep_until: Option<Instant>,
    /// When the bake weighs it out.
    pub grain_at: Instant,
    /// The earlier bake for which its frozen block comes out.
    pub out_before: Option<OutBefore>,
}

/// A frozen block comes out of the freezer whole, for the first of its bakes, and another finds it past.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OutBefore {
    /// The bake that it comes out for.
    pub bake: BakeCode,
    /// By when it comes out.
    pub by: Instant,
}

/// Promised grain that was dried and is not shown dry: its bake takes it only if it is shown dry by then.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ToShowDry {
    /// The bake.
    pub bake: BakeCode,
    /// The lot on hand that holds the grain.
    pub lot: LotCode,
    /// By when.
    pub by: Instant,
}

/// Promised grain that is still to be dried: its bake weighs out what comes of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ToDry {
    /// The bake.
    pub bake: BakeCode,
    /// The lot that the plan named.
    pub named: LotCode,
    /// The lot on hand that holds the grain by now.
    pub lot: LotCode,
    /// What comes out of the dryer.
    pub dried: Milligrams,
}

impl ToDry {
    /// Whether it is what was promised here.
    pub fn is_of(&self, one: &PromisedGrain) -> bool {
        let promised = (one.bake, one.named, one.lot, one.state);
        (self.bake, self.named, Some(self.lot), State::Dried) == promised
    }
}

impl LostGrain {
    /// Whether it is what was promised here.
    pub fn is_of(&self, one: &PromisedGrain) -> bool {
        (self.bake, self.named, self.state) == (one.bake, one.named, one.state)
            && one.lot == Some(self.lot)
    }
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
    /// When the bake weighs it out.
    pub grain_at: Instant,
    /// When the bake is mixed.
    pub mix_at: Instant,
    /// The only form of grain that the bake takes, where it takes no other.
    pub form: Option<Form>,
    /// Whether the bake names other lots by now: it takes those, and none of this.
    pub names_others: bool,
    /// The earlier bake for which the frozen block that holds it comes out; nothing where this one finds it good.
    pub out_before: Option<OutBefore>,
}

impl PromisedGrain {
    /// The lot that holds it, or the one that was named where none does.
    pub fn code(&self) -> LotCode {
        self.lot.unwrap_or(self.named)
    }

    /// How much of it is there.
    pub const fn there(&self) -> Milligrams {
        Milligrams::new(self.wet.get() - self.missing.get())
    }
}
