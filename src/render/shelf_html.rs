//! The shelf as a board, for a screen by the fridge: large, with words and hatches.

use super::report::table::Reader;
use super::shelf::to_preserve;
use super::words::capital;
use super::{chart, html_page, lot, notice, spoiled_part, times};
use crate::desk::Notice;
use crate::keeping::Verdict;
use crate::quantity::text::{count, trimmed, visible};
use crate::report::shelf::ShelfAnswer;
use crate::report::{Caution, LotAnswer};
use chart::{Bar, Fill};
use maud::{Markup, html};

const STYLE: &str = concat!(
    include_str!("chart.css"),
    include_str!("shelf_html/board.css")
);
/// A screen loads the file again after so many seconds, so that it shows what was written since.
const AGAIN: u32 = 60;

/// The whole page.
pub fn page(
    answer: &ShelfAnswer,
    book: &str,
    reader: Reader<'_>,
    notices: &[Notice],
    cautions: &[Caution],
) -> String {
    let title = format!("{book}, {}", times::heading(answer.as_of, reader.zone));
    let warnings: Vec<String> = notices
        .iter()
        .filter(|notice| notice.is_warning())
        .map(|notice| notice::words(notice, reader.units, reader.zone))
        .collect();
    let heading = heading(answer, reader);
    let body = html! {
        header {
            h1 { (heading) }
            p { (title) ". " (count(answer.lots.len(), "lot")) " on hand." }
        }
        @if !warnings.is_empty() {
            ul.told { @for words in &warnings { li { (capital(words)) "." } } }
        }
        (chart::hatches(["slanted", "lying", "dotted"]))
        (life(&answer.lots, &heading))
        ul.lots { @for lot in &answer.lots { (line(answer, lot, reader)) } }
        footer {
            p { "It shows the book as it was then. Write it again after each entry: draff shelf --html FILE. A screen loads it again by itself." }
            ul.cautions {
                @for caution in cautions { li { (reader.units.in_words(&caution.text())) } }
            }
        }
    };
    visible(&html_page::whole_again(&title, STYLE, AGAIN, body))
}

/// What to do first.
fn heading(answer: &ShelfAnswer, reader: Reader<'_>) -> String {
    let past = answer
        .lots
        .iter()
        .filter(|lot| lot.keeping.verdict == Verdict::Past);
    let past: Vec<String> = past.map(|lot| lot.lot.code.to_string()).collect();
    if !past.is_empty() {
        return format!("Throw away: {}", past.join(", "));
    }
    let first = answer
        .lots
        .iter()
        .find(|lot| lot.keeping.verdict.may_be_used() && lot.keeping.keep_until.is_some());
    match first {
        Some(lot) => format!(
            "First: {}, {}",
            lot.lot.code,
            lot::keep_until(lot, reader.zone)
        ),
        None if answer.lots.is_empty() => "Nothing is on hand.".to_owned(),
        None => "Nothing has to go first.".to_owned(),
    }
}

/// A lot with what is to be done.
fn line(answer: &ShelfAnswer, lot: &LotAnswer, reader: Reader<'_>) -> Markup {
    let place = lot.place.as_ref().map_or("nowhere", |(name, _)| name);
    let (kind, sign) = match lot.keeping.verdict {
        Verdict::Good => ("good", "✓"),
        Verdict::UseFirst => ("use-first", "!"),
        Verdict::Unknown => ("unknown", "?"),
        Verdict::Past => ("past", "✕"),
    };
    let advice = match (lot.keeping.verdict, &lot.keeping.advice) {
        (Verdict::Past, _) => Some("throw it away".to_owned()),
        (_, Some(advice)) => Some(lot::advice_to_do(
            advice,
            reader.now,
            reader.units,
            reader.zone,
        )),
        (_, None) => None,
    };
    html! {
        li {
            b { (lot.lot.code) }
            span.verdict.(kind) { span aria-hidden="true" { (sign) " " } (lot::verdict_words(lot)) }
            span { (reader.units.weighed(lot.wet)) " in " (place) }
            span { (lot::keep_until(lot, reader.zone)) }
            @if let Some(told) = spoiled_part::of_lot(lot, reader.zone) { p.do { (capital(&told)) } }
            @if let Some(advice) = advice { p.do { (capital(&advice)) } }
            @for work in to_preserve(answer, lot, reader.units, reader.zone) { p.do { (capital(&work)) } }
        }
    }
}

/// How long each lot has left, as bars, with what is seen in them; lots without a date have none. Hatches tell what may be used.
pub fn life(lots: &[LotAnswer], finding: &str) -> Markup {
    let bars: Vec<Bar> = lots
        .iter()
        .filter_map(|lot| {
            let days = lot.hours_left()?.max(0.0) / 24.0;
            let fill = match lot.keeping.verdict {
                Verdict::Good => Fill::Grey,
                Verdict::UseFirst => Fill::Dotted,
                Verdict::Unknown | Verdict::Past => Fill::Slanted,
            };
            Some(Bar {
                label: lot.lot.code.to_string(),
                parts: vec![(fill, days)],
                mark: None,
                text: format!("{} days, {}", trimmed(days, 1), lot::verdict_words(lot)),
            })
        })
        .collect();
    let key = [
        (Fill::Grey, "good"),
        (Fill::Dotted, "use first"),
        (Fill::Slanted, "past or not known"),
    ];
    chart::bars("Days left of lots on hand", finding, &bars, &key)
}
