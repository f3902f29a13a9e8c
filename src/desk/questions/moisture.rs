//! What is known of a lot's moisture.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk};
use crate::report::Caution;
use crate::report::moisture::MoistureAnswer;

impl Desk {
    /// The moisture in force of the lot with this code, where it comes from, and its tests.
    pub fn moisture(&self, lot: &str) -> anyhow::Result<Answer<MoistureAnswer>> {
        let view = self.view();
        let facts = FactFinder::new(view)?.facts(view.lot(lot)?)?;
        let answer = MoistureAnswer::of(&facts)?;
        // What is to be known before the first sample goes in.
        let is_tested = answer.tests.iter().any(|test| test.result.is_usable());
        let cautions = if is_tested {
            Vec::new()
        } else {
            vec![
                Caution::DryingInMicrowave,
                Caution::DryingInOven,
                Caution::DryingInAirFryer,
            ]
        };
        Ok(Answer::new(answer, cautions))
    }
}
