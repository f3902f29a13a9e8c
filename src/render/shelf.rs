//! The shelf as a list of at most 80 columns, two lines a lot.

use super::numbers::{self, Units};
use super::{lot, times, words};
use crate::desk::BookedIn;
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::LotAnswer;
use crate::report::shelf::ShelfAnswer;

const HEADINGS: [&str; 6] = ["LOT", "VERDICT", "KEEP UNTIL", "DAY", "WET", "DRY GRAIN"];

/// The whole answer.
pub fn text(answer: &ShelfAnswer, units: Units, zone: &Zone, rules: &str) -> String {
    let mut out = String::new();
    words::wrapped(
        &mut out,
        "",
        "",
        &format!(
            "{} on hand, {} · rule set: {rules}",
            count(answer.lots.len(), "lot"),
            times::heading(answer.as_of, zone)
        ),
    );
    if answer.lots.is_empty() {
        out.push_str("Nothing is on hand. `draff pickup …` books grain in.\n");
        return out;
    }
    out.push('\n');
    let mut rows: Vec<Vec<String>> = vec![HEADINGS.map(str::to_owned).to_vec()];
    rows.extend(answer.lots.iter().map(|found| {
        vec![
            found.lot.code.to_string(),
            found.keeping.verdict.to_string(),
            lot::keep_until_cell(found, zone),
            found
                .keeping
                .day
                .map_or(String::new(), |day| day.to_string()),
            units.weighed(found.wet),
            units.dry(&found.dry),
        ]
    }));
    let lines = words::table(&rows, &[false, false, false, true, true, true]);
    out.push_str(&lines[0]);
    out.push('\n');
    let reasons = Reasons::of(&answer.lots, units, zone);
    for (line, found) in lines[1..].iter().zip(&answer.lots) {
        out.push_str(line);
        out.push('\n');
        let place = found.place.as_ref().map_or("nowhere", |(name, _)| name);
        let mut why = format!("in {place}");
        for reason in reasons.of_one_lot(found, units, zone) {
            why.push_str("; ");
            why.push_str(&reason);
        }
        why.push_str(&format!(
            "{}; moisture {}",
            lot::warm(found),
            numbers::estimate(&found.estimate)
        ));
        let promised: Vec<String> = answer
            .promised_of(found.lot.code)
            .iter()
            .map(|(bake, wet)| format!("{} to {bake}", units.weighed(*wet)))
            .collect();
        if !promised.is_empty() {
            why.push_str(&format!("; promised {}", promised.join(", ")));
        }
        words::wrapped(&mut out, "  ", "  ", &why);
        if let Some(advice) = &found.keeping.advice {
            let advice = lot::advice_words(
                advice,
                &found.lot.code.to_string(),
                answer.as_of,
                units,
                zone,
            );
            words::wrapped(&mut out, "  > ", "    ", &advice);
        }
    }
    reasons.say(&mut out, answer.lots.len());
    out
}

/// Reasons that several lots share, each with those lots: they are said once, below the list.
struct Reasons(Vec<(String, Vec<String>)>);

impl Reasons {
    fn of(lots: &[LotAnswer], units: Units, zone: &Zone) -> Self {
        let mut all: Vec<(String, Vec<String>)> = Vec::new();
        for found in lots {
            let code = found.lot.code.to_string();
            for reason in of_lot(found, units, zone) {
                match all.iter_mut().find(|(known, _)| *known == reason) {
                    Some((_, codes)) => codes.push(code.clone()),
                    None => all.push((reason, vec![code.clone()])),
                }
            }
        }
        all.retain(|(_, codes)| codes.len() > 1);
        Self(all)
    }

    /// Those that a lot has alone.
    fn of_one_lot(&self, found: &LotAnswer, units: Units, zone: &Zone) -> Vec<String> {
        let mut own = of_lot(found, units, zone);
        own.retain(|reason| self.0.iter().all(|(shared, _)| shared != reason));
        own
    }

    fn say(&self, out: &mut String, lots: usize) {
        if !self.0.is_empty() {
            out.push('\n');
        }
        for (reason, codes) in &self.0 {
            let of = if codes.len() == lots {
                "all of them".to_owned()
            } else {
                codes.join(", ")
            };
            words::wrapped(out, "", "  ", &format!("{reason}: {of}"));
        }
    }
}

/// The limit that decides, and what is worth knowing beside it.
fn of_lot(found: &LotAnswer, units: Units, zone: &Zone) -> Vec<String> {
    let mut reasons = vec![units.in_words(&found.keeping.binding.limit)];
    reasons.extend(lot::notes(found, units, zone));
    reasons
}

/// What a file of pickups brought: every lot, or of many only their number.
pub fn booked_in(
    booked: &BookedIn,
    units: Units,
    now: Instant,
    zone: &Zone,
    rules: &str,
) -> String {
    let number = count(booked.number, "lot");
    if booked.lots.is_empty() {
        return format!(
            "Booked in {number}; on hand are now {} in all. `draff shelf` lists them.\n",
            units.weighed(booked.on_hand)
        );
    }
    let wet = booked.lots.iter().fold(Milligrams::ZERO, |sum, lot| {
        sum.checked_add(lot.wet).unwrap_or(sum)
    });
    let shelf = ShelfAnswer::new(now, booked.lots.clone(), Vec::new());
    format!(
        "Booked in {number}, {} wet.\n\n{}",
        units.weighed(wet),
        text(&shelf, units, zone, rules)
    )
}
