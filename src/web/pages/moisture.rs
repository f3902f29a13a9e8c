//! Why the moisture of a lot is known as it is: what pulls it, what a test is worth, and whether its brewery is steady.

use crate::render::lot::keep_until;
use crate::render::moisture::{self, warnings};
use crate::render::{chart, numbers, source_chart};
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::trouble::capital;
use crate::web::visit::Visit;
use maud::html;

pub const ROUTES: &[Route] = &[Route::show("/lot/{lot}/moisture", show)];

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.moisture_with_why(visit.part("lot"))?;
    let known = &answer.answer;
    let source = known.why.as_ref().and_then(|why| why.source.as_ref());
    let body = html! {
        @if let Some(lot) = &known.unusable {
            p.state { (draw::verdict(lot)) " " (capital(&keep_until(lot, visit.zone()))) }
        }
        @if known.is_past() {
            p.next { a.main href=(format!("/lot/{}/throw-away", known.code)) { "Throw it away" } }
        }
        p.lead { b { (numbers::moisture(&known.estimate.moisture)) } " (95 %)" }
        p { (capital(&known.estimate.from.to_string())) "." }
        @for warning in warnings::all(known) { p { (draw::linked(&warning)) } }
        @if let Some(source) = source.filter(|source| !source.lots.is_empty()) {
            (chart::hatches(["slanted", "lying", "dotted"]))
            (source_chart::picture(source))
        }
        (draw::rows(&moisture::why(known, visit.units(), visit.zone())))
        @if known.unusable.is_none() {
            p.send { a.main href=(format!("/lot/{}/sample", known.code)) { "Sample" } }
        }
        (draw::answer_notes(&visit.notes_of(&answer)))
    };
    let title = format!("Moisture of {}", known.code);
    Ok(Reply::Page(draw::page(visit, &title, &body)))
}
