//! JSON of a batch.

use super::{HoldBackSum, fraction, grams};
use crate::dough::batch::{Batch, Line, What};
use crate::dough::formula::Formula;
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
}

impl BatchAnswer {
    /// From the batch and where its moisture comes from.
    pub fn new(formula: &Formula, batch: &Batch, standard_uncertainty: f64, from: &str) -> Self {
        Self {
            formula: formula.name.clone(),
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
                    lines: stage.lines.iter().map(weight).collect(),
                })
                .collect(),
            hold_back: HoldBackSum::new(&batch.hold_back, standard_uncertainty, from),
        }
    }
}

fn weight(line: &Line) -> Weight {
    Weight {
        name: line.name.clone(),
        kind: match line.what {
            What::Grain => "grain",
            What::Flour => "flour",
            What::Water => "water",
            What::HeldBack => "held back",
            What::Ingredient(kind) => kind.as_str(),
            What::Stage => "stage",
        },
        weigh_g: line.weight.grams(),
        exact_g: grams(line.exact),
        of_total_flour: fraction(line.of_flour),
        of_dough: fraction(line.of_dough),
    }
}
