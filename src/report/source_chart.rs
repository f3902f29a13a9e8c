//! Whether the grain of a source stays as it was: its tested lots with the limits of a control chart.

use crate::grain::control_chart::{ControlChart, Side, Signal};
use crate::grain::{Form, Kind, LotCode};
use crate::ledger::LotRecord;
use crate::quantity::Uncertain;

/// The latest tested lots of one source, kind and form.
#[derive(Debug, Clone)]
pub struct SourceChart {
    /// The source.
    pub source: String,
    /// How its grain was made.
    pub kind: Kind,
    /// Its form.
    pub form: Form,
    /// Its lots in the order of their brew days, each with what its tests say.
    pub lots: Vec<(LotCode, Uncertain)>,
    /// Their limits; nothing of too few.
    pub chart: Option<ControlChart>,
}

impl SourceChart {
    /// Of lots in any order.
    pub fn of(like: &LotRecord, mut lots: Vec<(LotCode, Uncertain)>) -> Self {
        lots.sort_by_key(|(code, _)| (code.brewed_on(), *code));
        let values: Vec<Uncertain> = lots.iter().map(|(_, moisture)| *moisture).collect();
        Self {
            source: like.source.clone(),
            kind: like.kind,
            form: like.form,
            chart: ControlChart::of(&values),
            lots,
        }
    }

    /// Lots beyond a limit, each with its moisture and its side.
    pub fn odd(&self) -> Vec<(LotCode, f64, Side)> {
        let Some(chart) = &self.chart else {
            return Vec::new();
        };
        let odd = self.lots.iter().enumerate();
        odd.filter_map(|(at, (code, moisture))| Some((*code, moisture.value, chart.beyond(at)?)))
            .collect()
    }

    /// The rule that the newest lot broke together with those before it.
    pub fn drift(&self) -> Option<Signal> {
        self.chart.as_ref()?.drift(self.lots.len())
    }
}
