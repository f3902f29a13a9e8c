//! JSON of `trace`.

use crate::grain::LotCode;
use crate::ledger::{How, Outflow, TracedLot};
use crate::quantity::{Milligrams, Zone};
use crate::render::trace::end;
use crate::report::trace::{Balance, ENOUGH, TraceAnswer, TracedBake};
use serde::Serialize;

/// `trace --json`.
#[derive(Serialize)]
pub struct Trace {
    asked: String,
    back: Vec<Lot>,
    lots: Vec<Lot>,
    bakes: Vec<Bake>,
    ends: Vec<End>,
    balance: Option<Sum>,
    near_sources: Vec<String>,
    grist_unknown: Vec<String>,
    may_hold: Vec<String>,
    entries: Vec<i64>,
}

#[derive(Serialize)]
struct Lot {
    lot: String,
    source: String,
    brewed_on: String,
    form: &'static str,
    grist: Option<String>,
    how: &'static str,
    made_of: Vec<String>,
    at: String,
    came_g: f64,
    left_g: f64,
    place: Option<String>,
    by: Option<String>,
}

#[derive(Serialize)]
struct Bake {
    bake: String,
    formula: Option<String>,
    at: String,
    pieces: Option<u32>,
    wet_g: f64,
    of_lots: Vec<String>,
    unusable_lots: Vec<String>,
}

#[derive(Serialize)]
struct End {
    at: String,
    lot: String,
    kind: &'static str,
    wet_g: f64,
    words: Option<String>,
    by: Option<String>,
    unusable: bool,
}

#[derive(Serialize)]
struct Sum {
    came_g: f64,
    joined_g: f64,
    used_g: f64,
    given_g: f64,
    feed_g: f64,
    compost_g: f64,
    waste_g: f64,
    discarded_g: f64,
    treatments_g: f64,
    missing_g: f64,
    on_hand_g: f64,
    difference_g: f64,
    accounted: f64,
    enough: bool,
}

/// The word for how a lot came to be.
pub fn how(lot: &TracedLot) -> &'static str {
    match &lot.how {
        How::Pickup => "pickup",
        How::Part => "part",
        How::Treatment(record) => record.treatment.step.as_str(),
        How::Join => "join",
    }
}

impl Trace {
    /// From the answer.
    pub fn new(answer: &TraceAnswer, zone: &Zone) -> Self {
        let lots = |lots: &[TracedLot]| lots.iter().map(|lot| Lot::new(lot, zone)).collect();
        Self {
            asked: answer.asked.clone(),
            back: lots(&answer.back),
            lots: lots(&answer.lots),
            bakes: answer
                .bakes
                .iter()
                .map(|bake| Bake::new(bake, zone))
                .collect(),
            ends: answer
                .outflows
                .iter()
                .filter(|out| out.wet != Milligrams::ZERO)
                .filter_map(|out| End::new(out, answer, zone))
                .collect(),
            balance: answer
                .balance
                .as_ref()
                .map(|balance| Sum::new(balance, answer.near_sources.is_empty())),
            near_sources: answer.near_sources.clone(),
            grist_unknown: answer.grist_unknown.clone(),
            may_hold: answer
                .lots
                .iter()
                .filter(|lot| answer.may_hold.contains(&lot.lot.code))
                .map(|lot| lot.lot.code.to_string())
                .collect(),
            entries: answer.path.iter().map(|entry| entry.entry).collect(),
        }
    }
}

impl Lot {
    fn new(lot: &TracedLot, zone: &Zone) -> Self {
        Self {
            lot: lot.lot.code.to_string(),
            source: lot.lot.source.clone(),
            brewed_on: lot.lot.code.brewed_on().to_string(),
            form: lot.lot.form.as_str(),
            grist: lot.lot.grist.clone(),
            how: how(lot),
            made_of: lot
                .made_of
                .iter()
                .map(|(of, _)| of.code.to_string())
                .collect(),
            at: zone.rfc3339(lot.came),
            came_g: lot.wet.grams(),
            left_g: lot.held.as_ref().map_or(0.0, |(wet, _)| wet.grams()),
            place: lot.held.as_ref().map(|(_, place)| place.clone()),
            by: lot.by.clone(),
        }
    }
}

impl Bake {
    fn new(bake: &TracedBake, zone: &Zone) -> Self {
        Self {
            bake: bake.name.clone(),
            formula: bake.formula.clone(),
            at: zone.rfc3339(bake.at),
            pieces: bake.pieces,
            wet_g: bake.wet.grams(),
            of_lots: bake.lots.iter().map(LotCode::to_string).collect(),
            unusable_lots: bake.unusable.iter().map(LotCode::to_string).collect(),
        }
    }
}

impl End {
    fn new(out: &Outflow, answer: &TraceAnswer, zone: &Zone) -> Option<Self> {
        Some(Self {
            at: zone.rfc3339(out.at),
            lot: out.lot.code.to_string(),
            kind: end(out)?,
            wet_g: out.wet.grams(),
            words: out.words.clone(),
            by: out.by.clone(),
            unusable: answer.unusable.contains_key(&(out.lot.code, out.at)),
        })
    }
}

impl Sum {
    /// What nobody knows to be another source may be missing from the sum, so that it is not enough.
    fn new(balance: &Balance, is_all: bool) -> Self {
        let grams = |milligrams: i64| milligrams as f64 / 1000.0;
        Self {
            came_g: grams(balance.came),
            joined_g: grams(balance.joined),
            used_g: grams(balance.baked),
            given_g: grams(balance.given),
            feed_g: grams(balance.feed),
            compost_g: grams(balance.compost),
            waste_g: grams(balance.waste),
            discarded_g: grams(balance.discarded),
            treatments_g: grams(balance.treatments),
            missing_g: grams(balance.missing),
            on_hand_g: grams(balance.on_hand),
            difference_g: grams(balance.difference()),
            accounted: super::fraction(balance.accounted()),
            enough: is_all && balance.accounted() >= ENOUGH,
        }
    }
}
