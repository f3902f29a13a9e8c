//! The answer to `moisture`: tests, the estimate in force and how much another test would narrow it.

use super::LotFacts;
use crate::grain::{DryGrain, Estimate, TestResult, dry_matter, estimate};
use crate::ledger::TestRecord;
use crate::quantity::{Milligrams, Problem};

/// A test with what follows from it.
#[derive(Debug, Clone)]
pub struct TestAnswer {
    /// The test.
    pub record: TestRecord,
    /// What follows from it.
    pub result: TestResult,
}

/// What is known of a lot's moisture.
#[derive(Debug, Clone)]
pub struct MoistureAnswer {
    /// The lot's code.
    pub code: String,
    /// Its tests, oldest first.
    pub tests: Vec<TestAnswer>,
    /// The estimate in force.
    pub estimate: Estimate,
    /// What is left of the lot.
    pub wet: Milligrams,
    /// Dry grain in it.
    pub dry: DryGrain,
    /// The test that was just written, where one was.
    pub written: Option<i64>,
}

impl MoistureAnswer {
    /// Works the tests out.
    pub fn of(facts: &LotFacts) -> Result<Self, Problem> {
        let estimate = facts.estimate()?;
        let within = facts.moisture.within();
        let tests = facts
            .moisture
            .tests
            .iter()
            .map(|record| {
                let result =
                    record
                        .test
                        .evaluate_within(facts.lot.form, facts.lot.kind, &within)?;
                Ok(TestAnswer {
                    record: record.clone(),
                    result,
                })
            })
            .collect::<Result<_, Problem>>()?;
        Ok(Self {
            code: facts.lot.code.to_string(),
            dry: dry_matter::dry_range(facts.wet, &estimate),
            wet: facts.wet,
            estimate,
            tests,
            written: None,
        })
    }

    /// Every warning of every test, and one where tests contradict each other, in words.
    pub fn warnings(&self) -> Vec<String> {
        let mut warnings: Vec<String> = self
            .tests
            .iter()
            .flat_map(|test| &test.result.warnings)
            .map(ToString::to_string)
            .collect();
        warnings.extend(self.contradiction());
        warnings
    }

    /// Where two tests lie further apart than their uncertainties allow.
    pub fn contradiction(&self) -> Option<String> {
        let results: Vec<&TestResult> = self.tests.iter().map(|test| &test.result).collect();
        estimate::contradiction(&results).map(|apart| {
            format!(
                "Two tests of this lot lie {:.1} points apart, more than chance explains; the range is widened for it. Mix the lot and test again, or strike the test that went wrong.",
                apart * 100.0
            )
        })
    }
}
