//! The bench sheet as one printed page: HTML that holds all it needs and asks nobody for anything.

use super::html_page;
use super::numbers::Units;
use super::sheet::words::Words;
use super::timetable::{self, Row};
use super::whole_codes::{with_whole_codes, with_whole_words};
use crate::dough::batch::LineKind;
use crate::dough::formula::StageKind;
use crate::quantity::Zone;
use crate::report::sheet::SheetAnswer;
use maud::{Markup, html};

mod fit;

const STYLE: &str = include_str!("sheet_html/sheet.css");

/// The whole page.
pub fn page(answer: &SheetAnswer, zone: &Zone, units: Units) -> String {
    let (words, rows) = words_and_rows(answer, zone, units);
    let points = fit::points(words, &rows);
    let body = html! {
        (heading(words))
        main {
            section.weigh {
                @for position in 0..answer.batch.stages.len() {
                    (stage(words, position, true))
                }
            }
            section.day {
                (times(&rows))
            }
        }
        (signs(words))
        (blanks(words, true))
        footer {
            ul.cautions {
                @for caution in answer.cautions() { li { (caution.text()) } }
            }
            p.origin { (words.origin()) }
        }
    };
    let title = format!("{}, {}", answer.formula.name, answer.bake);
    let style = format!("{STYLE}body {{ font-size: {points}pt; }}");
    html_page::whole(&title, &style, body)
}

/// What stands on the page, for whoever has a page and a style of his own.
pub fn inside(answer: &SheetAnswer, zone: &Zone, units: Units) -> Markup {
    let (words, rows) = words_and_rows(answer, zone, units);
    html! {
        (heading(words))
        section.weigh {
            @for position in 0..answer.batch.stages.len() {
                (stage(words, position, false))
            }
        }
        section.day { (times(&rows)) }
        (signs(words))
        (blanks(words, false))
    }
}

fn words_and_rows<'a>(
    answer: &'a SheetAnswer,
    zone: &'a Zone,
    units: Units,
) -> (Words<'a>, Vec<Row>) {
    let words = Words {
        answer,
        zone,
        units,
    };
    let rows = timetable::rows(
        &answer.formula,
        &answer.timetable,
        answer.night,
        answer.printed_at,
        zone,
        units,
    );
    (words, rows)
}

fn heading(words: Words<'_>) -> Markup {
    let answer = words.answer;
    html! {
        header {
            div.title {
                h1 { (answer.formula.name) }
                p.code {
                    (answer.bake)
                    @if let Some(why) = words.not_sure() { ", " (why) }
                }
            }
            div.make {
                p { strong { (words.pieces()) } ", " (words.baked_piece()) " each when baked" }
                p.moments {
                    @for (what, when) in words.moments() {
                        span { (what) " " strong { (when) } }
                    }
                }
            }
            @if let Some(note) = &answer.note { p.note { (note) } }
        }
    }
}

fn tick() -> Markup {
    html! { span.tick aria-hidden="true" {} }
}

/// A stage; whether what to type is said too.
fn stage(words: Words<'_>, position: usize, is_typed: bool) -> Markup {
    let answer = words.answer;
    let stage = &answer.batch.stages[position];
    let takes_grain = position == answer.formula.grain.stage;
    html! {
        h2 { (stage.name) " " small { (words.stage(position)) } }
        table {
            @for line in &stage.lines {
                @if line.what == LineKind::Water && stage.kind == StageKind::Final {
                    (water_temperature(words, is_typed))
                }
                @let shown = words.line(line, takes_grain);
                tr.large[shown.large.is_some()] {
                    @let is_of_lots = line.what == LineKind::Grain && !answer.draws.is_empty();
                    td { @if !is_of_lots { (tick()) } }
                    td.weight { (shown.weight) }
                    td {
                        @if let Some(large) = shown.large { strong.what { (large) } " " }
                        (shown.name)
                    }
                }
                @if line.what == LineKind::Grain {
                    tr { td {} td colspan="2" { (grain(words)) } }
                }
            }
        }
    }
}

fn water_temperature(words: Words<'_>, is_typed: bool) -> Markup {
    let water = words.water();
    let text = match is_typed {
        true => water.text.as_str(),
        false => water.text.trim_end_matches(", then type"),
    };
    html! {
        tr.large {
            td {}
            td.weight {
                @match water.large {
                    Some(large) => (large),
                    None => span.blank {},
                }
            }
            td {
                strong.what { "water temperature" } " " (text)
                @if let Some(command) = water.command.as_ref().filter(|_| is_typed) {
                    " " (with_whole_words(command))
                }
            }
        }
    }
}

fn grain(words: Words<'_>) -> Markup {
    let answer = words.answer;
    html! {
        ul.lots {
            @if answer.draws.is_empty() {
                li { "lot " span.blank {} " until " span.blank {} }
            }
            @for told in words.thaw().into_iter().chain(words.conditions()).chain(words.spoiled_parts()) {
                li { strong { (with_whole_codes(&told)) } }
            }
            @for draw in &answer.draws {
                li.refused[!answer.may_be_used(draw) || answer.is_not_thawed(draw)] {
                    (tick()) strong { (words.taken(draw)) } " of " (with_whole_codes(&words.draw(draw)))
                }
            }
            @if let Some(together) = words.put_together() { li { strong { (together) } } }
            @if let Some(short) = words.short() { li.refused { (short) } }
            li.small { (words.moisture()) }
        }
    }
}

fn times(rows: &[Row]) -> Markup {
    html! {
        h2 { "Timetable" }
        table.times {
            @for row in rows {
                @if let Some(day) = &row.day { tr { th colspan="4" { (day) } } }
                tr.waiting[!row.hands_on] {
                    td { (tick()) }
                    td.clock { (row.clock) }
                    td {
                        span.task { (row.task) }
                        @if row.at_night { " " span.night { "night" } }
                        @if let Some(words) = &row.words { div.small { (words) } }
                    }
                    td.takes { @if let Some(takes) = &row.takes { (takes) } }
                }
            }
        }
    }
}

fn signs(words: Words<'_>) -> Markup {
    html! {
        section {
            h2 { "Signs" }
            dl {
                @for (when, sign) in words.signs() {
                    dt { (when) }
                    dd { (sign) }
                }
            }
        }
    }
}

/// Lines to write on; whether what to type is said too.
fn blanks(words: Words<'_>, is_typed: bool) -> Markup {
    html! {
        section.done {
            h2 { "Actual values" }
            div.blanks {
                @for (what, unit) in words.blanks() {
                    p { (what) span.line {} (unit) }
                }
            }
            p.notes {
                "note" span.line {}
                @if is_typed { span.small { (with_whole_words(&words.booking())) } }
            }
        }
    }
}
