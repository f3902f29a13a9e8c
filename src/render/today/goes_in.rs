//! The grain that goes into a bake, as it is weighed out.

use super::wrong::whole_grams;
use crate::quantity::{Instant, Zone};
use crate::render::numbers::Units;
use crate::render::times;
use crate::report::today::{DueTask, GoesIn};

/// `; grain: 522 g of ALD-261120-1T (dried from 2.087 kg)`; nothing where none goes in.
pub(super) fn words(task: &DueTask, now: Instant, units: Units, zone: &Zone) -> String {
    let DueTask::Bake {
        grain,
        not_thawed,
        to_show_dry,
        ..
    } = task
    else {
        return String::new();
    };
    let words = |one: &GoesIn| {
        let lot = one.lot;
        let frozen = match not_thawed.contains(&lot) {
            true => " (NOT THAWED by then)",
            false => "",
        };
        let mut shown = to_show_dry.iter().filter(|(of, _)| *of == lot);
        let only_if = shown.next().map_or(String::new(), |(_, by)| {
            format!(" (only if shown dry by {})", times::moment(*by, now, zone))
        });
        let weighed = match (one.weighed, one.to_dry) {
            (None, _) => lot.to_string(),
            (Some(wet), None) => format!("{} of {lot}", units.weighed(wet)),
            (Some(dried), Some(wet)) => format!(
                "{} of {lot} (dried from {})",
                units.weighed(whole_grams(dried)),
                units.weighed(wet)
            ),
        };
        format!("{weighed}{frozen}{only_if}")
    };
    let lots: Vec<String> = grain.iter().map(words).collect();
    match lots.as_slice() {
        [] => String::new(),
        lots => format!("; grain: {}", lots.join(", ")),
    }
}
