//! JSON of a logger's file that was read in.

use crate::keeping::Assessment;
use crate::quantity::{Temperature, Zone};
use crate::report::readings::{Changed, ReadingsAnswer, Stretch};
use serde::Serialize;

/// `readings PLACE --csv FILE --json`.
#[derive(Serialize)]
pub struct ReadIn {
    place: String,
    entry: Option<i64>,
    added: usize,
    known: usize,
    differing: usize,
    rows_empty: usize,
    rows_outside: usize,
    first_at: Option<String>,
    last_at: Option<String>,
    coldest_c: Option<f64>,
    warmest_c: Option<f64>,
    warm_minutes: i64,
    warm: Vec<JsonStretch>,
    gaps: Vec<JsonStretch>,
    changed: Vec<JsonChanged>,
}

#[derive(Serialize)]
struct JsonStretch {
    from: String,
    to: String,
}

#[derive(Serialize)]
struct JsonChanged {
    lot: String,
    verdict_before: &'static str,
    keep_until_before: Option<String>,
    verdict: &'static str,
    keep_until: Option<String>,
}

impl ReadIn {
    /// From the answer.
    pub fn new(answer: &ReadingsAnswer, zone: &Zone) -> Self {
        let stretches = |all: &[Stretch]| {
            all.iter()
                .map(|stretch| JsonStretch {
                    from: zone.rfc3339(stretch.from),
                    to: zone.rfc3339(stretch.to),
                })
                .collect()
        };
        Self {
            place: answer.place.clone(),
            entry: answer.read_in.entry,
            added: answer.read_in.added,
            known: answer.read_in.known,
            differing: answer.read_in.differing,
            rows_empty: answer.empty,
            rows_outside: answer.outside,
            first_at: answer.period.map(|period| zone.rfc3339(period.from)),
            last_at: answer.period.map(|period| zone.rfc3339(period.to)),
            coldest_c: answer.coldest.map(Temperature::degrees_celsius),
            warmest_c: answer.warmest.map(Temperature::degrees_celsius),
            warm_minutes: answer.warm_minutes(),
            warm: stretches(&answer.warm),
            gaps: stretches(&answer.gaps),
            changed: answer
                .changed
                .iter()
                .map(|lot| changed(lot, zone))
                .collect(),
        }
    }
}

fn changed(lot: &Changed, zone: &Zone) -> JsonChanged {
    let until = |of: &Assessment| of.keep_until.map(|at| zone.rfc3339(at));
    JsonChanged {
        lot: lot.lot.clone(),
        verdict_before: lot.before.verdict.as_str(),
        keep_until_before: until(&lot.before),
        verdict: lot.after.verdict.as_str(),
        keep_until: until(&lot.after),
    }
}
