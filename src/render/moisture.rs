//! Moisture tests and the estimate in force, in words.

pub mod warnings;

use super::kitchen_scale::KitchenScale;
use super::lot::{self, Detail};
use super::numbers::{self, Units, percent};
use super::{source_chart, times, words};
use crate::grain::by_cause::Cause;
use crate::grain::{OpenSample, Warning};
use crate::quantity::text::count;
use crate::quantity::{Instant, Zone};
use crate::report::moisture::{MoistureAnswer, MoistureWhy, TestAnswer};
use crate::report::worth_a_test::{DAYS_AHEAD, NextBake};

/// A label and what it says; without a label it is more of the one above.
type Row = (&'static str, String);

/// The estimate in force and the tests it rests on; briefly without where it comes from and what is enough.
pub fn text(
    answer: &MoistureAnswer,
    detail: Detail,
    units: Units,
    now: Instant,
    zone: &Zone,
) -> String {
    let is_brief = detail == Detail::Brief;
    let mut out = String::new();
    let shown = answer
        .tests
        .iter()
        .filter(|test| answer.written.is_empty() || answer.written.contains(&test.record.entry));
    for test in shown {
        one_test(&mut out, &answer.code, test, now, zone);
    }
    if let Some(joined_away) = warnings::joined_away(answer) {
        words::labelled(&mut out, "Joined", &joined_away);
        return out;
    }
    if answer.tests.is_empty() {
        words::labelled(&mut out, "Tests", "not tested yet");
    }
    for warning in [warnings::contradiction(answer), warnings::widened(answer)]
        .iter()
        .flatten()
    {
        words::labelled(&mut out, "Warning", warning);
    }
    words::labelled(
        &mut out,
        "Moisture",
        &format!(
            "{} of {} is water (right 19 times in 20)",
            numbers::moisture(&answer.estimate.moisture),
            answer.code
        ),
    );
    words::labelled(
        &mut out,
        "Dry grain",
        &format!(
            "{} in the {} left",
            units.dry_with_range(&answer.dry),
            units.weighed(answer.wet)
        ),
    );
    if !is_brief {
        let from = answer.estimate.from.to_string();
        words::labelled(&mut out, "From", &(from + &counted(answer)));
    }
    if let Some((now, then)) = answer.narrowed_by_one_more()
        && !answer.is_past()
    {
        let (label, one) = match answer.drying() {
            0 if answer.tests.is_empty() => ("Test", "one sample of 100 g"),
            0 => ("One more", "sample of 100 g"),
            1 => ("Finish", "the sample that is drying: one of 100 g"),
            _ => ("Finish", "the samples that are drying: one of 100 g"),
        };
        words::labelled(
            &mut out,
            label,
            &format!(
                "{one} would narrow ± {:.1} to ± {:.1} points",
                now * 100.0,
                then * 100.0
            ),
        );
    }
    if let Some(enough) = answer.samples_enough()
        && !answer.is_past()
        && !is_brief
    {
        let words = match enough {
            1 if answer.samples_taken() > 1 => {
                "1 sample of this lot is enough: more of them narrow the range by less than a fifth"
                    .to_owned()
            }
            1 => "1 sample of this lot is enough: a second is not needed, it would narrow the range by less than a fifth"
                .to_owned(),
            many => format!(
                "{many} samples from different places of the lot are enough: more would narrow the range by less than a fifth"
            ),
        };
        words::labelled(&mut out, "Enough", &words);
    }
    if let Some(why) = &answer.why {
        out.push('\n');
        set(&mut out, explained(answer, why, units, zone));
    } else if answer.is_past() {
        set(&mut out, not_to_be_used(answer, zone));
    }
    out
}

fn set(out: &mut String, rows: impl IntoIterator<Item = Row>) {
    for (label, line) in rows {
        words::labelled(out, label, &line);
    }
}

/// The verdict of grain that may not be used, and that no moisture test changes it.
fn not_to_be_used(answer: &MoistureAnswer, zone: &Zone) -> Option<Row> {
    let so = lot::verdict(answer.unusable.as_ref()?, zone);
    let line = if answer.is_past() {
        format!("{so}: throw it away, no test changes that")
    } else {
        format!("{so}: a test of its moisture does not change that")
    };
    Some(("Verdict", line))
}

/// `; the tests agree, and both count`: what counts now, where the lot was tested more than once.
fn counted(answer: &MoistureAnswer) -> String {
    let Some(count) = answer.tests_counted() else {
        return String::new();
    };
    let all = if count == 2 { "both" } else { "all" };
    let alike = if answer.apart.is_some() {
        "differ"
    } else {
        "agree"
    };
    format!("; the tests {alike}, and {all} count")
}

/// Only why it is known as it is, for whoever shows the rest otherwise.
pub fn why(answer: &MoistureAnswer, units: Units, zone: &Zone) -> Vec<Row> {
    match (&answer.why, &answer.joined_into) {
        (Some(why), None) => explained(answer, why, units, zone),
        _ => Vec::new(),
    }
}

/// What pulled the figure, what makes it uncertain, and what a test would be worth.
fn explained(answer: &MoistureAnswer, why: &MoistureWhy, units: Units, zone: &Zone) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(pulls) = &answer.estimate.pulls {
        let pulls = format!(
            "other lots of this source {}, lots of other sources {}, the published figure {}",
            percent(pulls.own),
            percent(pulls.others),
            percent(pulls.published)
        );
        rows.push(("Pulled by", pulls));
    }
    let all: f64 = why
        .parts
        .iter()
        .map(|(_, standard)| standard * standard)
        .sum();
    for (index, (cause, standard)) in why.parts.iter().enumerate() {
        let label = if index == 0 { "Uncertain" } else { "" };
        let part = percent(if all > 0.0 {
            standard * standard / all
        } else {
            0.0
        });
        let line = format!(
            "{}: {:.2} points, {part} of the variance",
            cause_words(cause),
            standard * 100.0
        );
        rows.push((label, line));
    }
    if let Some(source) = &why.source {
        rows.push(("Limits", source_chart::limits(source)));
        let findings = source_chart::findings(source).into_iter();
        rows.extend(findings.map(|line| ("", line)));
    }
    if answer.unusable.is_some() {
        rows.extend(not_to_be_used(answer, zone));
        return rows;
    }
    let Some(next) = &why.next_bake else {
        let none = if why.has_bakes {
            format!("no bake of the next {DAYS_AHEAD} days takes grain of this lot as it is")
        } else {
            "no bake is planned".to_owned()
        };
        rows.push(("Worth", format!("{none}, so a test helps no dough now")));
        return rows;
    };
    let advice = if answer.is_worth_a_test() {
        "Test this lot."
    } else {
        "Skip the test."
    };
    let changes = words::capital(&what_a_test_changes(next, units));
    rows.push(("Worth", format!("{advice} {changes}.")));
    rows
}

/// What one more test of a lot would do to the water that the bake which takes it next holds back.
pub fn what_a_test_changes(next: &NextBake, units: Units) -> String {
    let scale = KitchenScale::new(units, next.scale);
    format!(
        "one more test would take the water held back for its moisture from {} to {} in {}, {}, if it is made of this lot",
        scale.weigh(next.held_now),
        scale.weigh(next.held_after),
        next.code,
        next.formula
    )
}

const fn cause_words(cause: &Cause) -> &'static str {
    match cause {
        Cause::Oven => "the oven, which shifts all samples alike, so more of them do not help",
        Cause::Default => "nothing was measured: the published range",
        Cause::Overall => "what sources are like on the whole",
        Cause::Source(_) => "the mean of the source",
        Cause::Lot(_) => "how lots of a source differ",
        Cause::Samples(_) => "samples and balance",
        Cause::Laboratory(..) => "the laboratory",
    }
}

/// Samples that are drying, by what tells them apart: `pan 14.2 g, with wet grain 114.5 g`.
pub fn dishes(drying: &[OpenSample]) -> String {
    let dishes = drying.iter().map(|dish| {
        format!(
            "pan {} g, with wet grain {} g",
            dish.pan.grams(),
            dish.wet.grams()
        )
    });
    dishes.collect::<Vec<_>>().join("; ")
}

/// What to type once a sample that is drying was weighed.
pub fn weigh_on(lot: &str, dish: &OpenSample) -> String {
    format!(
        "draff moisture {lot} {} {} DRY g",
        dish.pan.grams(),
        dish.wet.grams()
    )
}

fn one_test(out: &mut String, lot: &str, test: &TestAnswer, now: Instant, zone: &Zone) {
    let samples = &test.result.samples;
    let measured = if samples.is_empty() {
        String::new()
    } else {
        format!(
            ", {}: {}",
            count(samples.len(), "sample"),
            numbers::samples(samples)
        )
    };
    let unfinished = numbers::unfinished(&test.result.unfinished);
    let says = match (test.result.is_usable(), test.result.unfinished.samples) {
        (false, _) => unfinished,
        (true, 0) => numbers::moisture(&test.result.moisture),
        (true, _) => format!("{}; {unfinished}", numbers::moisture(&test.result.moisture)),
    };
    words::labelled(
        out,
        "Test",
        &format!(
            "entry {}, {}, {}{measured}: {}",
            test.record.entry,
            times::moment(test.record.at, now, zone),
            test.record.test.method.as_str(),
            says
        ),
    );
    let drying = test.record.test.drying();
    if !drying.is_empty() {
        let lines: Vec<String> = drying
            .iter()
            .map(|dish| format!("`{}`", weigh_on(lot, dish)))
            .collect();
        words::labelled(
            out,
            "Weigh on",
            &format!("{}: {}", dishes(&drying), lines.join(", ")),
        );
    }
    for warning in &test.result.warnings {
        words::labelled(out, "Warning", &warning.to_string());
    }
    let is_heavier = |warning: &Warning| matches!(warning, Warning::Heavier { .. });
    if test.result.warnings.iter().any(is_heavier) {
        let correct = warnings::correct(test.record.entry);
        words::labelled(out, "Misread", &format!("{correct}, with all its samples"));
    }
}
