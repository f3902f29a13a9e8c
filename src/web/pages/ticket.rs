//! The ticket of a tub, to print from the page.

use crate::keeping::TicketSays;
use crate::render::ticket as words;
use crate::render::ticket_html::{self, Paper, Print};
use crate::web::answer::Reply;
use crate::web::draw;
use crate::web::refused::Refused;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Stopped, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/lot/{lot}/ticket", show),
    Route::form(
        "/lot/{lot}/ticket/printed",
        Form {
            title: |visit| format!("Ticket of {}", visit.part("lot")),
            show: ask,
            act,
        },
    ),
];

/// The field that holds what the printed ticket says.
const SAYS: &str = "says";

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
        p.send { "Print this page with your browser, then say so here: Today then tells you when the ticket is not true any more." }
        @if visit.device.as_ref().is_some_and(|device| device.writes) {
            @for ticket in &answer.answer {
                (draw::form_to(visit, &format!("/lot/{lot}/ticket/printed"), &hangs(visit, &written(ticket.printed().1))))
            }
        }
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
        (draw::answer_notes(&visit.notes_of(&answer)))
    };
    Ok(Reply::Page(draw::page(
        visit,
        &format!("Ticket of {lot}"),
        &body,
    )))
}

/// The button for a ticket that says this.
fn hangs(visit: &Visit, says: &str) -> Markup {
    html! {
        input type="hidden" name=(SAYS) value=(visit.typed.shown(SAYS, says));
        p.send { button.main type="submit" { "It hangs on the tub" } }
    }
}

fn ask(visit: &mut Visit) -> anyhow::Result<Markup> {
    let lot = visit.part("lot").to_owned();
    let tickets = visit.desk.tickets(&[lot])?.answer;
    Ok(html! {
        @for ticket in &tickets {
            p.lead { "It says: " (words::date(ticket, visit.zone())) }
            (hangs(visit, &written(ticket.printed().1)))
        }
    })
}

fn act(visit: &mut Visit) -> anyhow::Result<Done> {
    let lot = visit.desk.lot(visit.part("lot"))?.answer.lot.code;
    // The date may have moved since the page was printed: what counts is what stands on paper.
    let says = read(visit.typed.hidden(SAYS)).ok_or(Stopped(Refused::Unreadable))?;
    visit.desk.note_tickets(&[(lot, says)])?;
    Ok(Done::GoTo(format!("/lot/{lot}")))
}

/// What a ticket says, for a field of a form.
fn written(says: TicketSays) -> String {
    let until = says.keep_until.map(|until| until.to_rfc3339());
    format!("{} {}", says.usable, until.as_deref().unwrap_or("-"))
}

fn read(text: &str) -> Option<TicketSays> {
    let (usable, until) = text.split_once(' ')?;
    Some(TicketSays {
        usable: usable.parse().ok()?,
        keep_until: match until {
            "-" => None,
            until => Some(until.parse().ok()?),
        },
    })
}
