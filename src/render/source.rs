//! Sources in words.

use super::{numbers, source_chart, times, words};
use crate::grain::Kind;
use crate::ledger::SourceRecord;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::render::numbers::Units;
use crate::report::source::{GrainOfSource, SourceAnswer};

/// One line for each source, those that are one below each other.
pub fn text(sources: &[SourceRecord]) -> String {
    if sources.is_empty() {
        return "No sources.\n".to_owned();
    }
    let mut rows = vec![
        ["SOURCE", "CODES BEGIN WITH", "FIRST CALLED"]
            .map(str::to_owned)
            .to_vec(),
    ];
    let mut sorted: Vec<&SourceRecord> = sources.iter().collect();
    sorted.sort_by_key(|source| (source.name.clone(), source.is_joined()));
    rows.extend(sorted.into_iter().map(|source| {
        vec![
            source.name.clone(),
            source.letters.clone(),
            if source.first_name == source.name {
                String::new()
            } else {
                source.first_name.clone()
            },
        ]
    }));
    words::table(&rows, &[false, false, false]).join("\n") + "\n"
}

/// One source: what the next lot is taken to be, the limits, the newest lots.
pub fn one(answer: &SourceAnswer, units: Units, now: Instant, zone: &Zone) -> String {
    let mut out = format!("{}\n\n", answer.source);
    if answer.lots.is_empty() {
        out.push_str("No lot came in from it yet.\n");
        return out;
    }
    for grain in &answer.grain {
        words::labelled(&mut out, "Next lot", &next(grain));
        for (index, line) in steadiness(grain).into_iter().enumerate() {
            words::labelled(&mut out, if index == 0 { "Limits" } else { "" }, &line);
        }
    }
    let mut rows = vec![
        ["LOT", "BREWED", "FORM", "MOISTURE", "ON HAND"]
            .map(str::to_owned)
            .to_vec(),
    ];
    let unit = units.unit_of(answer.lots.iter().map(|of| of.wet.mass()));
    rows.extend(answer.lots.iter().map(|of| {
        vec![
            of.lot.code.to_string(),
            times::date(of.lot.brewed_on(zone), zone.date(now)),
            of.lot.form.to_string(),
            numbers::estimate(&of.estimate),
            if of.wet > Milligrams::ZERO {
                units.weighed_among(of.wet, unit)
            } else {
                String::new()
            },
        ]
    }));
    out.push('\n');
    out + &words::table(&rows, &[false, false, false, false, true]).join("\n") + "\n"
}

/// What the next lot is taken to be: `whole: 78 ± 3 %, from other lots`.
pub fn next(grain: &GrainOfSource) -> String {
    let kind = match grain.kind {
        Kind::Mashed => "",
        Kind::Steeped => "steeped, ",
    };
    format!("{kind}{}: {}", grain.form, numbers::estimate(&grain.next))
}

/// The limits of its tested lots and what breaks a rule, a sentence each.
pub fn steadiness(grain: &GrainOfSource) -> Vec<String> {
    let Some(chart) = &grain.chart else {
        return Vec::new();
    };
    let mut lines = vec![source_chart::limits(chart)];
    lines.extend(source_chart::findings(chart));
    lines
}
