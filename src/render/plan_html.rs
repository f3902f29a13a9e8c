//! A plan as a page to print: the lots over the days as a picture, and the sentences of the words.

use super::html_page;
use super::lot::Detail;
use super::numbers::Units;
use super::plan::{AIM_HEADINGS, BAKE_HEADINGS, NOTHING_SPARE, NOTHING_TO_DO, Words, formula};
use super::whole_codes::with_whole_codes;
use crate::quantity::{Milligrams, Zone};
use crate::report::plan::PlanAnswer;
use maud::{Markup, html};

mod chart;

const STYLE: &str = include_str!("plan_html/plan.css");

/// The whole page.
pub fn page(answer: &PlanAnswer, zone: &Zone, units: Units) -> String {
    let words = Words {
        answer,
        units,
        zone,
        is_typed: true,
        detail: Detail::Limit,
    };
    let (title, counts) = title(words);
    let body = html! {
        header {
            h1 { (title) }
            p { (counts) }
            p.proof { (words.proof_words(&answer.plan.proof)) }
        }
        (chart::lots(words))
        (bakes(words))
        (to_do(words))
        (spare(words))
        (changes(words))
        (aims(words))
        (notes(words))
        footer {
            ul.cautions {
                @for caution in answer.cautions() { li { (caution.text()) } }
            }
        }
    };
    html_page::whole(&title, STYLE, body)
}

/// What stands on the page, for whoever has a page and a style of his own.
pub fn inside(answer: &PlanAnswer, zone: &Zone, units: Units) -> Markup {
    let words = Words {
        answer,
        units,
        zone,
        is_typed: false,
        detail: Detail::Limit,
    };
    let (_, counts) = title(words);
    html! {
        p.lead { (counts) }
        p.proof { (words.proof_words(&answer.plan.proof)) }
        (to_do(words))
        (bakes(words))
        (chart::lots(words))
        (spare(words))
        (changes(words))
        (notes(words))
    }
}

/// The heading, parted at its colon: the days, and what was planned.
fn title(words: Words<'_>) -> (String, String) {
    let heading = words.heading();
    // The clock has a colon too, and no blank after it.
    match heading.split_once(": ") {
        Some((days, counts)) => (days.to_owned(), counts.to_owned()),
        None => (heading, String::new()),
    }
}

fn bakes(words: Words<'_>) -> Markup {
    let [bake_heading, mix, dry, formula_heading] = BAKE_HEADINGS;
    html! {
        section {
            h2 { "Bakes" }
            table.bakes {
                thead {
                    tr {
                        th { (bake_heading) }
                        th { (mix) }
                        th.number { (dry) }
                        th { (formula_heading) }
                    }
                }
                @for (index, (bake, planned)) in words.answer.bakes().enumerate() {
                    tbody {
                        tr {
                            td { strong { (bake.bake.code) } }
                            td.whole { (words.when(bake.needs.timetable.mix_at)) }
                            td.number { (words.got(index, planned)) }
                            td { (formula(bake)) }
                        }
                        @let is_short = planned.short > Milligrams::ZERO;
                        @let told = words.of_bake(index, planned);
                        @if !told.is_empty() {
                            tr { td {} td.line.short[is_short] colspan="3" { (with_whole_codes(&told.join("; "))) } }
                        }
                    }
                }
            }
        }
    }
}

fn to_do(words: Words<'_>) -> Markup {
    let days = words.days_of_work();
    let conditions = words.condition_lines();
    html! {
        section {
            h2 { "To do" }
            ul.ticks { @for line in &conditions { li { (with_whole_codes(line)) } } }
            @if days.is_empty() && conditions.is_empty() { p { (NOTHING_TO_DO) } }
            div.days {
                @for (day, tasks) in days {
                    div.day {
                        h3 { (day) }
                        ul.ticks {
                            @for task in tasks {
                                li {
                                    (with_whole_codes(&task.line))
                                    @if !task.parts.is_empty() {
                                        ul { @for lot in &task.parts { li { (with_whole_codes(lot)) } } }
                                    }
                                }
                            }
                        }
                    }
                }
            }
            @if let Some(test) = words.test_line() { p { (test) } }
        }
    }
}

fn spare(words: Words<'_>) -> Markup {
    let groups = words.spare_groups();
    html! {
        section {
            h2 { "Spare" }
            @if groups.is_empty() { p { (NOTHING_SPARE) } }
            ul { @for (becomes, lots) in groups { li { (becomes) ": " (with_whole_codes(&lots.join(", "))) } } }
        }
    }
}

fn changes(words: Words<'_>) -> Markup {
    html! {
        @if let Some((heading, lines)) = words.change_lines() {
            section {
                h2 { "Changes" }
                p { (heading) }
                ul { @for line in lines { li { (with_whole_codes(&line)) } } }
            }
        }
    }
}

fn aims(words: Words<'_>) -> Markup {
    let [aim, ours, oldest] = AIM_HEADINGS;
    html! {
        section.aims {
            h2 { "Aims" }
            table {
                thead { tr { th { (aim) } th.number { (ours) } th.number { (oldest) } } }
                tbody {
                    @for [aim, ours, oldest] in words.aim_rows() {
                        tr {
                            td { (aim) }
                            td.number { (ours) }
                            td.number { (oldest) }
                        }
                    }
                }
            }
            @if let Some(compared) = words.compared() { p { (compared) } }
        }
    }
}

fn notes(words: Words<'_>) -> Markup {
    let notes = words.note_lines();
    html! {
        @if !notes.is_empty() {
            section {
                h2 { "Notes" }
                @for note in notes { p { (with_whole_codes(&note)) } }
            }
        }
    }
}
