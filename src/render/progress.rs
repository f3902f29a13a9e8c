//! How far a long search is.

use super::numbers::Units;
use super::plan;
use crate::desk::Progress;

/// How far a search is after so many seconds: `weighing up amounts for 6 s, 40 samples of each; about 8 kg so far, Ctrl-C takes
/// that`.
pub fn progress(progress: Progress, seconds: u64, units: Units) -> String {
    match progress {
        Progress::Plan(aim) => format!(
            "looking for the best plan for {seconds} s, now at: {}; Ctrl-C takes the best so far",
            plan::aim(aim)
        ),
        Progress::Fetch { samples, best } => {
            let so_far = best.map_or(String::new(), |wet| {
                format!("; about {} so far, Ctrl-C takes that", units.weighed(wet))
            });
            format!("weighing up amounts for {seconds} s, {samples} samples of each{so_far}")
        }
        Progress::Advise { looked_at, all } => format!(
            "planning with each change for {seconds} s: {looked_at} of {all} so far, Ctrl-C takes those"
        ),
        Progress::Tests { looked_at, all } => format!(
            "planning with each moisture that a test may show for {seconds} s: {looked_at} of {all} so far, Ctrl-C ends it"
        ),
    }
}
