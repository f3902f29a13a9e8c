//! Why a dough's temperature teaches nothing of the mixing heat, in words.

use crate::desk::NotLearned;
use crate::render::numbers::Units;

pub(super) fn words(why: &NotLearned, entry: i64, units: Units) -> String {
    match why {
        NotLearned::TemperaturesUnknown => {
            let typed = match units {
                Units::Metric => "--tap 12C --room 21C --grain-temp 4C",
                Units::Us => "--tap 54F --room 70F --grain-temp 39F",
            };
            format!(
                "the bake is saved. How much mixing warms this dough is not learned from it: that needs the temperatures of tap, room and grain too. You may leave it. To add them: `draff correct {entry} {typed} --reason TEXT`"
            )
        }
        NotLearned::WaterUnknown => format!(
            "the mixing heat is not corrected: no water temperature could be said for this dough. Say what the water had: `draff correct {entry} --water-temp TEMPERATURE --reason TEXT`"
        ),
        NotLearned::Unexplained(problem) => format!(
            "the mixing heat is not corrected: {}. If one was typed wrong: `draff correct {entry} --dough-temp TEMPERATURE --water-temp TEMPERATURE --reason TEXT`",
            units.in_words(&problem.to_string())
        ),
    }
}
