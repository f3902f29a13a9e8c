//! JSON of `trace`.

use super::not_free_lots;
use super::rows::{BrokenOff, Rows};
use crate::desk;
use crate::grain::LotCode;
use crate::ledger::{How, Outflow, TracedLot};
use crate::quantity::{Milligrams, Zone};
use crate::render::trace::end;
use crate::report::trace::{Balance, ENOUGH, TracedBake};
use serde::{Serialize, Serializer};
use std::cell::Cell;
use std::rc::Rc;

/// `trace --json`.
#[derive(Serialize)]
pub struct Trace<'a> {
    asked: &'a str,
    back: Rows<'a, TracedLot, Lot>,
    lots: Rows<'a, TracedLot, Lot>,
    bakes: Rows<'a, TracedBake, Bake>,
    ends: Rows<'a, Outflow, End>,
    balance: Option<Sums>,
    near_sources: &'a [String],
    grist_unknown: Rows<'a, TracedLot, String>,
    may_hold: Rows<'a, TracedLot, String>,
    entries: Vec<i64>,
}

/// The balance, added up by the rows that are written before it.
struct Sums(Rc<Cell<Balance>>);

impl Sums {
    fn add(sums: &Cell<Balance>, add: impl FnOnce(&mut Balance)) {
        let mut balance = sums.get();
        add(&mut balance);
        sums.set(balance);
    }
}

impl Serialize for Sums {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        Sum::from(&self.0.get()).serialize(serializer)
    }
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
    corrector: Option<String>,
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
    not_free_of: Option<String>,
    not_free_lots: Vec<String>,
}

#[derive(Serialize)]
struct End {
    at: String,
    lot: String,
    kind: &'static str,
    wet_g: f64,
    words: Option<String>,
    by: Option<String>,
    corrector: Option<String>,
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
    lost_in_treatments_g: f64,
    added_in_treatments_g: f64,
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

impl<'a> Trace<'a> {
    /// From the answer.
    pub fn new(trace: &'a desk::Trace<'_>, zone: &'a Zone, broken_off: &BrokenOff) -> Self {
        let sums = Rc::new(Cell::new(Balance {
            may_be_more: !trace.near_sources.is_empty(),
            ..Balance::default()
        }));
        let [of_lots, of_bakes, of_ends] = [(); 3].map(|()| Rc::clone(&sums));
        let code = |lot: &TracedLot| Some(lot.lot.code.to_string());
        Self {
            asked: &trace.asked,
            back: Rows::new(trace.back(), broken_off, |lot| Some(Lot::new(lot, zone))),
            lots: Rows::new(trace.lots(), broken_off, move |lot| {
                Sums::add(&of_lots, |balance| trace.add_lot(balance, lot));
                Some(Lot::new(lot, zone))
            }),
            bakes: Rows::new(trace.bakes(), broken_off, move |bake| {
                Sums::add(&of_bakes, |balance| balance.add_bake(bake));
                Some(Bake::new(bake, zone))
            }),
            ends: Rows::new(trace.ends(), broken_off, move |out| {
                Sums::add(&of_ends, |balance| balance.add_outflow(out));
                End::new(out, zone).filter(|_| out.wet != Milligrams::ZERO)
            }),
            balance: trace.has_balance.then_some(Sums(sums)),
            near_sources: &trace.near_sources,
            grist_unknown: Rows::new(trace.lots_of_unknown_grist(), broken_off, code),
            may_hold: Rows::new(trace.lots_that_may_hold(), broken_off, code),
            entries: trace.path.iter().map(|entry| entry.entry).collect(),
        }
    }
}

impl Lot {
    fn new(lot: &TracedLot, zone: &Zone) -> Self {
        Self {
            lot: lot.lot.code.to_string(),
            source: lot.lot.source.clone(),
            brewed_on: lot.lot.brewed_on(zone).to_string(),
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
            by: lot.writers.by.clone(),
            corrector: lot.writers.corrected_by.clone(),
        }
    }
}

impl Bake {
    fn new(bake: &TracedBake, zone: &Zone) -> Self {
        Self {
            bake: bake.name.clone(),
            formula: bake.formula.clone(),
            at: zone.rfc3339(bake.at),
            pieces: bake.pieces.and_then(|pieces| pieces.counted),
            wet_g: bake.wet.grams(),
            of_lots: bake.lots.iter().map(LotCode::to_string).collect(),
            unusable_lots: bake.unusable.iter().map(LotCode::to_string).collect(),
            not_free_of: bake.not_free.as_ref().map(|found| found.of.clone()),
            not_free_lots: not_free_lots(bake.not_free.as_ref()),
        }
    }
}

impl End {
    fn new(out: &Outflow, zone: &Zone) -> Option<Self> {
        Some(Self {
            at: zone.rfc3339(out.at),
            lot: out.lot.code.to_string(),
            kind: end(out)?,
            wet_g: out.wet.grams(),
            words: out.words.clone(),
            by: out.writers.by.clone(),
            corrector: out.writers.corrected_by.clone(),
            unusable: out.unusable,
        })
    }
}

impl From<&Balance> for Sum {
    fn from(balance: &Balance) -> Self {
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
            treatments_g: grams(balance.treatments()),
            lost_in_treatments_g: grams(balance.lost_in_treatments),
            added_in_treatments_g: grams(balance.added_in_treatments),
            missing_g: grams(balance.missing),
            on_hand_g: grams(balance.on_hand),
            difference_g: grams(balance.difference()),
            accounted: super::fraction(balance.accounted()),
            enough: !balance.may_be_more && balance.accounted() >= ENOUGH,
        }
    }
}
