//! What was really done: room to write it in, and how to record it.

use super::Words;
use crate::dough::batch::LineKind;
use crate::dough::thirst::ThirstRule;
use crate::render::numbers::Units;

/// What a blank is called at most, so that two stand beside each other.
pub const LONGEST_BLANK: usize = 26;

impl Words<'_> {
    /// What was really done, to write in.
    pub fn blanks(&self) -> Vec<(String, &'static str)> {
        let (degree, mass) = match self.units {
            Units::Metric => ("°C", "g"),
            Units::Us => ("°F", "lb oz"),
        };
        let used = format!("{} used", self.grain());
        let into = format!("water into the {}", self.stage_of_grain());
        // Where no other stage takes water nothing is mistaken.
        let is_told = !self.stages_with_water_beside().is_empty();
        let water = if is_told && into.chars().count() <= LONGEST_BLANK {
            into.as_str()
        } else {
            "water, poured + added"
        };
        [
            ("mixed at", ""),
            (used.as_str(), mass),
            (water, mass),
            ("water temperature", degree),
            ("dough temperature", degree),
            ("pieces", ""),
            ("baked weight of all", mass),
            ("well, fair or poor", ""),
        ]
        .map(|(what, unit)| (what.to_owned(), unit))
        .into()
    }

    /// Which water is meant, and what else can be recorded.
    pub fn how_to_record(&self) -> String {
        let beside = self.stages_with_water_beside();
        let water = match beside.as_slice() {
            [] => String::new(),
            stages => format!(
                "Water: poured + added, not that of the {}. ",
                stages.join(" and the ")
            ),
        };
        format!(
            "{water}Where the day differed from the sheet, add to the command below --at WHEN, --used LOT=MASS, --water-temp TEMPERATURE, --note TEXT."
        )
    }

    /// How to book what was written in, with the thirst, the scale and the temperatures that the sheet was asked with.
    pub fn booking(&self) -> String {
        let given = self.answer.given.iter().map(|(field, temperature)| {
            let option = field.replace('_', "-");
            match temperature {
                Some(temperature) => format!(" --{option} {}", self.typed(*temperature)),
                None => format!(" --{option}"),
            }
        });
        let thirst = match self.answer.thirst {
            ThirstRule::None => " --thirst none",
            ThirstRule::Published | ThirstRule::Learned(_) => "",
        };
        let scale = self.answer.scale.map_or(String::new(), |step| {
            format!(" --scale {}", step.as_typed())
        });
        format!(
            "Record it: draff bake done {} --water MASS --dough-temp TEMPERATURE --pieces NUMBER --baked MASS --came-out WORD{thirst}{scale}{}",
            self.answer.bake,
            given.collect::<String>()
        )
    }

    fn stage_of_grain(&self) -> &str {
        let formula = &self.answer.formula;
        &formula.stages[formula.grain.stage].name
    }

    /// Stages other than that of the grain that take water.
    fn stages_with_water_beside(&self) -> Vec<&str> {
        let formula = &self.answer.formula;
        let stages = self.answer.batch.stages.iter().enumerate();
        stages
            .filter(|(position, stage)| {
                let mut lines = stage.lines.iter();
                *position != formula.grain.stage && lines.any(|line| line.what == LineKind::Water)
            })
            .map(|(_, stage)| stage.name.as_str())
            .collect()
    }
}
