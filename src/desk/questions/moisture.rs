//! What is known of a lot's moisture.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk};
use crate::report::moisture::MoistureAnswer;

impl Desk {
    /// The moisture in force of the lot with this code, where it comes from, and its tests.
    pub fn moisture(&self, lot: &str) -> anyhow::Result<Answer<MoistureAnswer>> {
        let view = self.view();
        let facts = FactFinder::new(view)?.facts(view.lot(lot)?)?;
        Ok(Answer::new(MoistureAnswer::of(&facts)?, Vec::new()))
    }
}
