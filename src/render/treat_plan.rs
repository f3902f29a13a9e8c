//! What drying or pressing takes, in words.

use super::numbers::{self, Units};
use super::{times, words};
use crate::grain::drying::Range;
use crate::grain::{DryGrain, Step};
use crate::quantity::Milligrams;
use crate::quantity::text::trimmed;
use crate::report::treat_plan::{Heat, PlanAnswer, Warm};
use uom::si::energy::{kilowatt_hour, megajoule};
use uom::si::f64::Energy;

/// The whole plan.
pub fn text(answer: &PlanAnswer, units: Units) -> String {
    let mut out = String::new();
    let of = answer
        .lot
        .as_ref()
        .map_or(String::new(), |lot| format!(" of {lot}"));
    words::labelled(
        &mut out,
        "Plan",
        &format!(
            "{} {}{of} from {} to {}",
            answer.step,
            units.weighed(answer.wet),
            numbers::moisture(&answer.moisture),
            numbers::percent(answer.to.get())
        ),
    );
    let from = format!("moisture: {}", numbers::known_from(answer.from));
    words::labelled(&mut out, "From", &from);
    let gone = if answer.step == Step::Press {
        "Liquor"
    } else {
        "Water"
    };
    let note = if answer.step == Step::Press {
        " to run off, if no dry grain goes with it"
    } else {
        " to dry off"
    };
    words::labelled(
        &mut out,
        gone,
        &format!("{}{note}", range(&answer.removal.water, units)),
    );
    words::labelled(
        &mut out,
        "Yield",
        &format!(
            "{}: stop at that weight",
            range(&on_the_scale(&answer.removal.product, answer.scale), units)
        ),
    );
    if let Some(heat) = &answer.heat {
        heat_words(&mut out, heat, units);
    }
    if let Some(warm) = &answer.warm {
        warm_words(&mut out, warm, answer.step, units);
    }
    out
}

/// Amounts as a scale of this step shows them.
fn on_the_scale(range: &Range, step: Milligrams) -> Range {
    let [best, low, high] =
        [range.best, range.low, range.high].map(|mass| Milligrams::on_scale(mass, step).mass());
    Range { best, low, high }
}

fn range(range: &Range, units: Units) -> String {
    units.dry_with_range(&DryGrain {
        best: range.best,
        low: range.low,
        high: range.high,
    })
}

fn energy(energy: Energy) -> String {
    format!(
        "{} MJ ({} kWh)",
        trimmed(energy.get::<megajoule>(), 1),
        trimmed(energy.get::<kilowatt_hour>(), 1)
    )
}

fn heat_words(out: &mut String, heat: &Heat, units: Units) {
    words::labelled(
        out,
        "Heat",
        &format!(
            "{} at the least, to evaporate that water at {} (latent heat, steam tables); warming the grain comes on top",
            energy(heat.least),
            units.temperature(heat.at)
        ),
    );
    for (dryer, low, high) in &heat.used {
        words::labelled(
            out,
            "Dryers",
            &format!(
                "{}: {:.0} to {:.0} kWh ({})",
                dryer.name,
                low.get::<kilowatt_hour>(),
                high.get::<kilowatt_hour>(),
                units.in_words(dryer.source)
            ),
        );
    }
}

fn warm_words(out: &mut String, warm: &Warm, step: Step, units: Units) {
    words::labelled(
        out,
        "Verdict",
        &format!(
            "{} now: {}",
            warm.keeping.verdict,
            units.in_words(&warm.keeping.binding.limit)
        ),
    );
    let left = format!(
        "{} of {} are left of the time above the cold limit [{}]",
        times::minutes(warm.left()),
        times::minutes(warm.most),
        units.in_words(&warm.source)
    );
    let counts = match (step, warm.is_warm) {
        (_, false) => "the step is cold and costs no warm time".to_owned(),
        (Step::Dry, true) => {
            format!("{left}; all of the drying counts, until the grain is shown dry")
        }
        (_, true) => format!("{left}; all that the step takes counts"),
    };
    words::labelled(out, "Warm time", &counts);
    if let Some(takes) = warm.takes.filter(|_| warm.ends_past()) {
        words::labelled(
            out,
            "Warning",
            &format!(
                "{} are more than that: the grain would be past before it is done; dry less at a time, thinner",
                times::minutes(takes)
            ),
        );
    }
}
