//! JSON of `shelf`.

use super::{Moisture, grams};
use crate::keeping::Advice;
use crate::quantity::{Milligrams, Zone};
use crate::render::words;
use crate::report::LotAnswer;
use crate::report::promise::PromisedTo;
use crate::report::shelf::ShelfAnswer;
use serde::Serialize;

/// `shelf --json`.
#[derive(Serialize)]
pub struct Shelf {
    as_of: String,
    lots: Vec<ShelfLot>,
}

#[derive(Serialize)]
struct ShelfLot {
    lot: String,
    source: String,
    brewed_on: String,
    form: &'static str,
    wet_g: f64,
    dry_g: f64,
    moisture: Moisture,
    place: Option<String>,
    place_kind: Option<&'static str>,
    keep_until: Option<String>,
    act_by: Option<String>,
    hours_left: Option<f64>,
    day: Option<u32>,
    warm_minutes: i64,
    verdict: &'static str,
    binding: Binding,
    not_measured_since: Option<String>,
    layer_cm: Option<f64>,
    part_spoiled_at: Option<String>,
    promised_g: f64,
}

#[derive(Serialize)]
struct Binding {
    limit: String,
    source: String,
}

impl Shelf {
    /// From the shelf's answer.
    pub fn new(answer: &ShelfAnswer, zone: &Zone) -> Self {
        Self {
            as_of: zone.rfc3339(answer.as_of),
            lots: answer
                .lots
                .iter()
                .map(|lot| ShelfLot::new(lot, &answer.promised_of(lot.lot.code), zone))
                .collect(),
        }
    }
}

impl ShelfLot {
    fn new(answer: &LotAnswer, promised: &[PromisedTo], zone: &Zone) -> Self {
        let keeping = &answer.keeping;
        Self {
            lot: answer.lot.code.to_string(),
            source: words::together(&answer.sources),
            brewed_on: answer.lot.brewed_on(zone).to_string(),
            form: answer.lot.form.as_str(),
            wet_g: answer.wet.grams(),
            dry_g: grams(answer.dry.best),
            moisture: (&answer.estimate).into(),
            place: answer.place.as_ref().map(|(name, _)| name.clone()),
            place_kind: answer.place.as_ref().map(|(_, kind)| kind.as_str()),
            keep_until: keeping.keep_until.map(|at| zone.rfc3339(at)),
            act_by: keeping
                .advice
                .as_ref()
                .and_then(Advice::by)
                .map(|at| zone.rfc3339(at)),
            hours_left: answer
                .hours_left()
                .map(|hours| (hours * 100.0).round() / 100.0),
            day: keeping.day,
            warm_minutes: keeping.warm_minutes,
            verdict: keeping.verdict.as_str(),
            binding: Binding {
                limit: keeping.binding.limit.clone(),
                source: keeping.binding.source.clone(),
            },
            not_measured_since: keeping.unmeasured_since.map(|at| zone.rfc3339(at)),
            layer_cm: keeping.layer.map(|layer| layer.depth.centimetres()),
            part_spoiled_at: answer.spoiled_part.map(|part| zone.rfc3339(part.at)),
            promised_g: Milligrams::new(promised.iter().map(|one| one.wet.get()).sum()).grams(),
        }
    }
}
