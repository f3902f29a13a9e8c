//! Records a moisture test of a lot.

use crate::desk::{Answer, Desk};
use crate::grain::MoistureTest;
use crate::quantity::Instant;
use crate::report::Caution;
use crate::report::moisture::MoistureAnswer;

/// A test.
pub struct RecordTest<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// What was weighed, or what a laboratory found.
    pub test: &'a MoistureTest,
    /// When the sample was taken.
    pub at: Instant,
}

impl Desk {
    /// Records a test and answers with the moisture in force. Of a test that makes no sense nothing is written.
    pub fn record_test(
        &mut self,
        request: &RecordTest<'_>,
    ) -> anyhow::Result<Answer<MoistureAnswer>> {
        let (_, entry, lacking) = self.act_on_lot(request.lot, |act, lot| {
            request.test.evaluate(lot.form, lot.kind)?;
            let entry = act.moisture(&lot, request.at, request.test)?;
            Ok((lot, entry))
        })?;
        let mut answer = self.moisture(request.lot)?.with_notices(lacking);
        answer.answer.written = Some(entry);
        if request.test.laboratory.is_none() {
            answer.cautions.push(Caution::DryingASample);
        }
        Ok(answer)
    }
}
