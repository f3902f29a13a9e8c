//! What is on hand.

use super::today;
use crate::desk::facts::FactFinder;
use crate::desk::promises::{self, Promises};
use crate::desk::{Answer, Desk, Notice, OddMoisture, SourceDrift};
use crate::ledger::LotRecord;
use crate::ledger::failure::damaged_part;
use crate::planning::plan::Work;
use crate::report::shelf::{ShelfAnswer, ToPreserve};
use crate::report::{LotAnswer, SourceChart};

impl Desk {
    /// Every lot on hand, the most urgent first, with what of it is promised to bakes and what the accepted plan does so
    /// that it keeps.
    pub fn shelf(&self) -> anyhow::Result<Answer<ShelfAnswer>> {
        let _still = self.view().hold_still()?;
        let mut shelf = self.stock()?;
        let is_unreadable = |notice: &Notice| matches!(notice, Notice::PromisesUnreadable(_));
        if !shelf.notices.iter().any(is_unreadable) {
            let as_of = shelf.answer.as_of;
            let to_preserve = today::to_preserve(self.view(), &shelf.answer, as_of)?;
            shelf.answer.to_preserve = to_preserve;
        }
        Ok(shelf)
    }

    /// What the accepted plan does with one lot so that it keeps. Jobs share lots and places, so a lot that has one is
    /// looked at together with all others; for any other lot the plan alone is read.
    pub fn to_preserve(&self, lot: &LotRecord) -> anyhow::Result<Vec<ToPreserve>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let Some(plan) = view.accepted_plan()? else {
            return Ok(Vec::new());
        };
        for task in plan.tasks.iter().filter(|task| task.work != Work::Thaw) {
            if today::is_about(view, &plan, task, lot)? {
                let mut jobs = self.shelf()?.answer.to_preserve;
                jobs.retain(|one| one.lot == lot.code);
                return Ok(jobs);
            }
        }
        Ok(Vec::new())
    }

    /// Every lot on hand, the most urgent first, with what of it is promised to bakes.
    pub(super) fn stock(&self) -> anyhow::Result<Answer<ShelfAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let about = view.about();
        let as_of = self.as_of()?;
        let facts = FactFinder::new(view)?.on_hand(as_of)?;
        // Where grain stands and until when it keeps is told even if a formula of a bake cannot be read.
        let (promised, notice) = match promises::judged_of(view, &facts, as_of) {
            Ok(promised) => (promised, None),
            Err(error) => {
                let why = damaged_part(&error).unwrap_or_else(|| format!("{error:#}"));
                (Promises::default(), Some(Notice::PromisesUnreadable(why)))
            }
        };
        let mut lots = Vec::new();
        let mut steadiness = Vec::new();
        for facts in facts {
            let (chart, tests) = (
                facts.moisture.source_chart(&facts.lot, &about.zone)?,
                facts.moisture.tests.len(),
            );
            let lot = self.shown(facts, as_of)?;
            if let Some(chart) = chart.filter(|_| lot.keeping.verdict.may_be_used()) {
                tell_of_source(&chart, &lot, tests, &mut steadiness);
            }
            lots.push(lot);
        }
        let answer = ShelfAnswer {
            lost: promised.lost,
            to_show_dry: promised.to_show_dry,
            to_dry: promised.to_dry,
            ..ShelfAnswer::new(as_of, lots, promised.grain)
        };
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions)
            .with_notices(notice)
            .with_notices(steadiness))
    }
}

/// Where a test changes what to do: of a lot that was tested once and is odd, of untested lots of a source that drifts.
fn tell_of_source(chart: &SourceChart, lot: &LotAnswer, tests: usize, told: &mut Vec<Notice>) {
    let Some(limits) = &chart.chart else {
        return;
    };
    let (code, drift) = (lot.lot.code, chart.drift());
    // Where all of them went that way, another test of this one says nothing new.
    if let Some((_, moisture, side)) = chart.odd().into_iter().find(|(odd, ..)| *odd == code)
        && tests == 1
        && drift.is_none_or(|drift| drift.side != side)
    {
        told.push(Notice::OddMoisture(OddMoisture {
            lot: code,
            moisture,
            limits: limits.limits(),
            lots: chart.lots.len(),
        }));
    }
    let Some(signal) = drift else {
        return;
    };
    if lot.estimate.is_tested() || lot.estimate.unfinished.samples > 0 {
        return;
    }
    let same = told.iter_mut().find_map(|notice| match notice {
        Notice::SourceDrifts(known) if known.source == chart.source => Some(&mut known.untested),
        _ => None,
    });
    match same {
        Some(untested) => untested.push(code),
        None => told.push(Notice::SourceDrifts(SourceDrift {
            untested: vec![code],
            source: chart.source.clone(),
            signal,
            middle: limits.middle,
        })),
    }
}
