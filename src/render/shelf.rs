//! The shelf as a list of at most 80 columns, one line a lot.

use super::in_common::{self, Group, Told};
use super::lot::{self, Detail};
use super::moisture::warnings;
use super::numbers::{self, Units};
use super::plan::task_words;
use super::words::Columns;
use super::{bake, spoiled_part, times, words};
use crate::desk::BookedIn;
use crate::grain::Evidence;
use crate::keeping::{Advice, Assessment, Verdict};
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::LotAnswer;
use crate::report::shelf::{ShelfAnswer, ToPreserve};

const HEADINGS: [&str; 6] = ["LOT", "VERDICT", "KEEP UNTIL", "WEIGHT", "DRY GRAIN", "IN"];
/// Columns before the last, which takes what is left of a line.
const RIGHT: [bool; 6] = [false, false, false, true, true, false];
/// The shortest that a place's name is cut to.
const LEAST_OF_A_NAME: usize = 4;

/// The whole answer: a line for each lot, a second one where something is to be done or unusual, and below what
/// several lots have in common. Briefly, without what they have in common.
pub fn text(
    answer: &ShelfAnswer,
    detail: Detail,
    units: Units,
    zone: &Zone,
    rules: &str,
) -> String {
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
    out.push_str(&table(answer, detail, units, zone));
    out
}

/// A line for each lot and what is to be done, and below what several lots have in common.
fn table(answer: &ShelfAnswer, detail: Detail, units: Units, zone: &Zone) -> String {
    let mut out = String::new();
    let lines = lines(answer, units, zone);
    let mut notes = in_common::groups(&answer.lots, |found| lot::told_notes(found, units, zone));
    notes.retain(Group::is_shared);
    // Briefly nothing stands below.
    let shared = match detail {
        Detail::Brief => Vec::new(),
        _ => shared_advice(&answer.lots, answer.as_of, units, zone),
    };
    out.push_str(&lines[0]);
    out.push('\n');
    for (line, found) in lines[1..].iter().zip(&answer.lots) {
        out.push_str(line);
        out.push('\n');
        for unusual in unusual(found, units, zone) {
            if !notes.iter().any(|shared| shared.tells(&unusual)) {
                words::wrapped(&mut out, "  ", "  ", &unusual.whole());
            }
        }
        if found.keeping.verdict == Verdict::Past && !found.is_used_up() {
            let line = lot::throw_away(&found.lot.code.to_string());
            words::wrapped(&mut out, "  > ", "    ", &line);
        } else if let Some(advice) = to_be_done(&found.keeping) {
            let code = found.lot.code.to_string();
            let advice = if is_told_below(&shared, &code) {
                lot::advice_in_short(advice, &code, answer.as_of, units, zone)
            } else {
                lot::advice_words(advice, &code, answer.as_of, units, zone)
            };
            words::wrapped(&mut out, "  > ", "    ", &advice);
        }
        for line in to_preserve(answer, found, units, zone) {
            words::wrapped(&mut out, "  > ", "    ", &line);
        }
    }
    if detail == Detail::Brief {
        return out;
    }
    out.push('\n');
    let known = |found: &LotAnswer| vec![Told::new(known_from(found.estimate.from), "", "")];
    let because = std::iter::once(("Because", limits(&answer.lots, units)));
    let others = [
        ("Moisture", in_common::groups(&answer.lots, known)),
        ("Note", notes),
    ];
    for (label, groups) in because.chain(shared).chain(others) {
        in_common::say(&mut out, label, &groups, answer.lots.len());
    }
    promised(&mut out, answer, units);
    out
}

/// What advice has in common for several lots, with its label.
type SharedAdvice = Vec<(&'static str, Vec<Group>)>;

/// Advice that is told once of several lots.
pub(super) fn shared_advice<'l>(
    lots: impl IntoIterator<Item = &'l LotAnswer> + Clone,
    now: Instant,
    units: Units,
    zone: &Zone,
) -> SharedAdvice {
    type OfAdvice = fn(&Advice, Instant, Units, &Zone) -> Option<Told>;
    let kinds: [(&'static str, OfAdvice); 2] =
        [("Exception", lot::exception), ("Logger", lot::logger_file)];
    let shared = kinds.into_iter().map(|(label, of)| {
        let mut groups = in_common::groups(lots.clone(), |found| {
            let advice = found.keeping.advice.as_ref();
            let told = advice.and_then(|advice| of(advice, now, units, zone));
            told.into_iter().collect()
        });
        groups.retain(Group::is_shared);
        (label, groups)
    });
    shared.collect()
}

/// Whether the advice for a lot is told together with that for others.
pub(super) fn is_told_below(shared: &[(&'static str, Vec<Group>)], code: &str) -> bool {
    let mut groups = shared.iter().flat_map(|(_, groups)| groups);
    groups.any(|group| group.is_of(code))
}

/// The limits of lots.
pub(super) fn limits<'l>(
    lots: impl IntoIterator<Item = &'l LotAnswer>,
    units: Units,
) -> Vec<Group> {
    in_common::groups(lots, |found| {
        let limit = units.in_words(&found.keeping.binding.limit);
        vec![Told::with_figure(&limit)]
    })
}

/// What the accepted plan does with a lot so that it keeps: it goes first, but not into a dough.
pub fn to_preserve(
    answer: &ShelfAnswer,
    found: &LotAnswer,
    units: Units,
    zone: &Zone,
) -> Vec<String> {
    let of_lot = answer.to_preserve.iter();
    of_lot
        .filter(|one| one.lot == found.lot.code)
        .map(|one| job(one, found, answer.as_of, units, zone))
        .collect()
}

/// One job of the accepted plan, of this lot.
pub fn job(
    one: &ToPreserve,
    found: &LotAnswer,
    as_of: Instant,
    units: Units,
    zone: &Zone,
) -> String {
    let grain = if one.wet == found.wet {
        "all of it".to_owned()
    } else {
        format!("{} of it", units.weighed(one.wet))
    };
    let by = times::moment(one.by, as_of, zone);
    let when = if one.by < as_of {
        format!("now: it was due {by}")
    } else {
        format!("by {by}")
    };
    let places = one.places.join(" and ");
    let into = (!places.is_empty()).then_some(places.as_str());
    format!(
        "accepted plan: {} {when}",
        task_words(one.work, &grain, (into, None))
    )
}

/// The table, its last column as wide as a line leaves room for.
fn lines(answer: &ShelfAnswer, units: Units, zone: &Zone) -> Vec<String> {
    let mut rows: Vec<Vec<String>> = vec![HEADINGS[..5].iter().map(ToString::to_string).collect()];
    let [wet, dry] = masses(&answer.lots, units);
    rows.extend(
        answer
            .lots
            .iter()
            .zip(wet.into_iter().zip(dry))
            .map(|(found, (wet, dry))| {
                vec![
                    found.lot.code.to_string(),
                    lot::verdict_words(found),
                    lot::keep_until_cell(found, zone),
                    wet,
                    dry,
                ]
            }),
    );
    let mut columns = Columns::new(&RIGHT);
    rows.iter().for_each(|row| columns.measure(row));
    let room = words::WIDTH.saturating_sub(columns.width() + 2);
    let places = answer.lots.iter().map(|found| {
        let name = found.place.as_ref().map_or("nowhere", |(name, _)| name);
        words::cut(name, room.max(LEAST_OF_A_NAME))
    });
    let last = std::iter::once(HEADINGS[5].to_owned()).chain(places);
    rows.iter_mut()
        .zip(last)
        .map(|(row, last)| {
            row.push(last);
            columns.line(row)
        })
        .collect()
}

/// The wet and the dry grain of each lot. Pounds and ounces do not read well side by side, grams and kilograms do.
fn masses(lots: &[LotAnswer], units: Units) -> [Vec<String>; 2] {
    if units == Units::Metric {
        let wet = lots.iter().map(|found| units.weighed(found.wet));
        let dry = lots.iter().map(|found| units.dry(&found.dry));
        return [wet.collect(), dry.collect()];
    }
    let wet: Vec<_> = lots.iter().map(|found| (found.wet.mass(), None)).collect();
    let dry: Vec<_> = lots
        .iter()
        .map(|found| {
            let half = (found.dry.high - found.dry.low) / 2.0;
            (found.dry.best, Some(half))
        })
        .collect();
    let unit = units.unit_of(wet.iter().chain(&dry).map(|(mass, _)| *mass));
    [wet, dry].map(|masses| numbers::column(&masses, unit))
}

/// What is unusual of a lot.
fn unusual(found: &LotAnswer, units: Units, zone: &Zone) -> Vec<Told> {
    let alone = |text: &str| Told::new(text, "", "");
    let mut unusual = lot::told_notes(found, units, zone);
    if found.keeping.warm_minutes > 0 {
        let warm = lot::warm(found, zone);
        unusual.insert(0, alone(warm.trim_start_matches("; ")));
    }
    if let Some(told) = spoiled_part::of_lot(found, zone) {
        unusual.insert(0, alone(&told));
    }
    if found.estimate.unfinished.samples > 0 {
        unusual.push(alone(&numbers::unfinished(&found.estimate.unfinished)));
    }
    if let Some(far_apart) = &found.far_apart {
        let to_do = warnings::put_right(far_apart, &found.lot.code.to_string());
        unusual.push(alone(&format!(
            "its moisture is not known: {}; {to_do}",
            warnings::far_apart(far_apart)
        )));
    }
    unusual
}

/// Advice to do something; how many days a frozen lot has left stands in its line.
fn to_be_done(keeping: &Assessment) -> Option<&Advice> {
    let advice = keeping.advice.as_ref();
    advice.filter(|advice| !matches!(advice, Advice::DaysAfterThawing(_)))
}

/// Where the moisture of a lot is known from.
const fn known_from(evidence: Evidence) -> &'static str {
    match evidence {
        Evidence::Tests {
            with_earlier_lots: None,
            ..
        } => "tested",
        Evidence::Tests { .. } => "tested; other lots of the same source count too",
        Evidence::Treatment { .. } => "from the weights of its treatment",
        Evidence::Joined { .. } => "from the lots in it",
        Evidence::EarlierLots { .. } => "not tested, estimated from lots of the same source",
        Evidence::OtherSources { .. } => "not tested, estimated from lots of other sources",
        Evidence::PublishedDefault => "not tested, published default",
        Evidence::NoPublishedComposition => {
            "not tested; nothing is published for steeped grain, so the figure of mashed grain, with a wider range"
        }
    }
}

/// What the accepted plan promised of each lot, and what bakes lost of it.
fn promised(out: &mut String, answer: &ShelfAnswer, units: Units) {
    for (is_past, label) in [(false, "Promised"), (true, "Lost")] {
        let mut label = label;
        let lots = answer.lots.iter();
        for found in lots.filter(|found| (found.keeping.verdict == Verdict::Past) == is_past) {
            let code = found.lot.code;
            let bakes = answer.promised_of(code);
            let promised: Vec<String> = bakes
                .iter()
                .map(|one| {
                    if is_past {
                        format!("{} has lost {}", one.bake, units.weighed(one.wet))
                    } else {
                        bake::promised_to(one, "to", units)
                    }
                })
                .collect();
            if promised.is_empty() {
                continue;
            }
            let promised = promised.join(", ");
            let text = if is_past {
                format!("{promised}, as {code} is past. Plan again: draff plan --accept")
            } else {
                let plan = match bakes.iter().any(|one| one.lost.is_some()) {
                    true => ". Plan again: draff plan",
                    false => "",
                };
                format!("of {code}: {promised}{plan}")
            };
            words::labelled(out, std::mem::take(&mut label), &text);
        }
    }
}

/// What a file of pickups brought: every lot, or of many only their number.
pub fn booked_in(booked: &BookedIn, units: Units, now: Instant, zone: &Zone) -> String {
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
        "Booked in {number}, {} wet; on hand are now {} in all.\n\n{}",
        units.weighed(wet),
        units.weighed(booked.on_hand),
        table(&shelf, Detail::Limit, units, zone)
    )
}
