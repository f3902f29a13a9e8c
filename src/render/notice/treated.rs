//! What came out of a treatment, and by when it is to be shown dry.

use crate::desk::Treated;
use crate::quantity::Zone;
use crate::render::numbers::{self, Units};

/// What was done to a lot, what came out, the moisture before and after, and where the product counts as wet until it is shown dry,
/// by when that has to be, if it is past after that.
pub fn words(lot: &Treated, units: Units, zone: &Zone) -> String {
    let Treated {
        treatment,
        of,
        product,
        before,
        after,
        is_to_be_shown_dry,
        show_dry_by,
    } = lot;
    let mut text = format!(
        "{} {} of {of} to {} of {product}: moisture {} to {}",
        treatment.step.done(),
        units.weighed(treatment.wet_in),
        units.weighed(treatment.wet_out),
        numbers::moisture(before),
        numbers::moisture(after)
    );
    if *is_to_be_shown_dry {
        let by = show_dry_by.map_or_else(
            || "soon".to_owned(),
            |by| format!("by {}", zone.in_words(by)),
        );
        text.push_str(&format!(
            "\nit counts as wet and warm until it is shown dry. Measure it {by}: `draff probe {product} --aw NUMBER`, or `draff moisture {product} --method microwave --weighing PAN,WET,DRY`. The dried weight is due then too, and an oven takes hours"
        ));
    }
    text
}
