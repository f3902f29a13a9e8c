//! The answer to `formula propose`: what bakes say of the figures that a formula states.

use crate::dough::proposals::Proposal;
use crate::ledger::FormulaRecord;

/// What bakes say of a formula.
#[derive(Debug, Clone)]
pub struct ProposalsAnswer {
    /// The newest version.
    pub formula: FormulaRecord,
    /// The mixer that it names; handling loss and mixing heat are of its bakes.
    pub mixer: Option<String>,
    /// Each figure with what bakes say of it.
    pub proposals: Vec<Proposal>,
    /// The file of the formula with every proposed figure in it.
    pub text: String,
}

impl ProposalsAnswer {
    /// Whether anything is proposed.
    pub fn has_any(&self) -> bool {
        self.proposals.iter().any(|one| one.proposed().is_some())
    }
}
