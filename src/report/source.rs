//! The answer to `source show`: the lots of one source, and what they say of the next one.

use super::SourceChart;
use crate::grain::{Estimate, Form, Kind};
use crate::ledger::LotRecord;
use crate::quantity::Milligrams;

/// One source.
#[derive(Debug, Clone)]
pub struct SourceAnswer {
    /// How it is called.
    pub source: String,
    /// Each kind and form of its newest lots.
    pub grain: Vec<GrainOfSource>,
    /// Its newest lots that came in, the last one first.
    pub lots: Vec<LotOfSource>,
}

/// Grain of one kind and form.
#[derive(Debug, Clone)]
pub struct GrainOfSource {
    /// How it is made.
    pub kind: Kind,
    /// Its form.
    pub form: Form,
    /// What the next lot is taken to be until it is tested.
    pub next: Estimate,
    /// Its tested lots with their limits.
    pub chart: Option<SourceChart>,
}

/// One lot.
#[derive(Debug, Clone)]
pub struct LotOfSource {
    /// The lot.
    pub lot: LotRecord,
    /// Its moisture.
    pub estimate: Estimate,
    /// What is left of it as it came in.
    pub wet: Milligrams,
}
