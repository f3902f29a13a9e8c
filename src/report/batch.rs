//! The answer to `batch`: one dough worked out, and the grain in it.

use crate::dough::batch::Batch;
use crate::dough::batch::warmth::Warmth;
use crate::dough::formula::Formula;
use crate::grain::LotCode;
use crate::grain::moisture_test::Unfinished;
use crate::keeping::Verdict;
use crate::quantity::Milligrams;
use uom::si::f64::Mass;

/// A dough worked out.
#[derive(Debug, Clone)]
pub struct BatchAnswer {
    /// Its formula.
    pub formula: Formula,
    /// Every weight.
    pub batch: Batch,
    /// The lots in it; none where only a moisture was given.
    pub lots: Vec<BatchLot>,
    /// Where the moisture comes from.
    pub from: String,
    /// Samples of its lots that are still drying.
    pub drying: Vec<(LotCode, Unfinished)>,
    /// Standard uncertainty of the moisture, a fraction.
    pub standard_uncertainty: f64,
    /// The pieces it is divided into, and what each weighs.
    pub pieces: Option<(u32, Mass)>,
    /// Dough that is over once those are divided off.
    pub over: Mass,
    /// The largest amount of mixed dough that the only lot allows.
    pub largest: Option<Mass>,
    /// The water temperature, where enough is known of it.
    pub warmth: Option<Warmth>,
    /// Whether the water temperature was asked for, rather than known by itself.
    pub is_warmth_asked: bool,
}

/// A lot in a dough.
#[derive(Debug, Clone, Copy)]
pub struct BatchLot {
    /// The lot.
    pub lot: LotCode,
    /// Its verdict.
    pub verdict: Verdict,
    /// Wet grain of it.
    pub wet: Mass,
    /// Wet grain of it on hand.
    pub left: Milligrams,
}
