//! Why a water temperature cannot be worked out, in words.

use super::option;
use crate::desk::{TemperatureOf, TemperatureProblem};
use crate::quantity::Problem;

/// What is missing or out of range, with what to add.
pub fn words(problem: &TemperatureProblem) -> Problem {
    match problem {
        TemperatureProblem::TapUnknown(field) => Problem::new(format!(
            "{} is given, and the water temperature needs that of the tap too",
            option(field)
        ))
        .hint("add --tap TEMPERATURE, such as --tap 12C"),
        TemperatureProblem::FlourUnknown => Problem::new(
            "the water temperature needs that of the flour, and neither --room nor --flour-temp is given",
        )
        .hint("add --room TEMPERATURE, such as --room 21C"),
        TemperatureProblem::GrainUnknown => Problem::new(
            "the water temperature needs that of the grain, and neither --grain-temp nor --frozen is given",
        )
        .hint("add --grain-temp TEMPERATURE, such as --grain-temp 4C, or --frozen"),
        TemperatureProblem::GrainNotAtMixing { formula, stage } => Problem::new(format!(
            "the grain of `{formula}` goes into the stage `{stage}`, so its own temperature does not count at mixing"
        ))
        .hint("leave out --grain-temp and --frozen; --preferment-temp is the temperature of that stage"),
        TemperatureProblem::NoPreferment(formula) => Problem::new(format!(
            "--preferment-temp is given, and `{formula}` has no preferment or soaker"
        ))
        .hint("leave it out"),
        TemperatureProblem::StageUnknown(stage) => Problem::new(format!(
            "the water temperature needs that of the stage `{stage}`: the formula does not say it, and neither --preferment-temp nor --room is given"
        ))
        .hint("add --room TEMPERATURE or --preferment-temp TEMPERATURE"),
        TemperatureProblem::DoughUnknown(formula) => Problem::new(format!(
            "formula `{formula}` does not say how warm the dough is to be"
        ))
        .hint("add --dough-temp TEMPERATURE, such as --dough-temp 25C"),
        TemperatureProblem::DoughNotMeasured(entry) => Problem::new(format!(
            "entry {entry} does not say how warm the dough came out"
        ))
        .hint("add --dough-temp TEMPERATURE, such as --dough-temp 25C"),
        TemperatureProblem::WaterUnknown => Problem::new(
            "no water temperature could be said for this dough, so that of the water that went in is needed",
        )
        .hint("add --water-temp TEMPERATURE, such as --water-temp 43C"),
        TemperatureProblem::OutOfRange(of, problem) => problem.clone().within(match of {
            TemperatureOf::Field(field) => option(field),
            TemperatureOf::GrainsPlace => "the grain's place".to_owned(),
            TemperatureOf::Stage(stage) => format!("stage `{stage}`"),
            TemperatureOf::Formula(formula) => format!("formula `{formula}`"),
        }),
    }
}
