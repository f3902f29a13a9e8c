//! The answer to `moisture`: tests, the estimate in force and how much another test would narrow it.

use super::worth_a_test::NextBake;
use super::{LotAnswer, LotFacts, SourceChart};
use crate::grain::by_cause::Cause;
use crate::grain::within::WORTH_NARROWING;
use crate::grain::{
    DryGrain, Estimate, Evidence, Form, LotCode, Precision, Sample, TestResult, Within, dry_matter,
    estimate,
};
use crate::keeping::Verdict;
use crate::ledger::TestRecord;
use crate::quantity::{Milligrams, Problem, WetBasis};
use std::collections::BTreeMap;

/// A test with what follows from it.
#[derive(Debug, Clone)]
pub struct TestAnswer {
    /// The test.
    pub record: TestRecord,
    /// What follows from it.
    pub result: TestResult,
}

/// Two samples of a lot that lie so far apart that its tests say less than none would.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FarApart {
    /// Entry and moisture of the driest, a fraction of wet mass.
    pub driest: (i64, f64),
    /// The same of the wettest.
    pub wettest: (i64, f64),
    /// How many samples and laboratories' figures there are.
    pub samples: usize,
}

impl FarApart {
    /// Of tests that led to this estimate.
    pub fn of(tests: &[TestRecord], form: Form, estimate: &Estimate) -> Option<Self> {
        if !estimate.says_less_than_default {
            return None;
        }
        let mut found: Vec<(i64, f64)> = Vec::new();
        for TestRecord { entry, test, .. } in tests {
            let weighed = test.finished().map(Sample::moisture);
            let moistures = weighed.chain(test.laboratory.map(|one| one.wet_basis));
            found.extend(moistures.map(|one| (*entry, one.get())));
        }
        found.sort_by(|one, other| one.1.total_cmp(&other.1));
        let (driest, wettest) = (*found.first()?, *found.last()?);
        (wettest.1 - driest.1 > Precision::of(form).repeatability).then_some(Self {
            driest,
            wettest,
            samples: found.len(),
        })
    }
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
    /// How far two of its tests lie apart, and how much of that chance explains, where it does not explain all.
    pub apart: Option<(f64, f64)>,
    /// Two samples so far apart that its tests say less than none would.
    pub far_apart: Option<FarApart>,
    /// The lot that holds its grain now, where all that was left of it was joined.
    pub joined_into: Option<LotCode>,
    /// The lot as it stands, where something is left of it that may not be used.
    pub unusable: Option<LotAnswer>,
    /// The tests that were just written.
    pub written: Vec<i64>,
    /// Why the estimate is what it is, where that was asked.
    pub why: Option<MoistureWhy>,
}

/// Why a moisture is known as it is, and what a test would be worth.
#[derive(Debug, Clone)]
pub struct MoistureWhy {
    /// Parts of the standard uncertainty by their cause, the largest first.
    pub parts: Vec<(Cause, f64)>,
    /// The bake that takes it next.
    pub next_bake: Option<NextBake>,
    /// Whether any bake is planned.
    pub has_bakes: bool,
    /// Whether its source stays as it was; nothing of grain that was soaked, drained or mixed.
    pub source: Option<SourceChart>,
}

/// Ranges are shown in tenths of a point.
const NARROWER: f64 = 0.001;

impl MoistureWhy {
    /// Of an estimate; with the bake that takes the lot next, and whether any is planned.
    pub fn of(
        estimate: &Estimate,
        (next_bake, has_bakes): (Option<NextBake>, bool),
        source: Option<SourceChart>,
    ) -> Self {
        let mut of_cause: BTreeMap<Cause, f64> = BTreeMap::new();
        for part in &estimate.by_cause.parts {
            *of_cause.entry(part.cause.clone()).or_default() += part.standard;
        }
        let mut parts: Vec<(Cause, f64)> = of_cause.into_iter().collect();
        parts.sort_by(|one, other| other.1.total_cmp(&one.1));
        Self {
            parts,
            next_bake,
            has_bakes,
            source,
        }
    }
}

impl MoistureAnswer {
    /// Works the tests out.
    pub fn of(facts: &LotFacts) -> Result<Self, Problem> {
        let estimate = facts.estimate()?;
        let evaluated = |within: Within| {
            let of_test = move |record: &TestRecord| {
                let (form, kind) = (facts.lot.form, facts.lot.kind);
                record.test.evaluate_within(form, kind, &within)
            };
            let tests = facts.moisture.tests.iter();
            tests.map(of_test).collect::<Result<Vec<_>, Problem>>()
        };
        let held_against_others = evaluated(facts.moisture.within_others())?;
        let results = evaluated(facts.moisture.within())?;
        let records = facts.moisture.tests.iter().cloned();
        let tests = records
            .zip(results)
            .map(|(record, result)| TestAnswer { record, result })
            .collect();
        Ok(Self {
            apart: estimate::contradiction(&held_against_others),
            far_apart: FarApart::of(&facts.moisture.tests, facts.lot.form, &estimate),
            code: facts.lot.code.to_string(),
            dry: dry_matter::dry_range(facts.wet, &estimate),
            wet: facts.wet,
            estimate,
            tests,
            joined_into: None,
            unusable: None,
            written: Vec::new(),
            why: None,
        })
    }

    /// Whether it is to be thrown away: no test is of use then.
    pub fn is_past(&self) -> bool {
        let lot = self.unusable.as_ref();
        lot.is_some_and(|lot| lot.keeping.verdict == Verdict::Past)
    }

    /// How many samples of this lot are enough. Nothing where that cannot be said: tests contradict each other, a sample
    /// dries on, one more than those would still help, or no test would.
    pub fn samples_enough(&self) -> Option<usize> {
        let now = self.estimate.moisture.expanded();
        let then = self.estimate.after_one_more_test();
        let only_drying =
            !self.tests.is_empty() && !self.tests.iter().any(|test| test.result.is_usable());
        let is_open =
            self.contradicts_itself() || self.estimate.widened_by().is_some() || only_drying;
        let helps = then < now * (1.0 - WORTH_NARROWING) && self.has_samples_enough();
        let counts = !self.tests.is_empty() || self.narrowed_by_one_more().is_some();
        (!is_open && !helps && counts).then_some(self.estimate.samples_enough)
    }

    /// Whether it was tested with as many samples as are enough.
    fn has_samples_enough(&self) -> bool {
        self.samples_taken() >= self.estimate.samples_enough
    }

    /// With how many samples it was tested; a laboratory's figure counts like one.
    pub fn samples_taken(&self) -> usize {
        let usable = self.tests.iter().filter(|test| test.result.is_usable());
        usable
            .map(|test| test.record.test.finished().count().max(1))
            .sum()
    }

    /// Half-widths of the 95 % range now and after one more test, where that narrows it by what is shown. Nothing where tests
    /// say less than none would: which of them is wrong is to be found first.
    pub fn narrowed_by_one_more(&self) -> Option<(f64, f64)> {
        if self.far_apart.is_some() {
            return None;
        }
        let now = self.estimate.moisture.expanded();
        let then = self.estimate.after_one_more_test();
        (now - then >= NARROWER).then_some((now, then))
    }

    /// How many samples are still drying.
    pub fn drying(&self) -> usize {
        let unfinished = self.tests.iter().map(|test| &test.result.unfinished);
        unfinished.map(|unfinished| unfinished.samples).sum()
    }

    /// The entry of a sample that is still drying and widens the range, and the least moisture that it shows.
    pub fn widened_by(&self) -> Option<(i64, WetBasis)> {
        let least = self.estimate.widened_by()?;
        let unfinished = |test: &&TestAnswer| test.result.unfinished.at_least == Some(least);
        let test = self.tests.iter().find(unfinished)?;
        Some((test.record.entry, least))
    }

    /// Whether its tests, or samples of them, lie further apart than chance explains.
    pub fn contradicts_itself(&self) -> bool {
        self.apart.is_some() || self.far_apart.is_some()
    }

    /// How many tests of this lot the estimate counts, where it counts several of the lot itself.
    pub fn tests_counted(&self) -> Option<usize> {
        match self.estimate.from {
            Evidence::Tests { count, .. } => Some(count).filter(|count| *count > 1),
            _ => None,
        }
    }
}
