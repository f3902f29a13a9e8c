//! JSON of `strike` and `correct`.

use super::Pickup;
use super::bake::Bake;
use crate::desk;
use crate::ledger::EntryRecord;
use crate::quantity::{Instant, Milligrams, Zone};
use serde::Serialize;

/// `strike --json`: what was struck first by the request, what else was, what counts again, and what does no more.
#[derive(Serialize)]
pub struct Struck {
    #[serde(flatten)]
    first: Option<StruckEntry>,
    others: Vec<StruckEntry>,
    with_them: Vec<i64>,
    back: Vec<i64>,
    out: Vec<i64>,
    used_when_unusable: Vec<JudgedDraw>,
}

#[derive(Serialize)]
struct StruckEntry {
    entry: i64,
    struck_by: i64,
    kind: &'static str,
    lot: Option<String>,
    wet_g: Option<f64>,
    at: String,
}

impl Struck {
    /// From the answer.
    pub fn new(struck: &desk::Struck, zone: &Zone) -> Self {
        let mut entries = struck.entries.iter().map(|(entry, by)| StruckEntry {
            entry: entry.entry,
            struck_by: *by,
            kind: entry.kind.as_str(),
            lot: entry.lot.map(|lot| lot.to_string()),
            wet_g: entry.wet.map(Milligrams::grams),
            at: zone.rfc3339(entry.at),
        });
        let numbers = |entries: &[EntryRecord]| entries.iter().map(|entry| entry.entry).collect();
        Self {
            first: entries.next(),
            others: entries.collect(),
            with_them: numbers(&struck.with_them),
            back: numbers(&struck.back),
            out: numbers(&struck.out),
            used_when_unusable: unusable_draws(&struck.unusable, zone),
        }
    }
}

/// `correct --json`.
#[derive(Serialize)]
pub struct Corrected {
    entry: i64,
    corrected_by: i64,
    kind: &'static str,
    lot: Option<Pickup>,
    bake: Option<Bake>,
    used_when_unusable: Vec<JudgedDraw>,
}

impl Corrected {
    /// From the answer.
    pub fn new(corrected: &desk::Corrected, now: Instant, zone: &Zone) -> Self {
        Self {
            entry: corrected.entry.entry,
            corrected_by: corrected.by.entry,
            kind: corrected.entry.kind.as_str(),
            lot: corrected.lot.as_ref().map(|lot| Pickup::new(lot, zone)),
            bake: corrected
                .bake
                .as_ref()
                .map(|bake| Bake::new(bake, now, zone)),
            used_when_unusable: unusable_draws(&corrected.unusable, zone),
        }
    }
}

/// Grain that was used or given away when it was past or unknown, by what is known now.
#[derive(Serialize)]
struct JudgedDraw {
    lot: String,
    at: String,
    wet_g: f64,
    #[serde(rename = "for")]
    what: String,
    verdict: &'static str,
}

fn unusable_draws(draws: &[desk::JudgedDraw], zone: &Zone) -> Vec<JudgedDraw> {
    draws
        .iter()
        .map(|draw| JudgedDraw {
            lot: draw.lot.to_string(),
            at: zone.rfc3339(draw.at),
            wet_g: draw.wet.grams(),
            what: draw.what.clone(),
            verdict: draw.verdict.as_str(),
        })
        .collect()
}
