//! Formulas: their files, and what bakes say of the figures that they state.

use super::in_address;
use crate::quantity::Problem;
use crate::render::formula as words;
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/book/formulas", list),
    Route::form(
        "/book/formulas/add",
        Form {
            title: |_| "Add a formula".to_owned(),
            show: add_form,
            act: add_act,
        },
    ),
    Route::form(
        "/book/formulas/bakes/{formula}",
        Form {
            title: |visit| format!("What bakes say of {}", visit.part("formula")),
            show: proposals,
            act: add_act,
        },
    ),
];

fn list(visit: &mut Visit) -> anyhow::Result<Reply> {
    let formulas = visit.desk.formulas()?.answer;
    let body = html! {
        @for formula in &formulas {
            details {
                summary { (formula.name) ", version " (formula.version) }
                pre.words { (formula.text) }
                p { a href=(format!("/book/formulas/bakes/{}", in_address(&formula.name))) { "What its bakes say of it" } }
            }
        }
        @if formulas.is_empty() { p.lead { "No formulas yet." } }
        p.send { a.main href="/book/formulas/add" { "Add a formula" } }
        p { a href="/book/formulas/masses" { "Or from the masses of one dough" } }
    };
    Ok(Reply::Page(draw::page(visit, "Formulas", &body)))
}

fn add_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    Ok(html! {
        p { "A formula file, or its text. The same name again adds a version." }
        (draw::file(visit, "file", "The file"))
        (draw::area(visit, "text", "Or its text", ""))
        p.send { button.main type="submit" { "Add it" } }
    })
}

fn add_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let text = match visit.file().filter(|(_, bytes)| !bytes.is_empty()) {
        Some((_, bytes)) => String::from_utf8(bytes.to_vec()).ok(),
        None => Some(visit.typed.hidden("text").replace("\r\n", "\n")),
    };
    let Some(text) = text.filter(|text| !text.trim().is_empty()) else {
        let problem = Problem::new("no formula is given, or the file is no text in UTF-8");
        return Err(visit.typed.fault("file", &problem).into());
    };
    let answer = visit.desk.add_formula(&text)?;
    visit.booked(&answer);
    Ok(Done::GoTo("/book/formulas".to_owned()))
}

/// What is proposed stands in a file to read; what is sent is the text that was read.
fn proposals(visit: &mut Visit) -> anyhow::Result<Markup> {
    let answer = visit.desk.proposals(visit.part("formula"))?.answer;
    let rows = words::proposal_rows(&answer);
    Ok(html! {
        p.lead { (answer.formula.name) ", version " (answer.formula.version) }
        div.wide role="region" tabindex="0" aria-label="What bakes say" {
            table {
                tr { @for head in words::PROPOSAL_HEADINGS { th scope="col" { (head) } } }
                @for row in &rows { tr { @for cell in row { td { (cell) } } } }
            }
        }
        p { (words::proposal_mixer(&answer)) }
        @if answer.has_any() {
            p { "Nothing is changed until you add it. Bakes that are planned keep the version that they have." }
            (draw::area(visit, "text", "The file with what is proposed", &answer.text))
            p.send { button.main type="submit" { "Add it as a new version" } }
        } @else {
            p { (words::NOTHING_PROPOSED) }
        }
    })
}
