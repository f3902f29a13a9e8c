//! Household measures beside the weights of a batch.

use super::words;
use crate::dough::batch::{Batch, Line, LineKind};
use crate::dough::measures::{self, MeasureSet, NOTICEABLE, Vessel};
use crate::quantity::Milligrams;
use crate::quantity::text::trimmed;
use uom::si::volume::milliliter;

/// The measure of one line, empty where there is none; one that is far off says by how much.
pub fn cell(line: &Line, set: MeasureSet) -> String {
    let Some(measure) = measures::of_line(line, set) else {
        return String::new();
    };
    let error = measure.relative_error;
    if error.abs() <= NOTICEABLE {
        return measure.to_string();
    }
    let side = if error > 0.0 { "over" } else { "under" };
    format!("{measure} ({:.0} % {side})", error.abs() * 100.0)
}

/// What has to be known to use them.
pub fn notes(out: &mut String, batch: &Batch, set: MeasureSet) {
    let millilitres = |vessel| trimmed(set.volume(vessel).get::<milliliter>(), 1);
    words::labelled(
        out,
        "Measures",
        &format!(
            "{set}, level: cup {} mL, tablespoon {} mL, teaspoon {} mL, by cup weights of USDA SR28; flour by volume is 10 to 20 % uncertain (from memory): the scale decides",
            millilitres(Vessel::Cup),
            millilitres(Vessel::Tablespoon),
            millilitres(Vessel::Teaspoon)
        ),
    );
    let lines = || batch.stages.iter().flat_map(|stage| &stage.lines);
    if lines().any(|line| line.what == LineKind::Grain) {
        words::labelled(out, "", "wet grain has no published cup weight: weigh it");
    }
    let mut unknown: Vec<&str> = Vec::new();
    let mut too_little: Vec<&str> = Vec::new();
    for line in lines().filter(|line| line.weight > Milligrams::ZERO) {
        let name = line.name.as_str();
        let is_other = !matches!(line.what, LineKind::Grain | LineKind::Stage);
        if is_other && measures::density(name, line.what).is_none() {
            if !unknown.contains(&name) {
                unknown.push(name);
            }
        } else if is_other && measures::of_line(line, set).is_none() && !too_little.contains(&name)
        {
            too_little.push(name);
        }
    }
    if !unknown.is_empty() {
        let said = format!(
            "no published cup weight fits, so weigh: {}",
            unknown.join(", ")
        );
        words::labelled(out, "", &said);
    }
    if !too_little.is_empty() {
        let said = format!(
            "too little for a spoon, so weigh: {}",
            too_little.join(", ")
        );
        words::labelled(out, "", &said);
    }
}
