//! JSON of bakes.

use super::{grams, not_free_lots};
use crate::ledger::{BakeEnd, BakeResult, CameOut};
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::bake::BakeAnswer;
use crate::report::promise::PromisedGrain;
use serde::Serialize;

/// `bake list --json`.
#[derive(Serialize)]
pub struct Bakes {
    bakes: Vec<Bake>,
}

/// One bake.
#[derive(Serialize)]
pub struct Bake {
    bake: String,
    state: &'static str,
    formula: String,
    version: u32,
    starts_at: String,
    mix_at: String,
    in_oven_at: Option<String>,
    ready_at: String,
    pieces: u32,
    piece_g: f64,
    firm: bool,
    min_dry_g: f64,
    target_dry_g: f64,
    max_dry_g: f64,
    lots: Vec<BakeLot>,
    promised: Vec<Promised>,
    left_out_by_plan: bool,
    most_lots: Option<u32>,
    free_of: Option<String>,
    not_free_lots: Vec<String>,
    note: Option<String>,
    result: Option<Outcome>,
}

#[derive(Serialize)]
struct BakeLot {
    lot: String,
    verdict: &'static str,
    keep_until: Option<String>,
}

#[derive(Serialize)]
struct Promised {
    lot: String,
    planned_lot: String,
    wet_g: f64,
    lacking_g: f64,
    accepted_at: String,
    usable_then: bool,
}

impl Promised {
    fn new(promised: &PromisedGrain, answer: &BakeAnswer, zone: &Zone) -> Self {
        Self {
            lot: promised.code().to_string(),
            planned_lot: promised.named.to_string(),
            wet_g: promised.wet.grams(),
            lacking_g: promised.missing.grams(),
            accepted_at: zone.rfc3339(promised.accepted_at),
            usable_then: !answer.lost.iter().any(|lost| lost.is_of(promised)),
        }
    }
}

#[derive(Serialize)]
struct Outcome {
    mixed_at: String,
    by: Option<String>,
    draws: Vec<Draw>,
    said_pour_g: f64,
    said_hold_back_g: f64,
    said_thirst_g: Option<f64>,
    water_g: Option<f64>,
    pieces: Option<u32>,
    baked_g: Option<f64>,
    measured_dough_c: Option<f64>,
    mixing_rise_k: Option<f64>,
    rating: Option<u8>,
    came_out: Option<&'static str>,
    note: Option<String>,
}

#[derive(Serialize)]
struct Draw {
    lot: String,
    wet_g: f64,
}

impl Bakes {
    /// From the bakes, in their order.
    pub fn new(answers: &[BakeAnswer], now: Instant, zone: &Zone) -> Self {
        Self {
            bakes: answers
                .iter()
                .map(|answer| Bake::new(answer, now, zone))
                .collect(),
        }
    }
}

impl Bake {
    /// From one bake.
    pub fn new(answer: &BakeAnswer, now: Instant, zone: &Zone) -> Self {
        let setting = &answer.bake.setting;
        let time = |at: Instant| zone.rfc3339(at);
        Self {
            bake: answer.bake.code.to_string(),
            state: match &answer.bake.end {
                Some(end) => end.as_str(),
                None if answer.is_overdue(now) => "overdue",
                None => "planned",
            },
            formula: setting.formula.name.clone(),
            version: setting.formula.version,
            starts_at: time(answer.needs.timetable.begins_at()),
            mix_at: time(answer.needs.timetable.mix_at),
            in_oven_at: answer.needs.timetable.in_oven_at.map(time),
            ready_at: time(answer.needs.timetable.ready_at),
            pieces: setting.pieces,
            piece_g: setting.piece.grams(),
            firm: setting.firm,
            min_dry_g: grams(answer.needs.dry_lowest),
            target_dry_g: grams(answer.needs.dry_wanted),
            max_dry_g: grams(answer.needs.dry_highest),
            lots: answer
                .lots
                .iter()
                .map(|lot| BakeLot {
                    lot: lot.lot.code.to_string(),
                    verdict: lot.keeping.verdict.as_str(),
                    keep_until: lot.keeping.keep_until.map(time),
                })
                .collect(),
            promised: answer
                .promised
                .iter()
                .map(|promised| Promised::new(promised, answer, zone))
                .collect(),
            left_out_by_plan: answer.is_left_out,
            most_lots: setting.most_lots,
            free_of: setting.free_of.clone(),
            not_free_lots: not_free_lots(answer.bake.not_free().as_ref()),
            note: setting.note.clone(),
            result: match &answer.bake.end {
                Some(BakeEnd::Done(result)) => Some(Outcome::new(result, zone)),
                _ => None,
            },
        }
    }
}

impl Outcome {
    fn new(result: &BakeResult, zone: &Zone) -> Self {
        let measured = &result.measured;
        Self {
            mixed_at: zone.rfc3339(result.at),
            by: result.by.clone(),
            draws: result
                .draws
                .iter()
                .map(|(lot, wet)| Draw {
                    lot: lot.code.to_string(),
                    wet_g: wet.grams(),
                })
                .collect(),
            said_pour_g: measured.said_pour.grams(),
            said_hold_back_g: measured.said_hold.grams(),
            said_thirst_g: measured.said_thirst.map(Milligrams::grams),
            water_g: measured.water.map(Milligrams::grams),
            pieces: measured.pieces,
            baked_g: measured.baked.map(Milligrams::grams),
            measured_dough_c: measured
                .dough_milli_celsius
                .map(|milli| f64::from(milli) / 1e3),
            mixing_rise_k: measured.mixing_kelvin,
            rating: measured.rating,
            came_out: measured.came_out.map(CameOut::as_str),
            note: result.note.clone(),
        }
    }
}
