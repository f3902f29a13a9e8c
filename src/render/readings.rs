//! What a logger's file brought, and what it did to the lots on hand.

use super::numbers::Units;
use super::{times, words};
use crate::keeping::{Assessment, RuleSet, Verdict};
use crate::quantity::text::count;
use crate::quantity::{Instant, Zone};
use crate::report::readings::{FINE_STEP, ReadingsAnswer, Stretch};

/// Gaps and lots shown one by one; of more it is told how many there are.
const SHOWN: usize = 10;

/// The whole answer.
pub fn text(
    answer: &ReadingsAnswer,
    rules: &RuleSet,
    units: Units,
    now: Instant,
    zone: &Zone,
) -> String {
    let mut out = String::new();
    let moment = |at| times::moment(at, now, zone);
    let read_in = &answer.read_in;
    let entry = match read_in.entry {
        Some(entry) => format!("entry {entry}"),
        None => "nothing was written".to_owned(),
    };
    words::labelled(
        &mut out,
        "Read",
        &format!(
            "{} of {} added, {} known already; {entry}",
            count(read_in.added, "reading"),
            answer.place,
            read_in.known
        ),
    );
    if let (Some(period), Some(coldest), Some(warmest)) =
        (answer.period, answer.coldest, answer.warmest)
    {
        words::labelled(
            &mut out,
            "File",
            &format!(
                "{} to {}, {} to {}",
                moment(period.from),
                moment(period.to),
                units.temperature(coldest),
                units.temperature(warmest)
            ),
        );
    }
    words::labelled(&mut out, "Warm", &warm(answer, rules, units));
    if let Some(step) = answer.slow_step {
        words::labelled(
            &mut out,
            "Step",
            &format!(
                "the logger reads every {}, and no two warm readings follow each other. A logger that reads every {} or more often, or a probe in the grain, may show less warm time",
                times::minutes(times::begun_minutes(step)),
                times::minutes(times::begun_minutes(FINE_STEP))
            ),
        );
    }
    if !answer.gaps.is_empty() {
        let shown: Vec<String> = answer
            .gaps
            .iter()
            .take(SHOWN)
            .map(|Stretch { from, to }| format!("{} to {}", moment(*from), moment(*to)))
            .collect();
        words::labelled(
            &mut out,
            "Gaps",
            &format!(
                "{} longer than {}, unknown and never cold: {}{}",
                answer.gaps.len(),
                times::minutes(rules.longest_gap.num_minutes()),
                shown.join("; "),
                more(answer.gaps.len())
            ),
        );
    }
    if read_in.differing > 0 {
        words::labelled(
            &mut out,
            "Differing",
            &format!(
                "{} the book held another figure; both are kept and the warmer counts",
                match read_in.differing {
                    1 => "for 1 moment".to_owned(),
                    several => format!("for {several} moments"),
                }
            ),
        );
    }
    for (number, why) in [
        (answer.empty, "without a temperature, left out"),
        (answer.outside, "outside of --from and --to, left out"),
    ] {
        if number > 0 {
            words::labelled(&mut out, "Rows", &format!("{number} {why}"));
        }
    }
    for lot in answer.changed.iter().take(SHOWN) {
        words::labelled(
            &mut out,
            "Lot",
            &format!(
                "{}: {}, now {} ({})",
                lot.lot,
                state(&lot.before, now, zone),
                state(&lot.after, now, zone),
                units.in_words(&lot.after.binding.limit)
            ),
        );
    }
    if answer.changed.len() > SHOWN {
        words::labelled(
            &mut out,
            "",
            &format!("and {} more, see draff shelf", answer.changed.len() - SHOWN),
        );
    }
    if answer.changed.is_empty() {
        words::labelled(
            &mut out,
            "Lots",
            "none on hand is judged otherwise than before",
        );
    }
    words::labelled(
        &mut out,
        "Note",
        "a logger never shows that grain cooled, a thermometer in the grain does",
    );
    out
}

/// How long it was above the cold limit, as far as readings stand close enough together to say so.
fn warm(answer: &ReadingsAnswer, rules: &RuleSet, units: Units) -> String {
    let cold = units.temperature(rules.cold.limit.in_celsius());
    let long = times::minutes(answer.warm_minutes());
    let mut told = match answer.warm.len() {
        0 => Vec::new(),
        1 => vec![format!("{long} above {cold}, at one time")],
        several => vec![format!("{long} above {cold}, at {several} times")],
    };
    if answer.warm_alone > 0 {
        told.push(format!(
            "{} above {cold} with no other near: for how long is not known",
            count(answer.warm_alone, "reading")
        ));
    }
    if told.is_empty() {
        told.push(format!("no reading above {cold}"));
    }
    told.join("; ")
}

/// `1 warm row`, `40 warm rows`.
pub(super) fn warm_rows(rows: i64) -> String {
    count(rows as usize, "warm row")
}

fn more(number: usize) -> String {
    match number.saturating_sub(SHOWN) {
        0 => String::new(),
        rest => format!("; and {rest} more"),
    }
}

/// A verdict with its date.
pub(super) fn state(assessment: &Assessment, now: Instant, zone: &Zone) -> String {
    let since = match assessment.verdict {
        Verdict::Past => "since",
        Verdict::Good | Verdict::UseFirst | Verdict::Unknown => "until",
    };
    match assessment.keep_until {
        Some(until) => format!(
            "{} {since} {}",
            assessment.verdict,
            times::moment(until, now, zone)
        ),
        None => assessment.verdict.to_string(),
    }
}
