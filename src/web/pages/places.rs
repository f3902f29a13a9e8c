//! Places: what they are, a new one, a change, the end of one, and a logger's file.

use super::in_address;
use super::lot_acts::{at, when};
use crate::desk::{LoggedAir, NewReadings, StatePlace};
use crate::keeping::PlaceKind;
use crate::ledger::PlaceRecord;
use crate::quantity::{Instant, Milligrams, Problem, Temperature, text};
use crate::rows::bounded::RowFile;
use crate::rows::logger_file::{self, Reading};
use crate::web::answer::Reply;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/book/places", show),
    Route::form(
        "/book/places/add",
        Form {
            title: |_| "A new place".to_owned(),
            show: add_form,
            act: add_act,
        },
    ),
    Route::form(
        "/place/{place}/change",
        Form {
            title: |visit| format!("Change {}", visit.part("place")),
            show: change_form,
            act: change_act,
        },
    ),
    Route::form(
        "/place/{place}/close",
        Form {
            title: |visit| format!("Close {}", visit.part("place")),
            show: close_form,
            act: close_act,
        },
    ),
    Route::form(
        "/place/{place}/readings",
        Form {
            title: |visit| format!("Logger of {}", visit.part("place")),
            show: readings_form,
            act: readings_act,
        },
    )
    .up_to(LOGGER_FILE),
];

/// What a logger's file may weigh: half a year of a reading a minute.
const LOGGER_FILE: usize = 8 * 1024 * 1024;

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let answer = visit.desk.places()?;
    let (units, now) = (visit.units(), visit.now);
    let body = html! {
        ul.list {
            @for place in &answer.answer {
                @let setting = place.setting_at(now);
                @let path = in_address(&place.name);
                li {
                    b { (place.name) } ": " (setting.kind) ", " (units.temperature(setting.stated))
                    @if let Some(takes) = setting.capacity { ", takes " (units.weighed(takes)) }
                    @if place.is_closed() { ", closed" }
                    br;
                    a href=(format!("/place/{path}/change")) { "Change" }
                    " · " a href=(format!("/place/{path}")) { "Its air" }
                    " · " a href=(format!("/place/{path}/readings")) { "Logger" }
                    @if !place.is_closed() { " · " a href=(format!("/place/{path}/close")) { "Close" } }
                }
            }
        }
        p.send { a.main href="/book/places/add" { "A new place" } }
    };
    Ok(Reply::Page(draw::page(visit, "Places", &body)))
}

fn kinds() -> Vec<Choice> {
    PlaceKind::ALL
        .map(|kind| Choice::plain(kind.as_str()))
        .into_iter()
        .collect()
}

fn add_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    Ok(html! {
        (draw::text(visit, "name", "Its name", ""))
        (draw::choices(visit, "kind", "What it is: it decides how long grain keeps there", &kinds(), PlaceKind::Fridge.as_str()))
        (draw::temperature(visit, "temp", "How warm it is; left empty for what is usual"))
        (draw::mass(visit, "capacity", "How much wet grain it takes", "", "kg"))
        (draw::book(visit, "Add it"))
    })
}

fn add_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let typed = &mut visit.typed;
    let name = typed.name("name", "the name");
    let kind = typed.one_of::<PlaceKind>("kind", "what it is");
    let (temp, capacity) = (typed.temperature_if("temp"), typed.mass_if("capacity"));
    let (Some(name), Some(kind), Some(temp), Some(capacity)) = (name, kind, temp, capacity) else {
        return Err(Faulty.into());
    };
    let stated = stated(&name, (kind, temp, capacity), visit.now);
    let answer = visit.desk.add_place(&stated)?;
    Ok(visit.booked(&answer))
}

/// What the forms say of a place; the rest stays as it is.
fn stated(
    name: &str,
    (kind, temp, capacity): (PlaceKind, Option<Temperature>, Option<Milligrams>),
    from: Instant,
) -> StatePlace<'_> {
    StatePlace {
        name,
        kind: Some(kind),
        temp,
        capacity,
        probe: None,
        depth: None,
        from,
    }
}

fn place(visit: &Visit) -> anyhow::Result<PlaceRecord> {
    let name = visit.part("place");
    let places = visit.desk.places()?.answer;
    let found = places.into_iter().find(|place| place.name == name);
    found.ok_or_else(|| Problem::new(format!("`{name}` is no place of the book")).into())
}

fn change_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let place = place(visit)?;
    let setting = place.setting_at(visit.now);
    let units = visit.units();
    Ok(html! {
        p.lead { (setting.kind) ", " (units.temperature(setting.stated)) ". What is left empty stays as it is." }
        (draw::choices(visit, "kind", "What it is", &kinds(), setting.kind.as_str()))
        (draw::temperature(visit, "temp", "How warm it is from now on"))
        (draw::mass(visit, "capacity", "How much wet grain it takes", "", "kg"))
        (draw::book(visit, "Change it"))
    })
}

fn change_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let typed = &mut visit.typed;
    let kind = typed.one_of::<PlaceKind>("kind", "what it is");
    let (temp, capacity) = (typed.temperature_if("temp"), typed.mass_if("capacity"));
    let (Some(kind), Some(temp), Some(capacity)) = (kind, temp, capacity) else {
        return Err(Faulty.into());
    };
    let name = visit.part("place").to_owned();
    let stated = stated(&name, (kind, temp, capacity), visit.now);
    let answer = visit.desk.change_place(&stated)?;
    Ok(visit.booked(&answer))
}

fn close_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    place(visit)?;
    Ok(html! {
        p { "It takes no grain from then on, and no plan counts on it. Its history stays." }
        (when(visit))
        (draw::book(visit, "Close it"))
    })
}

fn close_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let Some(from) = at(visit) else {
        return Err(Faulty.into());
    };
    let name = visit.part("place").to_owned();
    let answer = visit.desk.close_place(&name, from)?;
    Ok(visit.booked(&answer))
}

fn readings_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    place(visit)?;
    Ok(html! {
        p { "The readings hold for every lot while it is there. They may make a verdict worse; they never show that hot grain has cooled." }
        (draw::file(visit, "file", "The logger's file (CSV)"))
        (draw::book(visit, "Read it in"))
    })
}

fn readings_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let Some((name, bytes)) = visit.file().filter(|(_, bytes)| !bytes.is_empty()) else {
        let problem = Problem::new("no file is chosen");
        return Err(visit.typed.fault("file", &problem).into());
    };
    let name = text::typed(name, "file name", text::LONGEST_NAME)?;
    let file = RowFile {
        name: name.clone(),
        bytes: bytes.to_vec(),
    };
    let reading = Reading {
        time_column: None,
        temp_column: None,
        unit: None,
        decimal_comma: false,
        zone: visit.desk.zone(),
        now: visit.now,
        from: None,
        before: None,
    };
    let logged = match logger_file::read(file, &reading) {
        Ok(logged) => logged,
        Err(problem) => return Err(visit.typed.fault("file", &problem).into()),
    };
    let place = visit.part("place").to_owned();
    let answer = visit.desk.take_readings(&LoggedAir {
        place: &place,
        readings: NewReadings {
            scale: logged.scale,
            name: &name,
            readings: &logged.readings,
        },
        empty: logged.empty,
        left_out: &logged.left_out,
    })?;
    Ok(visit.booked(&answer))
}
