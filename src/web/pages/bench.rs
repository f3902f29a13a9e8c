//! Who is at the bench: one tap, kept with the device, and the name that entries get.

use crate::web::draw;
use crate::web::refused::Refused;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Stopped, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[Route::form(
    "/bench",
    Form {
        title: |_| "Who is at the bench?".to_owned(),
        show,
        act,
    },
)];

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    let people = visit.desk.people()?;
    Ok(html! {
        div.keys {
            @for person in &people {
                button type="submit" name="person" value=(person) aria-pressed=(person == visit.bench()) {
                    (person)
                }
            }
        }
        (draw::text(visit, "other", "Somebody else", ""))
        p.send { button.main type="submit" { "Take this name" } }
    })
}

fn act(visit: &mut Visit) -> anyhow::Result<Done> {
    let field = if visit.typed.given("person").is_some() {
        "person"
    } else {
        "other"
    };
    let name = visit.typed.name(field, "the name");
    visit.typed.all_read()?;
    let (Some(name), Some(device)) = (name, &visit.device) else {
        return Err(Stopped(Refused::Unreadable).into());
    };
    visit.desk.set_bench(device.id, &name)?;
    Ok(Done::GoTo("/".to_owned()))
}
