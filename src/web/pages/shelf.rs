//! The shelf: each lot's remaining life as a bar in one scale.

use crate::quantity::text::count;
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::visit::Visit;
use maud::html;

pub const ROUTES: &[Route] = &[Route::show("/shelf", show)];

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.shelf()?;
    let lots = &answer.answer.lots;
    let scale = draw::bar_scale(lots);
    let body = html! {
        p.lead {
            (count(lots.len(), "lot")) " on hand. "
            "A bar shows the time that is left, a mark each day. Plain is good, dotted goes first, slanted is not known or past."
        }
        (draw::bar_hatches())
        ul.lots { @for lot in lots { (draw::lot_line(visit, &answer.answer, lot, scale)) } }
        p.send { a.main href="/grain-in" { "Grain in" } }
        (draw::answer_notes(&visit.notes_of(&answer)))
    };
    Ok(Reply::Page(draw::page(visit, "Shelf", &body)))
}
