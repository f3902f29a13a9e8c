//! What was taken from lots.

use crate::desk::chunks::{AT_ONCE, Chunks};
use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk};
use crate::grain::LotCode;
use crate::ledger::{AsOf, LotRecord, UsageBatch, UsageFilter, View};
use crate::quantity::{Instant, Uncertain};
use crate::report::usage::UsageLine;
use std::cell::RefCell;
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
    /// Of each lot that was met, 40 bytes: words read the lines twice, and a look at its tests costs most of a line.
    moistures: RefCell<HashMap<LotCode, Uncertain>>,
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
            moistures: RefCell::default(),
        };
        Ok(Answer::new(usage, Vec::new()))
    }
}

impl<'a> Usage<'a> {
    /// The lines in the order in which grain was taken.
    pub fn lines(&self) -> Chunks<'_, UsageLine> {
        let filter = UsageFilter {
            from: self.request.from,
            before: self.request.before,
            lot: self.lot.as_ref(),
            source: self.request.source,
        };
        let mut next = Some(None);
        let mut finder = None;
        Chunks::new(move || {
            let Some(after) = next else {
                return Ok(None);
            };
            let (lines, mark) = self.as_of.read(|view| {
                let UsageBatch { records, next } = view.usage(&filter, after, AT_ONCE)?;
                let lines = records
                    .into_iter()
                    .map(|record| {
                        let moisture = self.moisture(view, &mut finder, &record.lot)?;
                        Ok(UsageLine::new(record, &moisture))
                    })
                    .collect::<anyhow::Result<Vec<_>>>()?;
                Ok((lines, next))
            })?;
            if let Some(finder) = &mut finder {
                finder.forget_made();
            }
            next = mark.map(Some);
            Ok(Some(lines))
        })
    }

    /// The moisture of a lot, worked out where it is met first.
    fn moisture(
        &self,
        view: View<'a>,
        finder: &mut Option<FactFinder<'a>>,
        lot: &LotRecord,
    ) -> anyhow::Result<Uncertain> {
        let mut moistures = self.moistures.borrow_mut();
        if let Some(known) = moistures.get(&lot.code) {
            return Ok(*known);
        }
        let finder = match finder {
            Some(known) => known,
            None => finder.insert(FactFinder::new(view)?),
        };
        let moisture = finder.estimate(lot)?.moisture;
        moistures.insert(lot.code, moisture);
        Ok(moisture)
    }
}
