//! The ticket of a tub, to print from the page.

use crate::render::ticket_html::{self, Paper, Print};
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::route::Route;
use crate::web::visit::Visit;
use maud::html;

pub const ROUTES: &[Route] = &[Route::show("/lot/{lot}/ticket", show)];

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let lot = visit.part("lot").to_owned();
    let answer = visit.desk.tickets(std::slice::from_ref(&lot))?;
    let paper = match visit.asked("size") {
        "" => Paper::default(),
        size => size.parse()?,
    };
    let first = visit.asked("first").parse().unwrap_or(1);
    // A label on a tub is read by a phone: an address that only this machine knows is none for it.
    let host = visit.host();
    let is_here =
        host.starts_with("127.") || host.starts_with("localhost") || host.starts_with("[::1]");
    let address = (!is_here).then(|| visit.origin());
    let print = Print {
        paper,
        first,
        address: address.as_deref(),
    };
    let labels = ticket_html::inside(&answer.answer, print, visit.units(), visit.zone())?;
    let body = html! {
        div.on-paper { (labels) }
        p.send { "Print this page with your browser. Its date is that of now: after an act that moves it, such as freezing, print a new one." }
        form.search method="get" action=(format!("/lot/{lot}/ticket")) {
            label for="f-size" { "Paper" }
            select id="f-size" name="size" {
                @for one in Paper::ALL { option value=(one.as_str()) selected[one == paper] { (one.as_str()) } }
            }
            label for="f-first" { "First free label of the sheet" }
            input type="text" inputmode="numeric" id="f-first" name="first" autocomplete="off" value=(first);
            p.send { button type="submit" { "Show" } }
        }
        p.send { a href=(format!("/lot/{lot}")) { "Back to the lot" } }
        (draw::told(&visit.words_of(&answer)))
    };
    Ok(Reply::Page(draw::page(
        visit,
        &format!("Ticket of {lot}"),
        &body,
    )))
}
