//! Devices: who may come in, an invitation for another one, and the end of one.

use crate::quantity::Problem;
use crate::render::device::{paired_words, right};
use crate::render::ticket_html::qr;
use crate::render::times;
use crate::web::draw;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::form(
        "/devices",
        Form {
            title: |_| "Devices".to_owned(),
            show,
            act: invite,
        },
    ),
    Route::form(
        "/devices/{device}/end",
        Form {
            title: |visit| format!("End device {}", visit.part("device")),
            show: end_form,
            act: end_act,
        },
    ),
];

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    let devices = visit.desk.devices()?.answer;
    let own = visit.device.as_ref().map(|device| device.id);
    let (now, zone) = (visit.now, visit.zone());
    Ok(html! {
        ul.list {
            @for device in devices.iter().filter(|device| device.ended_at.is_none()) {
                li {
                    b { (device.whose) } @if own == Some(device.id) { " (this one)" }
                    ", may " (right(device)) "; last seen " (times::moment(device.seen_at, now, zone))
                    "; paired " (paired_words(device, now, zone)) " "
                    a href=(format!("/devices/{}/end", device.id)) { "End it" }
                }
            }
        }
        h2 { "Let another one in" }
        (draw::tick(visit, "writes", "It may write, not only look", true))
        p.send { button.main type="submit" { "Make a code" } }
    })
}

fn invite(visit: &mut Visit) -> anyhow::Result<Done> {
    let writes = visit.typed.given("writes").is_some();
    let by = Some(visit.bench().to_owned());
    let invitation = visit.shared.pairing.invite(visit.now, writes, by)?;
    let link = format!("{}/pair?key={}", visit.origin(), invitation.key);
    let qr = qr(&link)?;
    let until = times::moment(invitation.until, visit.now, visit.zone());
    let body = html! {
        p.lead { "Scan it with the camera of the other device. It lets one device in, until " (until) "." }
        (qr)
        p { "Or open " b { (visit.origin()) "/pair" } " there and type" }
        p.tub { (invitation.code) }
        p { a.main href="/devices" { "Devices" } }
    };
    Ok(Done::Answered(Box::new(draw::page(
        visit,
        "Let a device in",
        &body,
    ))))
}

fn number(visit: &Visit) -> anyhow::Result<i64> {
    let typed = visit.part("device");
    typed
        .parse()
        .map_err(|_| Problem::new(format!("`{typed}` is no number of a device")).into())
}

fn end_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let number = number(visit)?;
    let devices = visit.desk.devices()?.answer;
    let known = devices.iter().find(|device| device.id == number);
    Ok(html! {
        @if let Some(device) = known {
            p { "The device of " b { (device.whose) } " comes in no more." }
        }
        p.send { button.main type="submit" { "End it" } }
    })
}

fn end_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let number = number(visit)?;
    visit.desk.end_device(number)?;
    Ok(Done::GoTo("/devices".to_owned()))
}
