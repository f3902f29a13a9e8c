//! What was taken from lots.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk};
use crate::grain::{Estimate, LotCode};
use crate::ledger::UsageFilter;
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

impl Desk {
    /// What was taken, each line worked out with the moisture of its lot as known today.
    pub fn usage(&self, request: UsageOf<'_>) -> anyhow::Result<Answer<Vec<UsageLine>>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let lot = request.lot.map(|code| view.lot(code)).transpose()?;
        if let Some(source) = request.source {
            view.refuse_unknown_source(source)?;
        }
        let filter = UsageFilter {
            from: request.from,
            before: request.before,
            lot: lot.as_ref(),
            source: request.source,
        };
        let mut finder = FactFinder::new(view)?;
        let mut estimates: HashMap<LotCode, Estimate> = HashMap::new();
        let mut lines = Vec::new();
        for record in view.usage(&filter)? {
            let estimate = match estimates.get(&record.lot.code) {
                Some(estimate) => estimate.clone(),
                None => {
                    let estimate = finder.estimate(&record.lot)?;
                    estimates.insert(record.lot.code, estimate.clone());
                    estimate
                }
            };
            lines.push(UsageLine::new(record, &estimate));
        }
        Ok(Answer::new(lines, Vec::new()))
    }
}
