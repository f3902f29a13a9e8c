//! One lot as it stands, and its samples that are drying.

use crate::desk::{Answer, Desk, facts};
use crate::ledger::TestRecord;
use crate::report::LotAnswer;

impl Desk {
    /// The lot with this code.
    pub fn lot(&self, code: &str) -> anyhow::Result<Answer<LotAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let answer = facts::answer_at(view, view.lot(code)?, self.now)?;
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions))
    }

    /// The tests of a lot whose samples are still drying, the newest first.
    pub fn drying(&self, code: &str) -> anyhow::Result<Vec<TestRecord>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let tests = view.tests(&view.lot(code)?)?.into_iter().rev();
        Ok(tests.filter(|record| record.test.is_unfinished()).collect())
    }
}
