//! Words of an older sheet of a done bake, by which somebody may have worked.

use crate::desk::{OtherSheet, SheetChange};
use crate::quantity::{Milligrams, Zone};
use crate::render::numbers::Units;
use crate::render::{bake, times};

/// The whole notice.
pub fn words(other: &OtherSheet, units: Units, zone: &Zone) -> String {
    let changed = match other.change {
        SheetChange::Moisture(lot) => format!("the moisture of `{lot}`"),
        SheetChange::Weight(lot) => format!("the weight of `{lot}`"),
        SheetChange::Bake(bake) => format!("the plan of {bake}"),
    };
    let (said, typed) = match other.before {
        Some((pour, hold)) => {
            let unit = units.unit_of([pour, hold].map(Milligrams::mass));
            let said = format!(
                "said to pour {} and to hold back {}",
                units.weighed_among(pour, unit),
                units.weighed_among(hold, unit)
            );
            (said, bake::pour_and_hold((pour, hold)))
        }
        None => (
            "may have said other water".to_owned(),
            "POUR,HOLD".to_owned(),
        ),
    };
    format!(
        "{changed} changed at {}: a sheet printed before that {said}. If you worked by that one: `draff correct {} --said {typed} --reason TEXT`",
        times::moment(other.at, other.at, zone),
        other.entry
    )
}
