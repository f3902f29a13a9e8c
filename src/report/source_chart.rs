//! Whether the grain of a source stays as it was: its tested lots with the limits of a control chart.

use crate::grain::control_chart::{ControlChart, Side, Signal};
use crate::grain::{Form, Kind, LotCode};
use crate::ledger::LotRecord;
use crate::quantity::Uncertain;
use chrono::NaiveDate;

/// A lot with what its tests say.
#[derive(Debug, Clone, Copy)]
pub struct TestedLot {
    /// Its code.
    pub code: LotCode,
    /// Its brew day.
    pub brewed_on: NaiveDate,
    /// Its moisture.
    pub moisture: Uncertain,
}

/// The latest tested lots of one source, kind and form.
#[derive(Debug, Clone)]
pub struct SourceChart {
    /// The source.
    pub source: String,
    /// How its grain was made.
    pub kind: Kind,
    /// Its form.
    pub form: Form,
    /// Its lots in the order of their brew days.
    pub lots: Vec<TestedLot>,
    /// Their limits; nothing of too few.
    pub chart: Option<ControlChart>,
}

impl SourceChart {
    /// Of lots in any order.
    pub fn of(like: &LotRecord, mut lots: Vec<TestedLot>) -> Self {
        lots.sort_by_key(|lot| (lot.brewed_on, lot.code));
        let values: Vec<Uncertain> = lots.iter().map(|lot| lot.moisture).collect();
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
        odd.filter_map(|(at, lot)| Some((lot.code, lot.moisture.value, chart.beyond(at)?)))
            .collect()
    }

    /// The rule that the newest lot broke together with those before it.
    pub fn drift(&self) -> Option<Signal> {
        self.chart.as_ref()?.drift(self.lots.len())
    }
}
