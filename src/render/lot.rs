//! One lot in words: after a pickup, a move, a probe.

mod advice;

pub(super) use advice::{advice_in_short, exception, logger_file};
pub use advice::{advice_to_do, advice_words};

use super::in_common::Told;
use super::{numbers, times, words};
use crate::keeping::{Advice, Verdict, WarmTimes};
use crate::quantity::Zone;
use crate::quantity::text::count;
use crate::render::numbers::Units;
use crate::report::LotAnswer;

/// How much is said of the limit that binds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// No reasons: what it is, until when, and what is to be done.
    Brief,
    /// The limit alone, for one who knows the rules by now.
    Limit,
    /// The limit and the text it comes from.
    Source,
}

/// A lot as a block of labelled lines.
pub fn block(out: &mut String, answer: &LotAnswer, detail: Detail, units: Units, zone: &Zone) {
    let lot = &answer.lot;
    let today = zone.date(answer.as_of);
    let Some((place, _)) = &answer.place else {
        words::labelled(out, "Lot", &format!("{}: nothing is left of it", lot.code));
        return;
    };
    words::labelled(
        out,
        "Lot",
        &format!(
            "{}: {} of {} grain, {}, from {}, brewed {}, in {place}",
            lot.code,
            units.weighed(answer.wet),
            lot.kind,
            lot.form,
            words::together(&answer.sources),
            times::date(lot.brewed_on(zone), today),
        ),
    );
    if detail != Detail::Brief {
        words::labelled(
            out,
            "Dry grain",
            &format!(
                "{}{}; moisture {}",
                units.dry_with_range(&answer.dry),
                if lot.form.is_dry() { "" } else { " in it" },
                numbers::estimate(&answer.estimate)
            ),
        );
    }
    words::labelled(out, "Verdict", &verdict(answer, zone));
    if detail != Detail::Brief {
        words::labelled(out, "Because", &because(answer, detail, units, zone));
    }
    if let Some(advice) = &answer.keeping.advice {
        words::labelled(
            out,
            "Next",
            &advice_words(advice, &lot.code.to_string(), answer.as_of, units, zone),
        );
    }
    if answer.keeping.verdict == Verdict::Past && answer.keeping.advice.is_none() {
        words::labelled(out, "Next", &throw_away(&lot.code.to_string()));
    }
    for note in notes(answer, units, zone) {
        words::labelled(out, "Note", &note);
    }
}

/// What past grain asks for, with what to type.
pub(super) fn throw_away(code: &str) -> String {
    format!("throw it away: draff discard {code} --reason past")
}

/// What unknown grain asks for that nothing can show to be good any more, with what to type.
pub(super) fn throw_away_unknown(code: &str) -> String {
    format!("throw it away: draff discard {code} --reason unknown")
}

/// Lots one below the other.
pub fn blocks(answers: &[LotAnswer], detail: Detail, units: Units, zone: &Zone) -> String {
    let mut out = String::new();
    for answer in answers {
        if !out.is_empty() {
            out.push('\n');
        }
        block(&mut out, answer, detail, units, zone);
    }
    out
}

/// What is worth knowing beside the verdict.
pub fn notes(answer: &LotAnswer, units: Units, zone: &Zone) -> Vec<String> {
    let told = told_notes(answer, units, zone);
    told.iter().map(Told::whole).collect()
}

/// The same, with the moment or figure that may be told once of several lots.
pub(super) fn told_notes(answer: &LotAnswer, units: Units, zone: &Zone) -> Vec<Told> {
    let own = answer.keeping.notes.iter();
    let mut notes: Vec<Told> = own
        .map(|note| Told::with_figure(&units.in_words(note)))
        .collect();
    notes.extend(answer.keeping.unmeasured_since.map(|since| {
        // Not so of what nobody knows, nor of a freezer that was not frozen when it was measured last.
        let is_as_stated = answer.keeping.verdict != Verdict::Unknown
            && !matches!(answer.keeping.advice, Some(Advice::ReadInLogger { .. }));
        Told::new(
            "its place is not measured",
            format!("since {}", times::moment(since, answer.as_of, zone)),
            if is_as_stated {
                ": time counts as the place is stated"
            } else {
                ""
            },
        )
    }));
    // Of a place that the grain left since, this says nothing of what counts now.
    let is_in_layer = answer.keeping.is_in_layer;
    notes.extend(answer.keeping.layer.filter(|_| is_in_layer).map(|layer| {
        Told::with_figure(&format!(
            "the logger measures air: what counts is {}{}",
            super::cool::layer(layer, units),
            if layer.stated {
                ""
            } else {
                " with moving air at both faces; `draff place change PLACE --layer DEPTH` states another"
            }
        ))
    }));
    notes
}

/// Portions with their weights, as many to a line as fit, and the first of them: they differ in nothing else.
pub fn portions(answers: &[LotAnswer], detail: Detail, units: Units, zone: &Zone) -> String {
    let mut out = String::new();
    let Some(first) = answers.first() else {
        return out;
    };
    let unit = units.unit_of(answers.iter().map(|answer| answer.wet.mass()));
    let weighed = |answer: &LotAnswer| units.weighed_among(answer.wet, unit);
    let all: Vec<String> = answers
        .iter()
        .map(|answer| format!("{} {}", answer.lot.code, weighed(answer)))
        .collect();
    words::labelled(&mut out, "Portions", &all.join(", "));
    words::labelled(
        &mut out,
        "Each",
        "with the history and the date of the first:",
    );
    block(&mut out, first, detail, units, zone);
    out
}

/// `good, keep until Sun 29 Nov, end of day (today is day 3)`, `good so far: take its temperature by Fri 20 Nov 13:10 (day 1)`.
pub(super) fn verdict(answer: &LotAnswer, zone: &Zone) -> String {
    // Short where a time of day stands before it, so that both are on one line.
    let (mark, today) = if hangs_on_a_reading(answer) {
        (":", "")
    } else {
        (",", "today is ")
    };
    let day = answer
        .keeping
        .day
        .map_or(String::new(), |day| format!(" ({today}day {day})"));
    format!(
        "{}{mark} {}{day}",
        verdict_words(answer),
        keep_until(answer, zone)
    )
}

/// `good`, or `good so far` where something has to be measured for it to stay so: the same words wherever a lot is shown.
pub fn verdict_words(answer: &LotAnswer) -> String {
    let so_far = if answer.keeping.verdict.may_be_used() && hangs_on_a_reading(answer) {
        " so far"
    } else {
        ""
    };
    format!("{}{so_far}", answer.keeping.verdict)
}

/// `keep until Sun 29 Nov, end of day`, or why there is no such moment.
pub fn keep_until(answer: &LotAnswer, zone: &Zone) -> String {
    match (answer.keeping.keep_until, answer.keeping.verdict) {
        (Some(until), Verdict::Past) if until < answer.lot.mash_out.unwrap_or(until) => {
            "never good".to_owned()
        }
        (Some(until), Verdict::Past) if answer.here_since.is_some_and(|here| until < here) => {
            format!(
                "since {}, before it was fetched",
                times::moment(until, answer.as_of, zone)
            )
        }
        (Some(_), Verdict::Past) if answer.keeping.good_until().is_none() => {
            "was unknown before".to_owned()
        }
        (Some(until), Verdict::Past) => format!(
            "was good until {}",
            times::moment(until, answer.as_of, zone)
        ),
        (Some(until), _) if hangs_on_a_reading(answer) => {
            // Grain that brought warmth along has to be shown cold before its use ends.
            let by = answer.keeping.advice.as_ref().and_then(Advice::by);
            let by = by.map_or(until, |by| by.min(until));
            let to_do = match answer.keeping.advice {
                Some(Advice::MeasureActivity { .. }) => "measure its water activity",
                _ => "take its temperature",
            };
            format!("{to_do} by {}", times::moment(by, answer.as_of, zone))
        }
        (Some(until), _) => format!("keep until {}", times::moment(until, answer.as_of, zone)),
        (None, Verdict::Unknown) => "not to be used before more is known".to_owned(),
        (None, _) if answer.lot.form.is_dry() => "no date while it stays dry".to_owned(),
        (None, _) => "no date while it stays frozen".to_owned(),
    }
}

/// Whether the date is one by which something has to be measured, and no date to keep grain until.
pub fn hangs_on_a_reading(answer: &LotAnswer) -> bool {
    matches!(
        answer.keeping.advice,
        Some(Advice::TakeTemperature { .. } | Advice::MeasureActivity { .. })
    )
}

/// The cell of a list: `Sun 29 Nov` for the end of that day, `Sun 29 Nov 13:10`, `frozen`, `unknown`.
pub fn keep_until_cell(answer: &LotAnswer, zone: &Zone) -> String {
    match (answer.keeping.good_until(), answer.keeping.verdict) {
        (Some(until), _) => {
            let moment = times::moment(until, answer.as_of, zone);
            moment
                .strip_suffix(times::END_OF_DAY)
                .map(str::to_owned)
                .unwrap_or(moment)
        }
        (None, Verdict::Unknown) => "not known".to_owned(),
        (None, Verdict::Past) => "was unknown".to_owned(),
        (None, _) if answer.lot.form.is_dry() => "dry: no end date".to_owned(),
        (None, _) => match answer.keeping.advice {
            Some(Advice::DaysAfterThawing(days)) => {
                format!("{} once thawed", count(days as usize, "day"))
            }
            Some(Advice::StraightFromTheFreezer) => "frozen, use straight".to_owned(),
            _ => "no date while frozen".to_owned(),
        },
    }
}

/// The binding limit, with its source if asked for, and warm time where there is some.
pub fn because(answer: &LotAnswer, detail: Detail, units: Units, zone: &Zone) -> String {
    let limit = units.in_words(&answer.keeping.binding.limit);
    let limit = format!("{limit}{}", warm(answer, zone));
    match detail {
        Detail::Brief | Detail::Limit => limit,
        Detail::Source => {
            let source = units.in_words(&answer.keeping.binding.source);
            format!("{limit} [{source}]")
        }
    }
}

/// `; 1 h 30 min warm so far`, of several times with the first and the last of them.
pub fn warm(answer: &LotAnswer, zone: &Zone) -> String {
    let keeping = &answer.keeping;
    if keeping.warm_minutes == 0 {
        return String::new();
    }
    let warm = times::minutes(keeping.warm_minutes);
    let since = |at| times::moment(at, answer.as_of, zone);
    match keeping.warm_times.filter(|times| times.count > 1) {
        None => format!("; {warm} warm so far"),
        Some(WarmTimes { count, first, last }) => format!(
            "; {warm} warm so far, at {count} times: the first from {}, the last from {}",
            since(first),
            since(last)
        ),
    }
}
