//! Parts that several pages share: a lot with its remaining life, its verdict, what was told.

use super::commands::linked;
use crate::keeping::Verdict;
use crate::ledger::EntryRecord;
use crate::render::lot::{hangs_on_a_reading, keep_until, keep_until_cell, verdict_words};
use crate::render::shelf::to_preserve;
use crate::render::{chart, log, spoiled_part, times};
use crate::report::LotAnswer;
use crate::report::shelf::ShelfAnswer;
use crate::web::answer_notes::AnswerNotes;
use crate::web::trouble::capital;
use crate::web::visit::Visit;
use maud::{Markup, html};

/// Hours that the bars of a list of lots show: one scale for all of them.
pub fn bar_scale(lots: &[LotAnswer]) -> f64 {
    let most = lots
        .iter()
        .filter_map(LotAnswer::hours_left)
        .fold(24.0, f64::max);
    (most / 24.0).ceil() * 24.0
}

/// The verdict as a word; its sign differs by shape, not by colour alone.
pub fn verdict(lot: &LotAnswer) -> Markup {
    let (kind, sign) = match lot.keeping.verdict {
        Verdict::Good => ("good", "✓"),
        Verdict::UseFirst => ("use-first", "!"),
        Verdict::Unknown => ("unknown", "?"),
        Verdict::Past => ("past", "✕"),
    };
    html! { span.verdict.(kind) { span aria-hidden="true" { (sign) " " } (verdict_words(lot)) } }
}

/// A lot in a list, with the bar of its remaining life.
pub fn lot_line(visit: &Visit, shelf: &ShelfAnswer, lot: &LotAnswer, scale: f64) -> Markup {
    let (units, zone) = (visit.units(), visit.zone());
    let place = lot.place.as_ref().map_or("nowhere", |(name, _)| name);
    let until = if hangs_on_a_reading(lot) {
        keep_until(lot, zone)
    } else {
        keep_until_cell(lot, zone)
    };
    html! {
        li.lot {
            a href=(format!("/lot/{}", lot.lot.code)) {
                span.row { b.code { (lot.lot.code) } " " (verdict(lot)) }
                span.row { span { (units.weighed(lot.wet)) " in " (place) } " " span { (until) } }
                // Frozen and dried grain has no date that a bar could show.
                @if lot.keeping.keep_until.is_some() || !lot.keeping.verdict.may_be_used() {
                    (bar(lot, scale))
                }
                @if let Some(told) = spoiled_part::of_lot(lot, zone) { span.row { (capital(&told)) } }
                @for work in to_preserve(shelf, lot, units, zone) { span.row { (capital(&work)) } }
            }
        }
    }
}

/// The hatches of the bars, once on a page. The names are those that the style paints.
pub fn bar_hatches() -> Markup {
    chart::larger_hatches(["no-more", "lying", "first"], 4.0)
}

/// The bar of a lot's remaining life: hatched as in the picture of a plan, all along where it may not be used.
fn bar(lot: &LotAnswer, scale: f64) -> Markup {
    let left = if lot.keeping.verdict.may_be_used() {
        lot.hours_left().unwrap_or(0.0).clamp(0.0, scale)
    } else {
        scale
    };
    let width = format!("{:.1}", left / scale * 300.0);
    let hatch = match lot.keeping.verdict {
        Verdict::Good => None,
        Verdict::UseFirst => Some("url(#first)"),
        Verdict::Unknown | Verdict::Past => Some("url(#no-more)"),
    };
    let days = (scale / 24.0) as u32;
    html! {
        svg.life viewBox="0 0 300 14" preserveAspectRatio="none" aria-hidden="true" {
            rect.all x="0" y="0" width="300" height="14" {}
            rect.good[hatch.is_none()] x="0" y="0" width=(width) height="14" fill=[hatch] {}
            @for day in 1..days {
                @let x = format!("{:.1}", f64::from(day) * 24.0 / scale * 300.0);
                line x1=(x) y1="0" x2=(x) y2="14" {}
            }
        }
    }
}

/// Notices, warnings and cautions beside an answer.
pub fn answer_notes(notes: &AnswerNotes) -> Markup {
    html! {
        @for warning in &notes.warnings { p.warning { b { "Warning: " } (linked(&capital(warning))) } }
        @for notice in &notes.notices { p.notice role="status" { (linked(&capital(notice))) } }
        (cautions(&notes.cautions))
    }
}

/// Cautions, each a line.
pub fn cautions(lines: &[String]) -> Markup {
    html! {
        @if !lines.is_empty() {
            ul.cautions aria-label="Cautions" {
                @for caution in lines { li { (caution) } }
            }
        }
    }
}

/// Width of the labels in words for a terminal.
const LABEL: usize = 12;

/// Labelled words for a terminal as a list: what several lines hold belongs to the label above.
pub fn labelled(words: &str) -> Markup {
    let mut rows: Vec<(String, String)> = Vec::new();
    for line in words.lines().filter(|line| !line.trim().is_empty()) {
        let label: String = line.chars().take(LABEL).collect();
        let rest: String = line.chars().skip(LABEL).collect();
        match rows.last_mut() {
            Some((_, text)) if label.trim().is_empty() => {
                text.push(' ');
                text.push_str(rest.trim());
            }
            _ => rows.push((label.trim().to_owned(), rest.trim().to_owned())),
        }
    }
    self::rows(&rows)
}

/// Labels, each with what it says; without a label it is more of the one above.
pub fn rows(rows: &[(impl AsRef<str>, String)]) -> Markup {
    html! {
        @if !rows.is_empty() {
            dl {
                @for (label, text) in rows {
                    @let label = label.as_ref();
                    @if !label.is_empty() { dt { (label) } }
                    dd { (linked(text)) }
                }
            }
        }
    }
}

/// Lines of words that the page wraps, each hanging below its begin.
pub fn lines(words: &str) -> Markup {
    html! {
        div.words {
            @for line in words.lines() { p { (linked(line)) } }
        }
    }
}

/// Entries, each a link with what it holds.
pub fn story(visit: &Visit, entries: &[EntryRecord]) -> Markup {
    let (units, now, zone) = (visit.units(), visit.now, visit.zone());
    html! {
        ol.story {
            @for entry in entries {
                li.struck[!entry.says_something_in_force()] {
                    a href=(format!("/entry/{}", entry.entry)) {
                        (capital(entry.kind.as_str())) ", " (times::moment(entry.at, now, zone))
                    }
                    ": " (log::what(entry, units, now, zone))
                }
            }
        }
    }
}
