//! A bake that took other grain than it names or was promised.

use crate::desk::OtherGrain;
use crate::render::numbers::Units;

/// What it was to take, what it took, and what puts a slip right.
pub fn words(other: &OtherGrain, units: Units) -> String {
    let meant: Vec<String> = other
        .meant
        .iter()
        .map(|(lot, wet)| format!("{} of {lot}", units.weighed(*wet)))
        .collect();
    let meant = meant.join(" and ");
    let begin = if other.is_promised {
        format!("{} was promised {meant}", other.bake)
    } else {
        format!("the sheet of {} says {meant}", other.bake)
    };
    let right = match &other.meant[..] {
        [(lot, _)] => lot.to_string(),
        _ => "LOT".to_owned(),
    };
    let booked: Vec<String> = other
        .booked
        .iter()
        .map(|(lot, _)| lot.to_string())
        .collect();
    let correct: Vec<String> = other
        .booked
        .iter()
        .map(|(_, entry)| format!("`draff correct {entry} --lot {right} --reason TEXT`"))
        .collect();
    format!(
        "{begin}, and {} is booked. If that is a slip: {}",
        booked.join(" and "),
        correct.join(" or ")
    )
}
