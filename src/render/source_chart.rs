//! Whether the grain of a source stays as it was, in words.

use super::chart::{self, Dot, Limits};
use super::numbers::percent;
use super::words::capital;
use crate::grain::Kind;
use crate::grain::control_chart::{FEWEST, Rule, Side, Signal};
use crate::quantity::text::count;
use crate::report::SourceChart;
use maud::Markup;

/// The limits of a source as lines, over the days of the lots that they are from.
pub fn lines(source: &SourceChart) -> Option<Limits> {
    let (low, high) = source.chart.as_ref()?.limits();
    Some(Limits {
        low: low * 100.0,
        middle: source.chart.as_ref()?.middle * 100.0,
        high: high * 100.0,
        from: source.lots.first()?.brewed_on,
    })
}

/// The tested lots over their brew days, with the limits as lines and odd lots named. The hatches are the page's own.
pub fn picture(source: &SourceChart) -> Markup {
    let odd = source.odd();
    let dots: Vec<Dot> = source
        .lots
        .iter()
        .map(|lot| Dot {
            day: lot.brewed_on,
            value: lot.moisture.value * 100.0,
            half: lot.moisture.expanded() * 100.0,
            is_full: true,
            name: odd
                .iter()
                .any(|(one, ..)| *one == lot.code)
                .then(|| lot.code.to_string()),
        })
        .collect();
    let label = format!(
        "Tested lots of {} ({}) by brew day, moisture in %: lines hold 95 %",
        source.source,
        grain(source)
    );
    let lines = lines(source);
    chart::dots(&label, &finding(source), &dots, "%", lines.as_ref(), false)
}

/// What is seen in its picture, in a sentence or two.
pub fn finding(source: &SourceChart) -> String {
    if source.chart.is_none() {
        return format!("{}.", capital(&limits(source)));
    }
    findings(source).join(" ")
}

/// What grain it is of: its form, and that it was steeped.
pub fn grain(source: &SourceChart) -> String {
    match source.kind {
        Kind::Mashed => source.form.to_string(),
        Kind::Steeped => format!("{}, {}", source.form, source.kind),
    }
}

/// All sources in a sentence or two, what is odd, what drifts, of which nobody can tell: `Outside the limits of its source:
/// COR-261113-11 with 81 %. Drifting: Tarn Fell (whole).`
pub fn all(sources: &[SourceChart]) -> String {
    let known = || sources.iter().filter(|source| source.chart.is_some());
    let odd: Vec<String> = known()
        .flat_map(SourceChart::odd)
        .map(|(lot, moisture, _)| format!("{lot} with {}", percent(moisture)))
        .collect();
    let drifting: Vec<String> = known()
        .filter(|source| source.drift().is_some())
        .map(|source| format!("{} ({})", source.source, grain(source)))
        .collect();
    let mut says = Vec::new();
    if known().next().is_none() {
        says.push(format!(
            "No source has {FEWEST} tested lots yet, so nobody can tell whether one is steady."
        ));
    } else if odd.is_empty() && drifting.is_empty() {
        says.push("Every source with limits was steady.".to_owned());
    }
    if !odd.is_empty() {
        says.push(format!(
            "Outside the limits of its source: {}.",
            odd.join(", ")
        ));
    }
    if !drifting.is_empty() {
        says.push(format!("Drifting: {}.", drifting.join(", ")));
    }
    says.join(" ")
}

/// The limits, or why there are none.
pub fn limits(source: &SourceChart) -> String {
    let lots = source.lots.len();
    match &source.chart {
        None => format!(
            "nobody can tell yet whether {} is steady: {} of it tested, {FEWEST} are needed",
            source.source,
            count(lots, "lot")
        ),
        Some(chart) => {
            let (low, high) = chart.limits();
            format!(
                "{} to {}, from the last {} tested (chart of individual values, ISO 7870-2)",
                percent(low),
                percent(high),
                count(lots, "lot")
            )
        }
    }
}

/// What stands out, a sentence each.
pub fn findings(source: &SourceChart) -> Vec<String> {
    let Some(chart) = &source.chart else {
        return Vec::new();
    };
    let (low, high) = chart.limits();
    let mut found: Vec<String> = source
        .odd()
        .into_iter()
        .map(|(lot, moisture, side)| {
            let limit = percent(if side == Side::Above { high } else { low });
            format!(
                "Odd: {lot}, {} is {side} the limit of {limit} (Western Electric rule 1).",
                percent(moisture)
            )
        })
        .collect();
    if let Some(signal) = source.drift() {
        found.push(format!(
            "Drifting: {}. Test the next lots: earlier ones say less of them.",
            drift(signal, chart.middle)
        ));
    }
    if found.is_empty() {
        found.push("Steady: no tested lot breaks a run rule.".to_owned());
    }
    found
}

/// The rule that was broken, in words.
pub fn drift(signal: Signal, middle: f64) -> String {
    let (side, middle) = (signal.side, percent(middle));
    let beyond = |out, of, part, number| {
        format!(
            "{out} of the last {of} tested lots lie {side} the middle value of {middle} by more than {part} of the way to the limit (Western Electric rule {number})"
        )
    };
    match signal.rule {
        Rule::Beyond => beyond(1, 1, "all", 1),
        Rule::TwoOfThree => beyond(2, 3, "two thirds", 2),
        Rule::FourOfFive => beyond(4, 5, "a third", 3),
        Rule::Eight => format!(
            "the last 8 tested lots all lie {side} the middle value of {middle} (Western Electric rule 4)"
        ),
    }
}
