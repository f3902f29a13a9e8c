//! One source as JSON.

use super::Moisture;
use super::why::Limits;
use crate::quantity::Zone;
use crate::report::source::SourceAnswer;
use serde::Serialize;

/// `source show --json`.
#[derive(Serialize)]
pub struct Source {
    source: String,
    next_lots: Vec<Next>,
    lots: Vec<Lot>,
}

/// What the next lot of one kind and form is taken to be.
#[derive(Serialize)]
struct Next {
    kind: &'static str,
    form: &'static str,
    moisture: Moisture,
    #[serde(flatten)]
    limits: Limits,
}

#[derive(Serialize)]
struct Lot {
    lot: String,
    brewed_on: String,
    kind: &'static str,
    form: &'static str,
    moisture: Moisture,
    wet_g: f64,
}

impl Source {
    /// From the answer.
    pub fn new(answer: &SourceAnswer, zone: &Zone) -> Self {
        let next = answer.grain.iter().map(|grain| Next {
            kind: grain.kind.as_str(),
            form: grain.form.as_str(),
            moisture: Moisture::from(&grain.next),
            limits: Limits::of(grain.chart.as_ref()),
        });
        let lots = answer.lots.iter().map(|of| Lot {
            lot: of.lot.code.to_string(),
            brewed_on: of.lot.brewed_on(zone).to_string(),
            kind: of.lot.kind.as_str(),
            form: of.lot.form.as_str(),
            moisture: Moisture::from(&of.estimate),
            wet_g: of.wet.grams(),
        });
        Self {
            source: answer.source.clone(),
            next_lots: next.collect(),
            lots: lots.collect(),
        }
    }
}
