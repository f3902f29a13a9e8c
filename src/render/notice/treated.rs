//! What came out of a treatment, and by when it is to be shown dry.

use crate::grain::{LotCode, Treatment};
use crate::quantity::{Instant, Uncertain, Zone};
use crate::render::numbers::{self, Units};

/// What was done to a lot, what came out, the moisture before and after, and where the product counts as wet until it is shown dry,
/// by when that has to be, if it is past after that.
pub fn words(
    treatment: &Treatment,
    (of, product): (LotCode, LotCode),
    [before, after]: [&Uncertain; 2],
    show_dry_by: Option<Option<Instant>>,
    units: Units,
    zone: &Zone,
) -> String {
    let mut text = format!(
        "{} {} of {of} to {} of {product}: moisture {} to {}",
        treatment.step.done(),
        units.weighed(treatment.wet_in),
        units.weighed(treatment.wet_out),
        numbers::moisture(before),
        numbers::moisture(after)
    );
    if let Some(by) = show_dry_by {
        let by = by.map_or_else(
            || "soon".to_owned(),
            |by| format!("by {}", zone.in_words(by)),
        );
        text.push_str(&format!(
            "\nit counts as wet and warm until it is shown dry. Measure it {by}: `draff probe {product} --aw NUMBER`, or `draff moisture {product} --method microwave --weighing PAN,WET,DRY`. The dried weight is due then too, and an oven takes hours"
        ));
    }
    text
}
