//! JSON of `strike` and `correct`.

use super::Pickup;
use crate::desk;
use crate::quantity::{Milligrams, Zone};
use serde::Serialize;

/// `strike --json`: what was struck, and what counts again where it was a strike.
#[derive(Serialize)]
pub struct Struck {
    entry: i64,
    struck_by: i64,
    kind: &'static str,
    lot: Option<String>,
    wet_g: Option<f64>,
    at: String,
    back: Vec<i64>,
    used_when_unusable: Vec<UnusableDraw>,
}

impl Struck {
    /// From the answer.
    pub fn new(struck: &desk::Struck, zone: &Zone) -> Self {
        let entry = &struck.entry;
        Self {
            entry: entry.entry,
            struck_by: struck.struck_by,
            kind: entry.kind.as_str(),
            lot: entry.lot.map(|lot| lot.to_string()),
            wet_g: entry.wet.map(Milligrams::grams),
            at: zone.rfc3339(entry.at),
            back: struck.back.iter().map(|entry| entry.entry).collect(),
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
    used_when_unusable: Vec<UnusableDraw>,
}

impl Corrected {
    /// From the answer.
    pub fn new(corrected: &desk::Corrected, zone: &Zone) -> Self {
        Self {
            entry: corrected.entry.entry,
            corrected_by: corrected.by.entry,
            kind: corrected.entry.kind.as_str(),
            lot: corrected.lot.as_ref().map(|lot| Pickup::new(lot, zone)),
            used_when_unusable: unusable_draws(&corrected.unusable, zone),
        }
    }
}

/// Grain that was used or given away when it was past or unknown, by what is known now.
#[derive(Serialize)]
struct UnusableDraw {
    lot: String,
    at: String,
    wet_g: f64,
    #[serde(rename = "for")]
    what: String,
    verdict: &'static str,
}

fn unusable_draws(draws: &[desk::UnusableDraw], zone: &Zone) -> Vec<UnusableDraw> {
    draws
        .iter()
        .map(|draw| UnusableDraw {
            lot: draw.lot.to_string(),
            at: zone.rfc3339(draw.at),
            wet_g: draw.wet.grams(),
            what: draw.what.clone(),
            verdict: draw.verdict.as_str(),
        })
        .collect()
}
