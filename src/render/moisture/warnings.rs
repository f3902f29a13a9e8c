//! What is odd about the tests of a lot, and what to do about it.

use crate::report::moisture::{FarApart, MoistureAnswer};

/// Every warning of every test, and those where tests contradict each other, a drying sample widens the range or nothing
/// is left of the lot.
pub fn all(answer: &MoistureAnswer) -> Vec<String> {
    let mut warnings: Vec<String> = answer
        .tests
        .iter()
        .flat_map(|test| &test.result.warnings)
        .map(ToString::to_string)
        .collect();
    warnings.extend(contradiction(answer));
    warnings.extend(widened(answer));
    warnings.extend(joined_away(answer));
    warnings
}

/// Where two tests lie further apart than their uncertainties allow, or two samples so far apart that the range is useless.
pub fn contradiction(answer: &MoistureAnswer) -> Option<String> {
    if let Some(found) = &answer.far_apart {
        return Some(format!(
            "The tests say less than no test would: {}. Do not go by this range: {}.",
            far_apart(found),
            put_right(found, &answer.code)
        ));
    }
    answer.apart.map(|(apart, explained)| {
        format!(
            "Two tests of this lot differ by {:.1} points, more than the {:.1} that chance explains (the ± of each also holds what they share, such as the oven). Both count, and the range is wider for it. Stir the tub and test once more, or strike the test that went wrong.",
            apart * 100.0,
            explained * 100.0
        )
    })
}

/// Where a sample that is still drying widens the range.
pub fn widened(answer: &MoistureAnswer) -> Option<String> {
    let (entry, least) = answer.widened_by()?;
    Some(format!(
        "A sample of entry {entry} is still drying and has lost {:.1} % already, more than the moisture here: the wet end of the range lies higher for it, and another test would not bring it down. Weigh that sample on, or strike entry {entry}.",
        least.percent()
    ))
}

/// Where its grain went and how to ask for that, where it was joined away.
pub fn joined_away(answer: &MoistureAnswer) -> Option<String> {
    let why = answer.why.as_ref().map_or("", |_| " --why");
    answer.joined_into.map(|joined| {
        format!(
            "Nothing is left of {}: it was joined into {joined}. Ask for that lot: `draff moisture {joined}{why}`",
            answer.code
        )
    })
}

/// Which two samples they are and how far they lie apart.
pub fn far_apart(found: &FarApart) -> String {
    let ((one, driest), (other, wettest)) = (found.driest, found.wettest);
    format!(
        "two samples lie {:.1} points apart, {:.1} % in entry {one} and {:.1} % in entry {other}",
        (wettest - driest) * 100.0,
        driest * 100.0,
        wettest * 100.0
    )
}

/// What to type where a weight of an entry is wrong.
pub fn correct(entry: i64) -> String {
    format!("`draff correct {entry} --weighing PAN,WET,DRY --reason TEXT`")
}

/// What to do about two samples that lie far apart.
pub fn put_right(found: &FarApart, lot: &str) -> String {
    let further = match found.samples {
        2 => "a third sample",
        _ => "another sample",
    };
    let (one, other) = (found.driest.0, found.wettest.0);
    let wrong = if one == other {
        format!("{}, with all its samples", correct(one))
    } else {
        format!("{} or {}", correct(one), correct(other))
    };
    format!(
        "weigh {further}: `draff moisture {lot} PAN WET DRY g`; then correct the wrong one: {wrong}"
    )
}
