//! What the air of a place was, and what that did to the lots in it.

use super::in_address;
use crate::desk::Desk;
use crate::render::air::{self, Shown};
use crate::render::air_chart;
use crate::render::words::Lines;
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::visit::Visit;
use maud::html;

pub const ROUTES: &[Route] = &[
    Route::show("/place/{place}", show),
    Route::show("/place/{place}/air.svg", picture),
];

fn shown<'a>(desk: &'a Desk, visit: &'a Visit) -> Shown<'a> {
    let about = desk.about();
    Shown {
        rules: &about.rules,
        zone: &about.zone,
        units: visit.units(),
        now: visit.now,
    }
}

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let place = visit.part("place").to_owned();
    let answer = visit.desk.air(&place, None, None)?;
    let own = format!("/place/{}", in_address(&place));
    let text = air::text(&answer.answer, Lines::Whole, shown(&visit.desk, visit));
    let body = html! {
        @if answer.answer.period().is_some() {
            img src=(format!("{own}/air.svg")) alt="The air over time; the same in words below";
        }
        @if answer.answer.period().is_some() {
            (draw::lines(&text))
        } @else {
            p.lead { "No logger's file of it was read in yet." }
        }
        p.send { a.main href=(format!("{own}/readings")) { "Read in a logger's file" } }
        (draw::answer_notes(&visit.notes_of(&answer)))
    };
    Ok(Reply::Page(draw::page(visit, &place, &body)))
}

fn picture(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.air(visit.part("place"), None, None)?;
    let svg = air_chart::svg(&answer.answer, shown(&visit.desk, visit));
    Ok(Reply::Picture(svg))
}
