//! What a treatment made of the moisture of a lot, and what the moisture tests of a source say of its lots.

use crate::grain::control_chart::Signal;
use crate::grain::{LotCode, Treatment};
use crate::quantity::{Instant, Uncertain};

/// A lot that was treated.
#[derive(Debug, Clone, PartialEq)]
pub struct Treated {
    /// By its weights.
    pub treatment: Treatment,
    /// The lot that it was.
    pub of: LotCode,
    /// The lot that came out.
    pub product: LotCode,
    /// Moisture before it.
    pub before: Uncertain,
    /// Moisture after it.
    pub after: Uncertain,
    /// Whether the product counts as wet and warm until it is shown dry, and still can be.
    pub is_to_be_shown_dry: bool,
    /// By when, if it is past after that.
    pub show_dry_by: Option<Instant>,
}

/// A lot that was tested once, and lies beyond the limits of its source.
#[derive(Debug, Clone, PartialEq)]
pub struct OddMoisture {
    /// The lot.
    pub lot: LotCode,
    /// What its test says.
    pub moisture: f64,
    /// The limits.
    pub limits: (f64, f64),
    /// How many tested lots they are from.
    pub lots: usize,
}

/// Lots on hand that are untested, and their source drifts.
#[derive(Debug, Clone, PartialEq)]
pub struct SourceDrift {
    /// The lots.
    pub untested: Vec<LotCode>,
    /// The source.
    pub source: String,
    /// The rule that its newest tested lots break.
    pub signal: Signal,
    /// The median of its tested lots.
    pub middle: f64,
}
