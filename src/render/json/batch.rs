//! JSON of a batch.

use super::{HoldBackSum, fraction, grams};
use crate::dough::batch::warmth::Warmth;
use crate::dough::batch::{Batch, Line, LineKind};
use crate::dough::measures::{self, MeasureSet};
use crate::dough::temperature::{Refusal, Water};
use crate::grain::LotCode;
use crate::grain::moisture_test::Unfinished;
use crate::render::numbers::Units;
use crate::render::water_temperature;
use crate::report::batch as report;
use serde::Serialize;

/// `batch --json`.
#[derive(Serialize)]
pub struct BatchAnswer {
    formula: String,
    dough_g: f64,
    divided_g: f64,
    baked_g: f64,
    stages: Vec<Stage>,
    hold_back: HoldBackSum,
    water_temperature: Option<WaterTemperature>,
}

/// One of three: `water_c`, or `ice_g` with `tap_water_g`, or `refused`.
#[derive(Serialize)]
struct WaterTemperature {
    dough_c: f64,
    water_c: Option<f64>,
    ice_g: Option<f64>,
    tap_water_g: Option<f64>,
    factor_rule_c: Option<f64>,
    mixing_heat_known: bool,
    mixing_rise_k: Option<f64>,
    measured_doughs: usize,
    refused: Option<String>,
}

#[derive(Serialize)]
struct Stage {
    stage: String,
    kind: &'static str,
    sum_g: f64,
    lines: Vec<Weight>,
}

#[derive(Serialize)]
struct Weight {
    name: String,
    kind: &'static str,
    weigh_g: f64,
    exact_g: f64,
    of_total_flour: f64,
    of_dough: f64,
    measure: Option<String>,
    /// What the measure holds beyond `exact_g`, as a fraction of it.
    measure_error: Option<f64>,
}

impl BatchAnswer {
    /// From the batch, its water temperature and household measures where they were asked for, and where its
    /// moisture comes from.
    pub fn new(answer: &report::BatchAnswer, measures: Option<MeasureSet>) -> Self {
        Self::of(
            &answer.formula.name,
            &answer.batch,
            answer.warmth.as_ref(),
            measures,
            (answer.standard_uncertainty, &answer.from),
            &in_dough(&answer.drying, answer.lots.len()),
        )
    }

    /// The same of a sheet. The pair is the standard uncertainty of the moisture and where it comes from.
    pub fn of(
        formula: &str,
        batch: &Batch,
        warmth: Option<&Warmth>,
        measures: Option<MeasureSet>,
        known: (f64, &str),
        unfinished: &Unfinished,
    ) -> Self {
        Self {
            formula: formula.to_owned(),
            dough_g: grams(batch.dough),
            divided_g: grams(batch.divided),
            baked_g: grams(batch.baked),
            stages: batch
                .stages
                .iter()
                .map(|stage| Stage {
                    stage: stage.name.clone(),
                    kind: stage.kind.as_str(),
                    sum_g: stage.sum().grams(),
                    lines: stage
                        .lines
                        .iter()
                        .map(|line| weight(line, measures))
                        .collect(),
                })
                .collect(),
            hold_back: HoldBackSum::new(&batch.hold_back, known, unfinished),
            water_temperature: warmth.map(water),
        }
    }
}

/// Samples that are still drying, of so many lots in a dough. What one of several lots has at least says nothing of all.
pub(super) fn in_dough(drying: &[(LotCode, Unfinished)], lots: usize) -> Unfinished {
    Unfinished {
        samples: drying.iter().map(|(_, samples)| samples.samples).sum(),
        at_least: match drying {
            [(_, only)] if lots == 1 => only.at_least,
            _ => None,
        },
    }
}

fn water(warmth: &Warmth) -> WaterTemperature {
    let (water_c, ice_g, tap_water_g) = match &warmth.plan {
        Ok(plan) => match plan.water {
            Water::Tempered { celsius } => (Some(celsius), None, None),
            Water::WithIce { ice, tap_water, .. } => {
                (None, Some(grams(ice)), Some(grams(tap_water)))
            }
        },
        Err(_) => (None, None, None),
    };
    let rule = match &warmth.plan {
        Ok(plan) => plan.factor_rule,
        Err(Refusal::TooHot(why)) => why.factor_rule,
        Err(Refusal::NotEnoughWaterForIce { .. } | Refusal::Other(_)) => None,
    };
    WaterTemperature {
        dough_c: warmth.dough_celsius,
        // A tenth of a degree is finer than any tap.
        water_c: water_c.map(|celsius| (celsius * 10.0).round() / 10.0),
        ice_g,
        tap_water_g,
        factor_rule_c: rule.and_then(|rule| rule.celsius).map(fraction),
        mixing_heat_known: warmth.mixing.kelvin.is_some(),
        mixing_rise_k: warmth.mixing.kelvin,
        measured_doughs: warmth.mixing.doughs,
        refused: warmth
            .plan
            .is_err()
            .then(|| water_temperature::refusal(warmth, Units::Metric).to_string()),
    }
}

fn weight(line: &Line, measures: Option<MeasureSet>) -> Weight {
    let measure = measures.and_then(|set| measures::of_line(line, set));
    Weight {
        name: line.name.clone(),
        kind: match line.what {
            LineKind::Grain => "grain",
            LineKind::Flour => "flour",
            LineKind::Water => "water",
            LineKind::HeldBack => "held back",
            LineKind::Ingredient(kind) => kind.as_str(),
            LineKind::Stage => "stage",
        },
        weigh_g: line.weight.grams(),
        exact_g: grams(line.exact),
        of_total_flour: fraction(line.of_flour),
        of_dough: fraction(line.of_dough),
        measure: measure.map(|measure| measure.to_string()),
        measure_error: measure.map(|measure| fraction(measure.relative_error)),
    }
}
