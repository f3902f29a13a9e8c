//! What was taken from lots.

use crate::desk::chunks::{AT_ONCE, Chunks};
use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk};
use crate::grain::{Estimate, LotCode};
use crate::ledger::{AsOf, LotRecord, UsageBatch, UsageFilter, View};
use crate::quantity::Instant;
use crate::report::usage::UsageLine;
use std::collections::HashMap;

/// Which usage is asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct UsageOf<'a> {
    /// From this moment on.
    pub from: Option<Instant>,
    /// Before this moment.
    pub before: Option<Instant>,
    /// Only from the lot with this code.
    pub lot: Option<&'a str>,
    /// Only from lots of this source.
    pub source: Option<&'a str>,
}

/// What was taken, as of the newest entry when it was asked for.
pub struct Usage<'a> {
    as_of: AsOf<'a>,
    request: UsageOf<'a>,
    lot: Option<LotRecord>,
}

impl Desk {
    /// What was taken, each line worked out with the moisture of its lot as known today.
    pub fn usage<'a>(&'a self, request: UsageOf<'a>) -> anyhow::Result<Answer<Usage<'a>>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let lot = request.lot.map(|code| view.lot(code)).transpose()?;
        if let Some(source) = request.source {
            view.refuse_unknown_source(source)?;
        }
        let usage = Usage {
            as_of: view.as_of_newest()?,
            request,
            lot,
        };
        Ok(Answer::new(usage, Vec::new()))
    }
}

impl Usage<'_> {
    /// The lines in the order in which grain was taken.
    pub fn lines(&self) -> Chunks<'_, UsageLine> {
        let filter = UsageFilter {
            from: self.request.from,
            before: self.request.before,
            lot: self.lot.as_ref(),
            source: self.request.source,
        };
        let mut next = Some(None);
        let mut estimates = Estimates::default();
        Chunks::new(move || {
            let Some(after) = next else {
                return Ok(None);
            };
            let (lines, mark) = self.as_of.read(|view| {
                let UsageBatch { records, next } = view.usage(&filter, after, AT_ONCE)?;
                let lines = records
                    .into_iter()
                    .map(|record| {
                        let estimate = estimates.of(view, &record.lot)?;
                        Ok(UsageLine::new(record, estimate))
                    })
                    .collect::<anyhow::Result<Vec<_>>>()?;
                Ok((lines, next))
            })?;
            next = mark.map(Some);
            Ok(Some(lines))
        })
    }
}

/// Moistures of lots, those of the last lots kept: grain of a lot is taken within days.
#[derive(Default)]
struct Estimates<'a> {
    finder: Option<FactFinder<'a>>,
    known: HashMap<LotCode, Estimate>,
}

impl<'a> Estimates<'a> {
    const MOST: usize = 2_000;

    fn of(&mut self, view: View<'a>, lot: &LotRecord) -> anyhow::Result<&Estimate> {
        if self.known.len() >= Self::MOST && !self.known.contains_key(&lot.code) {
            self.known.clear();
            if let Some(finder) = &mut self.finder {
                finder.forget_made();
            }
        }
        if !self.known.contains_key(&lot.code) {
            let finder = match &mut self.finder {
                Some(finder) => finder,
                None => self.finder.insert(FactFinder::new(view)?),
            };
            self.known.insert(lot.code, finder.estimate(lot)?);
        }
        Ok(&self.known[&lot.code])
    }
}
