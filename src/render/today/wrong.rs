//! What is wrong with the grain of a bake, and what helps.

use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::render::bake;
use crate::render::numbers::Units;
use crate::report::promise::LostGrain;
use crate::report::today::DueTask;

/// What is told instead of planning again, where that finds nothing else.
pub(super) const NO_GRAIN: &str = "the accepted plan has no grain for it";

/// What a bake lacks of its grain, with what helps; nothing where it lacks none.
pub(super) fn words(task: &DueTask, now: Instant, units: Units, zone: &Zone) -> String {
    let DueTask::Bake {
        lacks,
        unusable,
        lost,
        short,
        is_optional,
        is_left_out,
        plan_knows,
        ..
    } = task
    else {
        return String::new();
    };
    let mut wrong = String::new();
    // What it is short of says the same of a firm one.
    if *is_left_out && short.is_none() {
        let why = if *is_optional { " (optional)" } else { "" };
        wrong.push_str(&format!("; {}{why}", bake::LEFT_OUT));
    }
    if *lacks > Milligrams::ZERO {
        wrong.push_str(&format!(
            "; SHORT: {} of the grain promised to it is missing",
            units.weighed(*lacks)
        ));
    }
    for (lot, verdict) in unusable {
        let why = verdict.map_or_else(
            || "nothing is left of it".to_owned(),
            |verdict| format!("it is {verdict}"),
        );
        wrong.push_str(&format!("; NOT of {lot}: {why}"));
    }
    for lost in lost {
        wrong.push_str(&format!("; SHORT: {}", bake::lost(lost, units, now, zone)));
    }
    if let Some(short) = short {
        let has = match short.dry {
            Milligrams::ZERO => NO_GRAIN.to_owned(),
            dry => format!(
                "the accepted plan has {} of at least {} of dry grain for it",
                units.weighed(whole_grams(dry)),
                units.weighed(whole_grams(short.least))
            ),
        };
        wrong.push_str(&format!("; SHORT: {has}"));
    }
    let what_helps = match (short, plan_knows) {
        (Some(_), true) => ": move it or drop it".to_owned(),
        (None, true) => format!("; {NO_GRAIN}"),
        (_, false) => "; plan again first".to_owned(),
    };
    if short.is_some() || lacks_grain(*lacks, unusable, lost) {
        wrong.push_str(&what_helps);
    }
    wrong
}

/// Whether a bake lacks grain that was meant for it.
pub(super) fn lacks_grain(
    lacks: Milligrams,
    unusable: &[(LotCode, Option<Verdict>)],
    lost: &[LostGrain],
) -> bool {
    lacks > Milligrams::ZERO || !unusable.is_empty() || !lost.is_empty()
}

/// Neither dry grain nor what comes out of a dryer is known more precisely.
pub(super) fn whole_grams(dry: Milligrams) -> Milligrams {
    Milligrams::new((dry.get() + 500) / 1000 * 1000)
}
