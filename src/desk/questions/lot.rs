//! One lot as it stands, and its samples that are drying.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk};
use crate::ledger::TestRecord;
use crate::report::LotAnswer;

impl Desk {
    /// The lot with this code.
    pub fn lot(&self, code: &str) -> anyhow::Result<Answer<LotAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let facts = FactFinder::new(view)?.facts(view.lot(code)?)?;
        let answer = self.shown(facts, self.as_of()?)?;
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
