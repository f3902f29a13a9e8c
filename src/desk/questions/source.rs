//! One source: its lots, and what they say of the next one.

use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk};
use crate::ledger::LotRecord;
use crate::report::source::{GrainOfSource, LotOfSource, SourceAnswer};
use std::collections::BTreeMap;

/// The newest lots that are shown.
const NEWEST: u32 = 30;

impl Desk {
    /// The newest lots of a source, their moisture, and what the next one is taken to be.
    pub fn source(&self, name: &str) -> anyhow::Result<Answer<SourceAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        let mut finder = FactFinder::new(view)?;
        let today = self.zone().date(self.now);
        let arrivals = view.newest_arrivals(Some(name), NEWEST)?;
        let mut newest_of: BTreeMap<_, &LotRecord> = BTreeMap::new();
        for lot in &arrivals {
            newest_of
                .entry((lot.kind.as_str(), lot.form.as_str()))
                .or_insert(lot);
        }
        let mut grain = Vec::new();
        for lot in newest_of.into_values() {
            grain.push(GrainOfSource {
                kind: lot.kind,
                form: lot.form,
                next: finder.estimate_of_next(lot)?,
                chart: finder.source_chart(lot, today)?,
            });
        }
        let source = match arrivals.first() {
            Some(lot) => lot.source.clone(),
            None => name.to_owned(),
        };
        let mut lots = Vec::new();
        for lot in arrivals {
            let facts = finder.facts(lot)?;
            lots.push(LotOfSource {
                estimate: facts.moisture.estimate(&facts.lot)?,
                wet: facts.wet,
                lot: facts.lot,
            });
        }
        let answer = SourceAnswer {
            source,
            grain,
            lots,
        };
        Ok(Answer::new(answer, Vec::new()))
    }
}
