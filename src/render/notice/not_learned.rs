//! Why a dough's temperature teaches nothing of the mixing heat, in words.

use crate::desk::NotLearned;

pub(super) fn words(why: &NotLearned) -> String {
    match why {
        NotLearned::TemperaturesUnknown => {
            "the bake is saved. How much mixing warms this dough is not learned from it: that needs the temperatures of tap, room and grain too. You may leave it. To add them, strike the bake and write it down again, such as with --tap 12C --room 21C --grain-temp 4C".to_owned()
        }
        NotLearned::WaterUnknown => {
            "the mixing heat is not corrected: no water temperature could be said for this dough, so say what it had: strike this and write it down again with --water-temp".to_owned()
        }
        NotLearned::Unexplained(problem) => {
            format!("the mixing heat is not corrected: {problem}")
        }
    }
}
