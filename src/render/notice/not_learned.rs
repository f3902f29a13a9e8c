//! Why a dough's temperature teaches nothing of the mixing heat, in words.

use crate::desk::NotLearned;

pub(super) fn words(why: &NotLearned, entry: i64) -> String {
    match why {
        NotLearned::TemperaturesUnknown => format!(
            "the bake is saved. How much mixing warms this dough is not learned from it: that needs the temperatures of tap, room and grain too. You may leave it. To add them: `draff correct {entry} --tap 12C --room 21C --grain-temp 4C --reason TEXT`"
        ),
        NotLearned::WaterUnknown => format!(
            "the mixing heat is not corrected: no water temperature could be said for this dough. Say what the water had: `draff correct {entry} --water-temp TEMPERATURE --reason TEXT`"
        ),
        NotLearned::Unexplained(problem) => format!(
            "the mixing heat is not corrected: {problem}. If one was typed wrong: `draff correct {entry} --dough-temp TEMPERATURE --water-temp TEMPERATURE --reason TEXT`"
        ),
    }
}
