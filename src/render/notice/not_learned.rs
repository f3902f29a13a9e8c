//! Why a dough's temperature teaches nothing of the mixing heat, in words.

use crate::desk::NotLearned;
use crate::render::missing_temperatures;
use crate::render::numbers::Units;

pub(super) fn words(why: &NotLearned, entry: i64, units: Units) -> String {
    match why {
        NotLearned::TemperaturesUnknown(missing) => {
            let temperatures = match missing.as_slice() {
                [_] => "temperature",
                _ => "temperatures",
            };
            format!(
                "the bake is saved. How much mixing warms this dough is not learned from it: that needs the {temperatures} of {} too. You may leave it. To add {}: `draff correct {entry} {} --reason TEXT`",
                missing_temperatures::measured(missing),
                if missing.len() == 1 { "it" } else { "them" },
                missing_temperatures::typed(missing, units)
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
