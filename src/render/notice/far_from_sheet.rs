//! What a bake came to, beside a sheet that is far from it.

use crate::desk::FarFromSheet;
use crate::quantity::text::count;
use crate::quantity::{Milligrams, Zone};
use crate::render::numbers::Units;
use crate::render::times;

/// What was said of a bake beside what its sheet says, and what puts a slip right.
pub fn words(far: &FarFromSheet, entries: &[i64], units: Units, zone: &Zone) -> String {
    let right = match far {
        FarFromSheet::Grain(..) => "--wet MASS",
        FarFromSheet::Water(..) => "--water MASS",
        FarFromSheet::Pieces(..) => "--pieces NUMBER",
        FarFromSheet::Baked(..) => "--baked MASS",
        FarFromSheet::Dough(_) => "--dough-temp TEMPERATURE",
        FarFromSheet::Mixed(..) => "--at WHEN",
    };
    let correct: Vec<String> = entries
        .iter()
        .map(|entry| format!("`draff correct {entry} {right} --reason TEXT`"))
        .collect();
    format!(
        "{}. If that is a slip: {}",
        beside_sheet(far, units, zone),
        correct.join(" or ")
    )
}

fn beside_sheet(far: &FarFromSheet, units: Units, zone: &Zone) -> String {
    match *far {
        FarFromSheet::Grain(said, sheet, is_of_book) => format!(
            "grain {}, and {} says {}",
            units.weighed(said),
            if is_of_book {
                "the sheet"
            } else {
                "the book's own sheet"
            },
            units.weighed(sheet)
        ),
        FarFromSheet::Water(said, (pour, hold)) => {
            let unit = units.unit_of([pour, hold].map(Milligrams::mass));
            format!(
                "water {}, and the sheet says to pour {} and to hold back {}",
                units.weighed(said),
                units.weighed_among(pour, unit),
                units.weighed_among(hold, unit)
            )
        }
        FarFromSheet::Pieces(said, sheet) => {
            format!(
                "{}, and the sheet says {sheet}",
                count(said as usize, "piece")
            )
        }
        FarFromSheet::Baked(said, dough) => format!(
            "{} of bread, of {} of dough",
            units.weighed(said),
            units.weighed(dough)
        ),
        FarFromSheet::Dough(temperature) => {
            format!("a dough at {}", units.temperature(temperature))
        }
        FarFromSheet::Mixed(at, mix_at) => format!(
            "mixed {}, and the sheet says {}",
            times::moment(at, mix_at, zone),
            times::moment(mix_at, at, zone)
        ),
    }
}
