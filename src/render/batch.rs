//! A batch worked out: what to weigh, stage by stage.

use super::kitchen_scale::KitchenScale;
use super::lot::Detail;
use super::numbers::{self, Units};
use super::{hold_back, measures, water_temperature, words};
use crate::dough::batch::{Batch, Line, LineKind, mixture};
use crate::dough::measures::MeasureSet;
use crate::quantity::{Milligrams, text};
use crate::report::batch::{BatchAnswer, BatchLot};
use std::fmt::Write;
use uom::si::f64::Mass;

/// Rounding that moves a weight by more than this is pointed out.
const NOTICEABLE: f64 = 0.01;

/// The whole answer; briefly without what it was worked out from.
pub fn text(
    answer: &BatchAnswer,
    measures: Option<MeasureSet>,
    detail: Detail,
    units: Units,
) -> String {
    let mut out = String::new();
    let is_brief = detail == Detail::Brief;
    let (formula, batch) = (&answer.formula, &answer.batch);
    let sum = &batch.hold_back;
    let scale = KitchenScale::new(units, batch.scale);
    let weigh = |mass| scale.weigh_dough(mass);
    let pieces = answer.pieces.map_or(String::new(), |(count, piece)| {
        let over = if weigh(answer.over) != weigh(Mass::default()) {
            format!(" and {} over", weigh(answer.over))
        } else {
            String::new()
        };
        format!(
            ", {} of {}{over}",
            text::count(count as usize, "piece"),
            weigh(piece)
        )
    });
    words::wrapped(
        &mut out,
        "",
        "",
        &format!(
            "{}: {} of dough{pieces}, {} of bread",
            formula.name,
            weigh(batch.dough),
            weigh(batch.baked)
        ),
    );
    out.push('\n');
    if let Some(warmth) = &answer.warmth {
        water_temperature::block(&mut out, warmth, scale);
        out.push('\n');
    }
    let lots = grain(answer, units);
    let of_grain = if is_brief {
        lots
    } else {
        format!(
            "{lots}; {}; {} of total flour as dry grain",
            hold_back::water_in_grain(sum, &answer.from, "it"),
            numbers::percent(sum.grain_share)
        )
    };
    words::labelled(&mut out, "Grain", &of_grain);
    for drying in numbers::drying(&answer.drying) {
        words::labelled(
            &mut out,
            "Warning",
            &format!("{drying}: weigh until the weight is constant, then ask again"),
        );
    }
    if !is_brief {
        words::labelled(&mut out, "Water", &water(batch, scale));
    }
    let held_for = if is_brief {
        hold_back::likely(sum, scale)
    } else {
        hold_back::parts(sum, scale)
    };
    words::labelled(
        &mut out,
        "Hold back",
        &format!("{}: {held_for}", scale.weigh(sum.keep_back)),
    );
    if !is_brief && (formula.handling_loss > 0.0 || formula.bake_loss > 0.0) {
        words::labelled(
            &mut out,
            "Losses",
            &format!(
                "{} at the bench, {} in the oven and while cooling",
                units.to_weigh(batch.dough - batch.divided),
                units.to_weigh(batch.divided - batch.baked)
            ),
        );
    }
    if let Some(largest) = answer.largest {
        words::labelled(
            &mut out,
            "Lot",
            &format!("enough for {} of this dough", units.to_weigh(largest)),
        );
    }
    for line in batch.stages.iter().flat_map(|stage| &stage.lines) {
        // What is held back is a margin; its last gram does not matter.
        let is_moved = line.what != LineKind::HeldBack && line.rounding_error() > NOTICEABLE;
        if is_moved && !is_brief {
            let why = if line.step < batch.scale {
                let step = Units::Metric.weighed(line.step);
                format!(": small amounts are rounded to {step}")
            } else {
                ", the step of your scale".to_owned()
            };
            words::labelled(
                &mut out,
                "Rounding",
                &format!(
                    "{} from {} to {}{why}",
                    line.name,
                    units.exactly(line.exact),
                    on_the_scale(line.weight, units)
                ),
            );
        }
    }
    if let Some(set) = measures {
        measures::notes(&mut out, batch, set);
    }
    if let Some(thirst) = &sum.thirst
        && !is_brief
    {
        let mut words = hold_back::thirst::in_short(sum, thirst, scale);
        if let Some(learned) = &thirst.learned {
            words.push_str(": ");
            words.push_str(&hold_back::thirst::learned_words(learned));
        }
        words::labelled(&mut out, "Thirst", &words);
    }
    for warning in formula.warnings() {
        words::labelled(&mut out, "Warning", &warning);
    }
    // The weights come last: a short screen shows the end of a long answer.
    let scale = WeightColumn::new(batch, units);
    for stage in &batch.stages {
        let _ = writeln!(out, "\n{}", stage.name);
        let lines = stage.lines.iter();
        let mut rows: Vec<Vec<String>> = lines.map(|line| row(line, &scale)).collect();
        let mut right = vec![true, false, true, true];
        if let Some(set) = measures {
            for (row, line) in rows.iter_mut().zip(&stage.lines) {
                row.insert(1, measures::cell(line, set));
            }
            right.insert(1, false);
        }
        for line in words::table(&rows, &right) {
            let _ = writeln!(out, "  {line}");
        }
    }
    out
}

/// All the water of the hydration, stage by stage poured as its lines say.
fn water(batch: &Batch, scale: KitchenScale) -> String {
    let sum = &batch.hold_back;
    let lines = batch.stages.iter().flat_map(|stage| &stage.lines);
    let lines: Vec<&Line> = lines.filter(|line| line.what == LineKind::Water).collect();
    let poured = lines.iter().map(|line| line.weight.get()).sum();
    let exact: Mass = lines.iter().map(|line| line.exact).sum();
    let how = match lines.len() {
        0 | 1 => "poured",
        _ => "poured in all stages together",
    };
    let held = sum.add_water - sum.pour_first;
    let brought = sum.total_water - sum.carried_water - held - exact;
    hold_back::water(sum, (Milligrams::new(poured), how), brought, scale)
}

/// The lots with what is weighed of each: together the line of the grain.
fn grain(answer: &BatchAnswer, units: Units) -> String {
    let named = |lot: &BatchLot| format!("{}, {}", lot.lot, lot.verdict);
    match answer.lots.as_slice() {
        [] => "no lot".to_owned(),
        [only] => named(only),
        several => {
            let drawn: Vec<Mass> = several.iter().map(|lot| lot.wet).collect();
            let batch = &answer.batch;
            let shown = mixture::on_the_scale(&drawn, batch.grain_weight(), batch.scale);
            several
                .iter()
                .zip(shown)
                .map(|(lot, shown)| {
                    let weight = on_the_scale(shown.min(lot.left), units);
                    format!("{weight} of {}", named(lot))
                })
                .collect::<Vec<_>>()
                .join(" and ")
        }
    }
}

/// Weight, name, baker's percentage, true percentage.
fn row(line: &Line, scale: &WeightColumn) -> Vec<String> {
    let name = match line.what {
        LineKind::Stage => format!("all of the {}", line.name),
        _ => line.name.clone(),
    };
    vec![
        scale.shown(line.weight),
        name,
        format!("{} of flour", numbers::share(line.of_flour)),
        format!("{} of dough", numbers::share(line.of_dough)),
    ]
}

/// How the weights of one batch are shown, which stand below each other.
#[derive(Debug, Clone, Copy)]
pub struct WeightColumn {
    units: Units,
    heaviest: Milligrams,
}

impl WeightColumn {
    /// For these.
    pub fn new(batch: &Batch, units: Units) -> Self {
        let lines = batch.stages.iter().flat_map(|stage| &stage.lines);
        let heaviest = lines.map(|line| line.weight).max();
        Self {
            units,
            heaviest: heaviest.unwrap_or_default(),
        }
    }

    /// A weight among the others.
    pub fn shown(&self, weight: Milligrams) -> String {
        match self.units {
            Units::Metric => on_the_scale(weight, self.units),
            Units::Us => Units::Us.to_weigh_among(weight.mass(), self.heaviest.mass()),
        }
    }
}

/// A weight as the scale shows it.
pub fn on_the_scale(weight: Milligrams, units: Units) -> String {
    match units {
        Units::Metric if weight.get() % 1000 == 0 => format!("{} g", weight.get() / 1000),
        Units::Metric => format!("{:.1} g", weight.grams()),
        Units::Us => units.to_weigh(weight.mass()),
    }
}
