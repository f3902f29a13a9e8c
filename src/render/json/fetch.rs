//! JSON of `fetch`.

use super::fraction;
use crate::dough::formula::Colour;
use crate::planning::fetch::{Because, Expected};
use crate::quantity::{Milligrams, Zone};
use crate::report::fetch::FetchAnswer;
use serde::Serialize;

/// `fetch --json`.
#[derive(Serialize)]
pub struct Fetch {
    as_of: String,
    until: String,
    take_wet_g: f64,
    because: Option<&'static str>,
    stopped: bool,
    source: Option<String>,
    like_lot: Option<String>,
    pickup_at: String,
    mash_out_at: String,
    keep_until: Option<String>,
    form: &'static str,
    colour: Option<&'static str>,
    grist: Option<String>,
    wet_basis: f64,
    least_wet_basis: f64,
    most_wet_basis: f64,
    from: &'static str,
    firm_bakes: usize,
    optional_bakes: usize,
    chance: f64,
    drawn: u32,
    seed: u64,
    step_wet_g: f64,
    wanted_dry_g: f64,
    amounts: Vec<Amount>,
    overdue: Vec<String>,
    later: usize,
}

#[derive(Serialize)]
struct Amount {
    wet_g: f64,
    given_dry_g: f64,
    off_target_dry_g: f64,
    short_dry_g: f64,
    optional_short_dry_g: f64,
    spoiled_dry_g: f64,
    preserved_unused_dry_g: f64,
    work_cost: f64,
    spoiled_cost: Option<f64>,
}

impl Fetch {
    /// From the answer.
    pub fn new(answer: &FetchAnswer, zone: &Zone) -> Self {
        let fetch = &answer.fetch;
        let situation = &answer.ground.situation;
        let like = answer.like.as_ref();
        Self {
            as_of: zone.rfc3339(situation.now),
            until: zone.rfc3339(situation.end),
            take_wet_g: fetch.wet.grams(),
            because: fetch.because.map(Because::as_key),
            stopped: fetch.stopped,
            source: like.map(|like| like.source.clone()),
            like_lot: like.map(|like| like.code.to_string()),
            pickup_at: zone.rfc3339(answer.at),
            mash_out_at: zone.rfc3339(answer.mash_out),
            keep_until: fetch.until.map(|until| zone.rfc3339(until)),
            form: answer.lot.form.as_str(),
            colour: answer.lot.colour.map(Colour::as_str),
            grist: like.and_then(|like| like.grist.clone()),
            wet_basis: fraction(answer.moisture.wet_basis().get()),
            least_wet_basis: fraction(fetch.moisture.0),
            most_wet_basis: fraction(fetch.moisture.1),
            from: answer.moisture.from.as_key(),
            firm_bakes: situation.bakes.len() - answer.optional(),
            optional_bakes: answer.optional(),
            chance: fraction(answer.chance),
            drawn: answer.samples,
            seed: answer.seed,
            step_wet_g: fetch.step.grams(),
            wanted_dry_g: grams(fetch.wanted),
            amounts: answer
                .amounts()
                .into_iter()
                .map(|(wet, expected)| Amount::new(answer, wet, expected))
                .collect(),
            overdue: answer
                .ground
                .overdue
                .iter()
                .map(ToString::to_string)
                .collect(),
            later: answer.ground.later,
        }
    }
}

impl Amount {
    fn new(answer: &FetchAnswer, wet: Milligrams, expected: &Expected) -> Self {
        Self {
            wet_g: wet.grams(),
            given_dry_g: grams(expected.given),
            off_target_dry_g: grams(expected.off_wanted),
            short_dry_g: grams(expected.short),
            optional_short_dry_g: grams(expected.optional_short),
            spoiled_dry_g: grams(expected.spoiled),
            preserved_unused_dry_g: grams(expected.preserved_unused),
            work_cost: fraction(expected.work_cost),
            spoiled_cost: answer.spoiled_cost(expected).map(fraction),
        }
    }
}

/// To the tenth of a gram: an average over samples has no more.
fn grams(kilograms: f64) -> f64 {
    (kilograms * 10_000.0).round() / 10.0
}
